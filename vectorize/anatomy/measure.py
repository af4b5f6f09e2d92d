"""One letter's Outline and its ink come in; its Anatomy goes out: stems, strokes, counters and fill, in x-heights."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.edges import EdgeSamples, sample, thickness
from vectorize.anatomy.fill import fill
from vectorize.anatomy.records import Anatomy, Counter
from vectorize.anatomy.stems import StraightEdge, lean_deg, stem_edges
from vectorize.curves import box, signed_area
from vectorize.geometry import Affine
from vectorize.outlines.outline import Outline
from vectorize.reading.records import LetterInk

# Share of a stem's readings that must agree closest for its thickness: the rest lies at serifs, joints and bowls.
AGREEING = 0.4
# The thinnest stroke must stay thin over some readings; a single one may be a nick.
THIN_RUN = 5
SQUARE_UNITS = 1e6


def measure(outline: Outline, ink: LetterInk | None, to_units: Affine | None) -> Anatomy:
    """Measure one letter.

    ink, to_units: the letter's own ink and the map from strip px to letter units; None where there is no picture,
    then the fill stays unknown.
    """
    if not outline.contours:
        return Anatomy(None, None, None, (), None)
    samples = sample(outline)
    thick = thickness(samples)
    edges = stem_edges(samples, outline.name)
    black = None if ink is None or to_units is None else fill(ink, 1000.0 / math.hypot(to_units.xx, to_units.yx))
    return Anatomy(
        stem_deg=lean_deg(edges),
        stem_ratio=_stem_ratio(edges, thick),
        thin_ratio=_thin_ratio(samples, thick),
        counters=tuple(Counter(-signed_area(c) / SQUARE_UNITS, box([c])) for c in outline.counters),
        fill_evenness=None if black is None else black.evenness,
    )


def _stem_ratio(edges: tuple[StraightEdge, ...], thick: NDArray[np.float64]) -> float | None:
    """Thickness of the stem, where most of its readings agree."""
    if not edges:
        return None
    readings = np.sort(np.concatenate([thick[e.samples] for e in edges]))
    readings = readings[np.isfinite(readings)]
    if len(readings) < 4:
        return None
    k = max(3, math.ceil(AGREEING * len(readings)))
    spread = readings[k - 1 :] - readings[: len(readings) - k + 1]
    start = int(np.argmin(spread))
    return float(readings[start : start + k].mean()) / 1000.0


def _thin_ratio(samples: EdgeSamples, thick: NDArray[np.float64]) -> float | None:
    """The thinnest stroke: the smallest thickness that several neighbouring readings share."""
    lows = []
    for k in np.unique(samples.contour):
        t = np.where(np.isfinite(thick), thick, np.inf)[samples.contour == k]
        around = np.stack([np.roll(t, s) for s in range(-(THIN_RUN // 2), THIN_RUN // 2 + 1)])
        lows.append(float(np.median(around, axis=0).min()))
    low = min(lows)
    return low / 1000.0 if math.isfinite(low) else None
