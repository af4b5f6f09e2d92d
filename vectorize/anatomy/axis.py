"""The straight edges of one stem come in; out goes its lean, read from all that runs straight along both of its sides."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.edges import STEP_U, EdgeSamples
from vectorize.anatomy.stems import StraightEdge
from vectorize.geometry import Points

# A stretch of edge lies along a stem's side within this distance of its line, letter units: three times a careful hand's
# tremor; at 12 the short sides of a t or r are lost more often, at 30 serifs and shoulders come in.
BESIDE_U = 20.0
# ... and runs within this angle of it: shoulders and the brackets of serifs turn away further.
ALONG_DEG = 8.0
# A stretch of fewer samples is where another stroke crosses.
FEWEST = 10


def axis_lean(samples: EdgeSamples, edges: tuple[StraightEdge, ...]) -> tuple[float, float]:
    """Lean of a stem in degrees, and the length of straight edge that it was read from, letter units.

    Each side of the stem is one line, however often a bar or a bowl breaks it. The sides share one slope, found by least
    squares with a place of its own for each side: what lies far from the middle of its side tells most.
    """
    sides = [_side(samples, e) for e in _longest_of_each_side(samples, edges)]
    d = np.concatenate([samples.points[s] - samples.points[s].mean(axis=0) for s in sides])
    slope = float((d[:, 0] * d[:, 1]).sum() / (d[:, 1] ** 2).sum())
    return math.degrees(math.atan(slope)), STEP_U * sum(len(s) for s in sides)


def _longest_of_each_side(samples: EdgeSamples, edges: tuple[StraightEdge, ...]) -> list[StraightEdge]:
    longest: dict[bool, StraightEdge] = {}
    for e in sorted(edges, key=lambda e: e.length_u):
        longest[bool(samples.tangents[e.samples, 1].mean() > 0.0)] = e
    return list(longest.values())


def _side(samples: EdgeSamples, edge: StraightEdge) -> NDArray[np.int64]:
    """Numbers of the samples of an edge and of all that runs on in its line."""
    p, t = samples.points, samples.tangents
    own: Points = p[edge.samples]
    slope, place = np.polyfit(own[:, 1], own[:, 0], 1)
    way = np.array((slope, 1.0)) * math.copysign(1.0 / math.hypot(1.0, slope), float(t[edge.samples, 1].mean()))
    beside = np.abs(p[:, 0] - place - slope * p[:, 1]) < BESIDE_U
    inside = np.zeros(len(p), bool)
    for run in _runs(beside & (t @ way > math.cos(math.radians(ALONG_DEG))), samples.contour):
        inside[run] = len(run) >= FEWEST
    inside[edge.samples] = True
    return np.nonzero(inside)[0]


def _runs(chosen: NDArray[np.bool_], contour: NDArray[np.int64]) -> list[NDArray[np.int64]]:
    """Neighbouring chosen samples of one contour (a run over a contour's start counts as two)."""
    numbers = np.nonzero(chosen)[0]
    cuts = np.nonzero((np.diff(numbers) > 1) | (np.diff(contour[numbers]) != 0))[0] + 1
    return np.split(numbers, cuts)
