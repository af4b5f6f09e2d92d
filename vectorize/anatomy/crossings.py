"""An Outline and a straight line across it come in; out go the places where its edge crosses the line."""

from __future__ import annotations

import numpy as np

from vectorize.curves import flatten
from vectorize.geometry import Points
from vectorize.outlines.outline import Outline

FLAT_U = 1.0


def heights_at(outline: Outline, x: float) -> list[float]:
    """Heights at which the edge crosses the upright line at `x`, from the lowest, letter units."""
    return _crossings(outline, x, 0)


def places_at(outline: Outline, y: float) -> list[float]:
    """Places at which the edge crosses the level line at height `y`, from the left, letter units."""
    return _crossings(outline, y, 1)


def _crossings(outline: Outline, at: float, axis: int) -> list[float]:
    found: list[float] = []
    for contour in outline.contours:
        p: Points = flatten(contour, FLAT_U)
        q = np.roll(p, -1, axis=0)
        over = (p[:, axis] > at) != (q[:, axis] > at)
        a, b = p[over], q[over]
        share = (at - a[:, axis]) / (b[:, axis] - a[:, axis])
        found += (a[:, 1 - axis] + share * (b[:, 1 - axis] - a[:, 1 - axis])).tolist()
    return sorted(found)
