"""Closed polylines (n, 2) in letter units come in; whether they cross, and what lies inside them, goes out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Point, Points

# Chords compared with all others at a time; bounds the memory of a letter with thousands of chords.
_BLOCK = 256
# Areas, letter units squared, whose product is smaller than this are nothing: chords that touch do not cross.
_TOUCHING = 1e-9


def crossing(rings: Sequence[Points]) -> Point | None:
    """A place where two chords of the rings cross properly; None where none do."""
    if not rings:
        return None
    a = np.concatenate(rings)
    b = np.concatenate([np.roll(r, -1, axis=0) for r in rings])
    low, high = np.minimum(a, b), np.maximum(a, b)
    for i in range(0, len(a), _BLOCK):
        rows = slice(i, i + _BLOCK)
        near = ((low[rows, None] < high) & (low < high[rows, None])).all(axis=2)
        j, k = np.nonzero(near)
        j += i
        keep = j < k
        j, k = j[keep], k[keep]
        apart = _side(a[j], b[j], a[k]) * _side(a[j], b[j], b[k])
        across = _side(a[k], b[k], a[j]) * _side(a[k], b[k], b[j])
        found = np.flatnonzero((apart < -_TOUCHING) & (across < -_TOUCHING))
        if len(found):
            x, y = a[j[found[0]]]
            return float(x), float(y)
    return None


def _side(a: Points, b: Points, p: Points) -> NDArray[np.float64]:
    return np.asarray((b[:, 0] - a[:, 0]) * (p[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (p[:, 0] - a[:, 0]))


def holds(ring: Points, p: Point) -> bool:
    """Whether a point lies inside a closed polyline (even-odd)."""
    (x0, y0), (x1, y1) = ring.T, np.roll(ring, -1, axis=0).T
    spans = (y0 > p[1]) != (y1 > p[1])
    at = x0[spans] + (p[1] - y0[spans]) * (x1[spans] - x0[spans]) / (y1[spans] - y0[spans])
    return bool(np.count_nonzero(at > p[0]) % 2)
