"""Contours that overlap, as fonts may have them, come in; out goes the one edge around their ink (nonzero rule)."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from vectorize.curves import Contour, flatten, polygon, signed_area
from vectorize.geometry import Point, Points

# Letter units: flattening, the side step by which inside and outside are told, and points taken for one.
FLAT_U = 0.25
STEP_U = 0.02
SAME_U = 1e-4
# A share of an edge's length: a crossing so near to an end of it lies at that end.
AT_END = 1e-9
# A loop smaller than this, square letter units, is a rounding of the crossing and no shape.
SMALLEST_AREA = 4.0


def united(contours: Sequence[Contour]) -> tuple[Contour, ...]:
    """The edge of the ink: the contours themselves where none cross or nest in their own kind, else polygons.

    Every edge is cut at all crossings; a piece stays when the winding number is zero on exactly one of its sides;
    pieces are chained with the ink on their left. Outer contours come out counter-clockwise, counters clockwise.
    """
    rings = [flatten(c, FLAT_U) for c in contours]
    starts = np.concatenate(rings)
    ends = np.concatenate([np.roll(r, -1, axis=0) for r in rings])
    pieces = _cut(starts, ends)
    kept = _boundary(pieces, starts, ends)
    if len(kept) == len(starts) == len(pieces):
        return tuple(contours)
    return tuple(polygon(ring) for ring in _chained(kept))


def _cut(starts: Points, ends: Points) -> NDArray[np.float64]:
    """All edges cut where they cross another; shape (n, 2, 2)."""
    d = ends - starts
    across = d[:, None, 0] * d[None, :, 1] - d[:, None, 1] * d[None, :, 0]
    gap = starts[None, :, :] - starts[:, None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (gap[..., 0] * d[None, :, 1] - gap[..., 1] * d[None, :, 0]) / across
        u = (gap[..., 0] * d[:, None, 1] - gap[..., 1] * d[:, None, 0]) / across
    crossing = (t > AT_END) & (t < 1 - AT_END) & (u > -AT_END) & (u < 1 + AT_END)
    touching = _ends_on(starts, d)
    pieces = []
    for i in range(len(starts)):
        at = sorted({0.0, 1.0, *(round(float(v), 9) for v in t[i, crossing[i]]), *touching[i]})
        points = [starts[i] + v * d[i] for v in at]
        pieces += [(a, b) for a, b in pairwise(points) if np.hypot(*(b - a)) > SAME_U]
    return np.array(pieces)


def _ends_on(starts: Points, d: Points) -> list[list[float]]:
    """For each edge, where along it other edges begin that lie on it: edges that run together are cut alike."""
    length = np.hypot(d[:, 0], d[:, 1])
    found = []
    for i in range(len(starts)):
        gap = starts - starts[i]
        along = (gap @ d[i]) / max(length[i] ** 2, 1e-12)
        off = np.abs(gap[:, 0] * d[i, 1] - gap[:, 1] * d[i, 0]) / max(length[i], 1e-12)
        on = (off < SAME_U) & (along > AT_END) & (along < 1 - AT_END)
        found.append([round(float(v), 9) for v in along[on]])
    return found


def _boundary(pieces: NDArray[np.float64], starts: Points, ends: Points) -> list[tuple[Point, Point]]:
    """Pieces with ink on one side only, turned so that it lies on their left; pieces that run together once."""
    a, b = pieces[:, 0], pieces[:, 1]
    middle, d = (a + b) / 2.0, b - a
    normal = np.column_stack((-d[:, 1], d[:, 0])) / np.hypot(d[:, 0], d[:, 1])[:, None] * STEP_U
    left, right = _winding(middle + normal, starts, ends) != 0, _winding(middle - normal, starts, ends) != 0
    kept: dict[tuple[Point, Point], None] = {}
    for i in np.nonzero(left != right)[0]:
        p, q = _key(a[i]), _key(b[i])
        kept[(p, q) if left[i] else (q, p)] = None
    return list(kept)


def _key(p: Points) -> Point:
    """The same for all pieces that end at one place, whichever edges they were cut from."""
    return round(float(p[0]), 3), round(float(p[1]), 3)


def _winding(points: Points, starts: Points, ends: Points) -> NDArray[np.int64]:
    """Winding numbers of points, by crossings of a ray to the right; shape (n,)."""
    y0, y1 = starts[None, :, 1], ends[None, :, 1]
    y = points[:, None, 1]
    up, down = (y0 <= y) & (y1 > y), (y1 <= y) & (y0 > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        x = starts[None, :, 0] + (y - y0) * (ends[None, :, 0] - starts[None, :, 0]) / (y1 - y0)
    right = x > points[:, None, 0]
    return np.asarray((up & right).sum(axis=1) - (down & right).sum(axis=1))


def _chained(pieces: Sequence[tuple[Point, Point]]) -> list[list[Point]]:
    """Closed rings from directed pieces; at a point where rings touch the sharpest left turn stays on its ring."""
    following: dict[Point, list[Point]] = {}
    for p, q in pieces:
        following.setdefault(p, []).append(q)
    rings = []
    while following:
        start = at = next(iter(following))
        ring, before = [start], None
        while at in following:
            choices = following[at]
            after = choices[0] if before is None or len(choices) == 1 else max(choices, key=_turn(before, at))
            choices.remove(after)
            if not choices:
                del following[at]
            before, at = at, after
            if at == start:
                break
            ring.append(at)
        if len(ring) > 2 and abs(signed_area(polygon(ring))) > SMALLEST_AREA:
            rings.append(ring)
    return rings


def _turn(before: Point, at: Point) -> Callable[[Point], float]:
    """How far to the left a way turns at a point, radians from -pi to pi, for the point it goes on to."""
    came = math.atan2(at[1] - before[1], at[0] - before[0])

    def left(after: Point) -> float:
        turn = math.atan2(after[1] - at[1], after[0] - at[0]) - came
        return (turn + math.pi) % (2.0 * math.pi) - math.pi

    return left
