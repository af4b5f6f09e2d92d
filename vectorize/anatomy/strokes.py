"""Edge samples with the ink's thickness behind them come in; out go a letter's stems, bowls' sides, thick and thin."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.axis import axis_lean
from vectorize.anatomy.edges import EdgeSamples
from vectorize.anatomy.records import Stem
from vectorize.anatomy.stems import StraightEdge
from vectorize.geometry import Point, box_around
from vectorize.trade.critique import LEAN_TOLD
from vectorize.trade.parts import STEMS, base_of

# Share of a stem's readings that must agree closest for its thickness: the rest lies at serifs, joints and bowls.
AGREEING = 0.4
# Thick and thin must hold over this many neighbouring readings; fewer may be a nick or a blot.
RUN = 9
# A stroke's side runs on for at least this share of its thickness, looked for over this many samples.
SIDE_SHARE = 0.6
LONGEST_RUN = 60
# Edges whose stems' middles lie closer than this share of their thickness are two sides of one stem.
SAME_STEM = 0.5
# Neighbouring readings this near to each other, as a share, belong to one stroke.
ALIKE_SHARE = 0.25
# The top twentieth of all readings lies where strokes meet; of a bowl's side the top tenth goes through its joints.
THICKEST, FULLEST = 0.95, 0.9
# What lies nearer to a stem's edge than this many times its thickness is the stem itself.
BESIDE_STEM = 1.3
# A bowl's side is read where its edge stands within this slope (dx over length) of upright.
UPRIGHT_SLOPE = 0.35
# A reading this much thicker than its stem, as a share of it, goes through a joint.
JOINT_SHARE = 0.4
# The main stems are those within a quarter of the heaviest: thin uprights of M, N and U are not meant.
MAIN_SHARE = 0.75

Readings = NDArray[np.float64]


def stems(samples: EdgeSamples, thick: Readings, edges: tuple[StraightEdge, ...], name: str | None) -> tuple[Stem, ...]:
    """The upright stems from left to right, both edges of one put together.

    Of a letter whose name is known no more stems are kept than it has; those with the longest edges are stems, the
    others nearly straight sides of bowls.
    """
    sized = []
    for edge in edges:
        width = agreed(thick[edge.samples])
        if width is None:
            continue
        inward = math.copysign(width / 2.0, float(samples.normals[edge.samples, 0].mean()))
        sized.append((float(samples.points[edge.samples, 0].mean()) + inward, width, edge))
    sized.sort(key=lambda s: s[0])
    cuts = [i + 1 for i, (a, b) in enumerate(pairwise(sized)) if b[0] - a[0] > SAME_STEM * min(a[1], b[1])]
    groups = [sized[a:b] for a, b in pairwise([0, *cuts, len(sized)]) if b > a]
    found = [_stem(samples, thick, tuple(edge for _, _, edge in group)) for group in groups]
    longest = sorted(found, key=lambda s: -s.edge_length_u)[: STEMS.get(base_of(name) or "", len(found))]
    return tuple(s for s in found if s in longest)


def _stem(samples: EdgeSamples, thick: Readings, edges: tuple[StraightEdge, ...]) -> Stem:
    numbers = np.concatenate([e.samples for e in edges])
    width = agreed(thick[numbers]) or 0.0
    box = box_around(samples.points[numbers])
    inward = width * math.copysign(1.0, float(samples.normals[edges[0].samples, 0].mean()))
    lean_deg, length_u = axis_lean(samples, edges)
    whole = box.joined(box.moved(inward)) if len(edges) == 1 else box
    return Stem(whole, lean_deg, width / 1000.0, length_u, _swell(samples.points[numbers, 1], thick[numbers], width))


def _swell(heights: Readings, thick: Readings, width: float) -> float | None:
    """Thickness of the upper third less that of the lower, x-heights; joints, where another stroke is seen, left out."""
    third = float(np.ptp(heights)) / 3.0
    ends = [thick[heights > heights.max() - third], thick[heights < heights.min() + third]]
    seen = [t[np.abs(t - width) < JOINT_SHARE * width] for t in ends]
    if min(len(t) for t in seen) < RUN:
        return None
    return float(np.median(seen[0]) - np.median(seen[1])) / 1000.0


def agreed(readings: Readings) -> float | None:
    """The thickness that most readings agree on (mean of the closest AGREEING of them); None with fewer than four."""
    ordered = np.sort(readings[np.isfinite(readings)])
    if len(ordered) < 4:
        return None
    k = max(3, math.ceil(AGREEING * len(ordered)))
    spread = ordered[k - 1 :] - ordered[: len(ordered) - k + 1]
    start = int(np.argmin(spread))
    return float(ordered[start : start + k].mean())


def main_width(found: tuple[Stem, ...]) -> float | None:
    """Thickness of the main stems, weighted with the length each was read from; None without stems."""
    if not found:
        return None
    heaviest = max(s.width_ratio for s in found)
    main = [s for s in found if s.width_ratio >= MAIN_SHARE * heaviest]
    return float(np.average([s.width_ratio for s in main], weights=[s.edge_length_u for s in main]))


def main_lean(found: tuple[Stem, ...]) -> float | None:
    """Mean lean of all stems, long ones telling most; None where too little straight edge is seen to tell."""
    if sum(s.edge_length_u for s in found) < 1000.0 * LEAN_TOLD:
        return None
    # Tremor turns an edge by so much the less the longer it is, and there is more of it.
    return float(np.average([s.lean_deg for s in found], weights=[s.edge_length_u**2 for s in found]))


def along(samples: EdgeSamples, thick: Readings) -> Readings:
    """Thickness evened along the edge, the median of RUN neighbours, (n,); nan where it is not a stroke's thickness.

    A stroke's side runs on for some of its thickness; a foot or terminal, whose ray runs along the stroke, does not.
    """
    evened = np.full(len(thick), np.nan)
    for k in np.unique(samples.contour):
        where = np.nonzero(samples.contour == k)[0]
        t = np.where(np.isfinite(thick[where]), thick[where], np.inf)
        around = np.stack([np.roll(t, s) for s in range(-(RUN // 2), RUN // 2 + 1)])
        middle = np.median(around, axis=0)
        step = float(np.hypot(*(samples.points[where[1]] - samples.points[where[0]])))
        evened[where] = np.where(_like_run(middle) * step >= SIDE_SHARE * middle, middle, np.nan)
    return evened


def _like_run(t: Readings) -> Readings:
    """For each reading around a ring, how many neighbours in a row on both sides are like it, (n,)."""
    reach = min(len(t) // 2, LONGEST_RUN) - 1
    run = np.ones(len(t))
    if reach < 1:
        return run
    own = np.where(np.isfinite(t), t, 0.0)[:, None]
    windows = np.lib.stride_tricks.sliding_window_view(np.concatenate((t[-reach:], t, t[:reach])), reach)
    for beside in (windows[reach + 1 : reach + 1 + len(t)], windows[: len(t), ::-1]):
        # A thickness that is not known is like none.
        alike = np.abs(beside - own) < ALIKE_SHARE * own
        run += np.where(alike.all(axis=1), reach, alike.argmin(axis=1))
    return run


def thinnest(samples: EdgeSamples, evened: Readings) -> tuple[float, Point] | None:
    """The thinnest stroke in letter units and its place; None where no stroke has two facing edges."""
    if not np.isfinite(evened).any():
        return None
    i = int(np.nanargmin(evened))
    at = samples.points[i] + samples.normals[i] * evened[i] / 2.0
    return float(evened[i]), (float(at[0]), float(at[1]))


def thickest(evened: Readings) -> float | None:
    """The thickest stroke in letter units, the top twentieth left out: there strokes meet."""
    seen = evened[np.isfinite(evened)]
    return float(np.quantile(seen, THICKEST)) if len(seen) else None


def bowl_side(samples: EdgeSamples, evened: Readings, edges: tuple[StraightEdge, ...]) -> float | None:
    """The thickest part of a curved upright stroke in letter units; None where none is seen."""
    curved = np.abs(samples.tangents[:, 0]) < UPRIGHT_SLOPE
    for edge in edges:
        low, high = samples.points[edge.samples, 0].min(), samples.points[edge.samples, 0].max()
        reach = float(np.nanmedian(evened[edge.samples])) if np.isfinite(evened[edge.samples]).any() else 0.0
        curved &= (samples.points[:, 0] < low - BESIDE_STEM * reach) | (
            samples.points[:, 0] > high + BESIDE_STEM * reach
        )
    seen = evened[curved & np.isfinite(evened)]
    return float(np.quantile(seen, FULLEST)) if len(seen) >= RUN else None
