"""An Outline comes in; out go its body, without dots and accents, and its box, evened over the hand's tremor."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.edges import EdgeSamples
from vectorize.curves import box, signed_area
from vectorize.geometry import Box, Points
from vectorize.outlines.outline import Outline

# Letter units: a foot is fitted over this much to either side of its lowest point, about the width of a stem.
FOOT_U = 110.0
# Of that fit the mean over this much to either side of its lowest place counts.
REST_U = 40.0
# An edge lies level enough to be a foot within 45 degrees.
LEVEL_COSINE = 0.7
# A dot or accent stands clear above the body by this much, letter units.
CLEAR_U = 20.0


def without_marks(outline: Outline) -> Outline:
    """The letter without the dots and accents that stand clear above it."""
    top = box([max(outline.contours, key=lambda c: abs(signed_area(c)))]).y1
    return replace(outline, contours=tuple(c for c in outline.contours if box([c]).y0 < top - CLEAR_U))


def body_box(body: Outline, samples: EdgeSamples) -> Box:
    """The box of a letter's body, whose edge samples these are; foot and head where its smoothed edge lies."""
    exact = body.box_u
    foot = _rest(samples.points, samples.tangents[:, 0])
    head = _rest(samples.points * (1.0, -1.0), -samples.tangents[:, 0])
    return Box(exact.x0, exact.y0 if foot is None else foot, exact.x1, exact.y1 if head is None else -head)


def _rest(points: Points, rightward: NDArray[np.float64]) -> float | None:
    """Height on which the ink above rests, y up; None for a point without a level edge."""
    level = rightward > LEVEL_COSINE
    if not level.any():
        return None
    low = points[level][int(np.argmin(points[level, 1]))]
    near = level & (np.abs(points[:, 0] - low[0]) < FOOT_U) & (points[:, 1] < low[1] + FOOT_U / 2.0)
    if near.sum() < 5:
        return None
    x, y = points[near, 0] - low[0], points[near, 1]
    a, b, c = np.polyfit(x, y, 2)
    if a <= 0.0:
        return float(y.mean())
    middle = float(np.clip(-b / (2.0 * a), x.min(), x.max()))
    at = np.linspace(max(x.min(), middle - REST_U), min(x.max(), middle + REST_U), 9)
    return float(np.polyval((a, b, c), at).mean())
