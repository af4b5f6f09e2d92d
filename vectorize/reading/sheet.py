"""A picture comes in; out go the sides of the sheet that can be seen in it, as straight lines in picture px."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.curves import fewer
from vectorize.geometry import Points, signed_polygon_area
from vectorize.raster import channels, greatest, otsu, regions_of
from vectorize.reading.resample import reduced
from vectorize.reading.sides import MOST_BOW, Side, facing, refined, side_between

THUMB_PX = 700
"""Long side of the picture in which the sheet is looked for: a side then still shows hundreds of edge pixels."""

SMALLEST_SHARE = 0.08
"""Of the picture: a smaller bright patch is not the sheet that was photographed."""
LEAST_CONTRAST = 0.6
"""Share of a side along which paper and desk differ; the edge of a shadow is soft and stays below."""
BEYOND_PX = (4.0, 9.0, 14.0)
"""Of the thumb: so far beyond a side the desk is still seen, where it was a drawn line the paper again."""
NARROWEST = 0.1
"""Area by the square of the longer extent: a band between two guidelines is narrower than any sheet."""
CLOSED, CLOSED_CONTRAST = 0.985, 0.6
"""Filling of its hull, and contrast all around, at which four stretches are taken for the four sides of one sheet."""
CLEAR, SLIGHT = 0.12, 0.05
"""Share of its brightness by which the sheet is another colour than the desk; and where four sides close, which no stain
and no shadow does, so that a white sheet is told from a white desk. Across a box drawn on the paper nothing changes."""
SHORTEST_STRETCH_PX = 50
"""Of the thumb: the shortest stretch that still fixes a direction to about .1 deg after refinement."""
BEND = 0.1
"""Sine of the angle by which a curled sheet's side may bend off."""

DARKEST = 0.62
"""Of the brightness beside it: wrapping paper on a white table has .75, a pencilled letter on paper .5 and less."""
HOLLOW_PX, HOLLOW_PLACES = 3.0, 65
"""Of the thumb: a side that lies so far inside the hull is hollow, as a lens or a curl makes it; and where it is looked at."""
MEDIAN_STRIDE = 4
"""Thousands of places tell a patch's usual brightness as well as all of them."""


@dataclass(frozen=True, slots=True, eq=False)
class _Candidate:
    score: float
    sides: tuple[tuple[Side, Points], ...]


def sheet_sides(rgb: NDArray[np.uint8]) -> tuple[Side, ...]:
    """The sides that are seen, one to four; empty where the paper fills the picture or nothing looks like a sheet."""
    height, width = rgb.shape[:2]
    step = max(1, round(max(height, width) / THUMB_PX))
    smooth = _median(_median(reduced(rgb, step), 0), 1).astype(np.float32)
    best: _Candidate | None = None
    for mask in _masks(smooth):
        candidate = _candidate(mask, smooth)
        if candidate is not None and (best is None or candidate.score > best.score):
            best = candidate
    if best is None:
        return ()
    found = (refined(rgb, side, chain, step) for side, chain in best.sides)
    return tuple(s for s in found if s is not None)


def _median(plane: NDArray[np.uint8], axis: int) -> NDArray[np.uint8]:
    """Median of five neighbours along an axis, by the exchange network that needs no sorting; edges repeated.

    Along both axes one after the other it takes away letters' strokes and ruled lines as a square median would.
    """
    count = plane.shape[axis]
    padded = np.pad(plane, [(2, 2) if k == axis else (0, 0) for k in range(plane.ndim)], mode="edge")
    a, b, e, c, d = (padded[(slice(None),) * axis + (slice(k, k + count),)] for k in range(5))
    low = np.maximum(np.minimum(a, b), np.minimum(c, d))
    high = np.minimum(np.maximum(a, b), np.maximum(c, d))
    return np.maximum(np.minimum(low, high), np.minimum(np.maximum(low, high), e))


def _masks(smooth: NDArray[np.float32]) -> list[NDArray[np.bool_]]:
    """What may be the sheet: bright, or pale, at several thresholds about Otsu's."""
    r, g, b = channels(smooth)
    bright = (r + g + b) / np.float32(3.0)
    pale = np.minimum(np.minimum(r, g), b)
    grey = np.float32(255.0) - (np.maximum(np.maximum(r, g), b) - pale)
    masks = []
    for plane in (bright, pale, grey):
        if plane.max() - plane.min() < 8:
            continue
        parting = otsu(plane)
        masks += [plane > parting * f for f in ((1.0,) if plane is grey else (0.5, 0.8, 1.0))]
    return masks + _fenced(smooth)


def _fenced(smooth: NDArray[np.float32]) -> list[NDArray[np.bool_]]:
    """Areas fenced in by sharp steps of relative brightness: a shadow's soft edge is no fence, however dark it gets."""
    step = np.zeros(smooth.shape[:2], np.float32)
    for channel in channels(smooth):
        tone = np.log(channel + np.float32(8.0))
        np.maximum(step[:, 1:-1], np.abs(tone[:, 2:] - tone[:, :-2]), out=step[:, 1:-1])
        np.maximum(step[1:-1], np.abs(tone[2:] - tone[:-2]), out=step[1:-1])
    fence = greatest(step, 5)
    return [fence < t for t in (0.045, 0.08, 0.14, 0.22)]


def _candidate(mask: NDArray[np.bool_], smooth: NDArray[np.float32]) -> _Candidate | None:
    """The biggest part of a mask as a polygon, its sides and how good they look."""
    regions = regions_of(mask)
    if not regions.count:
        return None
    part = regions.largest()
    rows, first, last = _spans(part)
    filled = float((last - first + 1).sum())
    area = filled / mask.size
    longest = max(float(np.ptp(rows)), float(last.max() - first.min())) + 1.0
    wide = area > SMALLEST_SHARE and filled > NARROWEST * longest**2
    if not wide or _darkly_drawn(part, smooth):
        return None
    polygon = _hull(rows, first, last)
    filling = filled / max(abs(signed_polygon_area(polygon)), 1.0)
    hollows = [(s, _hollow(s, part)) for s in _straight_sides(polygon, mask.shape)]
    # Four sides that close without a remainder speak for themselves, though a patterned desk hides half of each.
    closed = len(hollows) == 4 and filling > CLOSED
    clear = SLIGHT if closed else CLEAR
    stretches = [(s, _contrast(s, smooth, hollow, clear)) for s, hollow in hollows]
    least = 0.5 * CLOSED_CONTRAST if closed else LEAST_CONTRAST
    sides = _joined([x for x, (_, c) in zip(hollows, stretches, strict=True) if c > least])
    if not sides or filling < 0.9:
        return None
    lengths = [math.dist(*s.ends) for s, _ in stretches]
    supported = sum(n * c for n, (_, c) in zip(lengths, stretches, strict=True)) / sum(lengths)
    if supported < (CLOSED_CONTRAST if closed else LEAST_CONTRAST):
        return None
    return _Candidate(filling**8 * (0.3 + 0.7 * supported) * (0.7 + 0.075 * len(sides)) * area**0.2, tuple(sides))


def _darkly_drawn(part: NDArray[np.bool_], smooth: NDArray[np.float32]) -> bool:
    """Whether a part is much darker than most of the picture beside it: a large letter in a close crop is no sheet."""
    few = (slice(None, None, MEDIAN_STRIDE),) * 2
    bright, own = smooth[few].mean(axis=2), part[few]
    if own.all() or not own.any():
        return False
    return float(np.median(bright[own])) < DARKEST * float(np.median(bright[~own]))


def _hollow(side: Side, part: NDArray[np.bool_]) -> Points:
    """Where a side of the hull, which a sheet's hollow side leaves, finds the sheet: distances along it and into it, (m, 2).

    Nought everywhere where the side is as straight as can be seen.
    """
    length = math.dist(*side.ends)
    t = np.linspace(0.0, 1.0, HOLLOW_PLACES)
    depth = np.arange(0.0, max(MOST_BOW * length, HOLLOW_PX) + 2.0)
    along = side.ends[0] + t[:, None] * (side.ends[1] - side.ends[0])
    inside = _sample(part, along[:, None, :] + depth[:, None] * side.normal)
    found = np.where(inside.any(axis=1), inside.argmax(axis=1), 0).astype(float)
    found = _running_median(found, HOLLOW_PLACES // 8)
    if found.max() < HOLLOW_PX or found[[0, -1]].max() > HOLLOW_PX:
        found[:] = 0.0
    return np.column_stack((t * length, found))


def _running_median(row: Points, size: int) -> Points:
    """The median of the window around each value of a row (n,), its first and last value going on beyond its ends."""
    going_on = np.pad(row, (size // 2, (size - 1) // 2), mode="edge")
    # Of an even window the upper of the two middle values.
    return np.sort(np.lib.stride_tricks.sliding_window_view(going_on, size), axis=1)[:, size // 2]


def _spans(part: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Rows in which the part is seen, and its first and last column there; holes do not matter so."""
    rows = np.nonzero(part.any(axis=1))[0]
    return rows, part[rows].argmax(axis=1), part.shape[1] - 1 - part[rows, ::-1].argmax(axis=1)


def _hull(rows: NDArray[np.int64], first: NDArray[np.int64], last: NDArray[np.int64]) -> Points:
    """Convex hull of the pixels' outer corners (A. Andrew, Information Processing Letters 9, 1979)."""
    y = np.repeat(rows, 2)
    y[1::2] += 1
    left, right = (_chain(np.repeat(x, 2), y, side) for x, side in ((first, -1), (last + 1, 1)))
    return np.array(right + left[::-1], float)


def _chain(x: NDArray[np.int64], y: NDArray[np.int64], side: int) -> list[tuple[int, int]]:
    """The hull's chain of points on one side (-1 left, 1 right) of points in order of y, from the first to the last."""
    points = np.column_stack((x, y))
    kept = np.zeros(len(points), bool)
    # What lies on or behind the line between its neighbours is no corner: most points go so, many at a time.
    while not kept.all():
        (ax, ay), (bx, by) = np.diff(points, axis=0)[:-1].T, np.diff(points, axis=0)[1:].T
        kept = np.concatenate(([True], side * (ax * by - ay * bx) > 0, [True]))
        points = points[kept]
    chain: list[tuple[int, int]] = []
    for px, py in points.tolist():
        while len(chain) > 1:
            (ax, ay), (bx, by) = chain[-2:]
            if side * ((bx - ax) * (py - ay) - (by - ay) * (px - ax)) > 0:
                break
            chain.pop()
        chain.append((px, py))
    return chain


def _straight_sides(polygon: Points, shape: tuple[int, ...]) -> list[Side]:
    """The hull's straight stretches that do not run along the picture's own border."""
    height, width = shape
    size = max(height, width)
    corners = _simplified(polygon, 0.004 * size)
    sides = []
    for p, q in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        length = math.dist(p, q)
        if length < 0.05 * size or _on_border(p, q, width, height):
            continue
        sides.append(side_between(p, q, polygon.mean(axis=0)))
    return sides


def _on_border(p: Points, q: Points, width: int, height: int, reach: float = 4.0) -> bool:
    return bool(
        max(p[0], q[0]) < reach
        or max(p[1], q[1]) < reach
        or min(p[0], q[0]) > width - reach
        or min(p[1], q[1]) > height - reach
    )


def _simplified(polygon: Points, tolerance: float) -> Points:
    """Corners of a closed convex polygon after Douglas and Peucker (1973), started at its two farthest points."""
    far = int(np.argmax(np.sum((polygon - polygon.mean(axis=0)) ** 2, axis=1)))
    ring = np.roll(polygon, -far, axis=0)
    other = int(np.argmax(np.sum((ring - ring[0]) ** 2, axis=1)))
    first = fewer(ring[: other + 1], tolerance)
    second = fewer(np.concatenate((ring[other:], ring[:1])), tolerance)
    return np.concatenate((first[:-1], second[:-1]))


def _joined(stretches: list[tuple[Side, Points]]) -> list[tuple[Side, Points]]:
    """One side for each of left, top, right, bottom: its longest stretch, run on over those that bend off a little.

    With each side the polyline of its stretches: distance along it and towards the sheet, shape (m, 2).
    """
    sides = []
    for k in range(4):
        of_side = sorted((x for x in stretches if facing(x[0]) == k), key=lambda x: -math.dist(*x[0].ends))
        if not of_side or math.dist(*of_side[0][0].ends) < SHORTEST_STRETCH_PX:
            continue
        own = [side for side, _ in of_side]
        main, hollow = of_side[0]
        if hollow[:, 1].any():
            sides.append((main, hollow))
            continue
        along = np.array([main.normal[1], -main.normal[0]])
        near = [s for s in own if abs(float(s.normal @ along)) < BEND and np.abs(main.distance(s.ends)).max() < 20]
        points = np.concatenate([s.ends for s in near])
        points = points[np.argsort(points @ along)]
        p, q = points[0], points[-1]
        side = side_between(p, q, (p + q) / 2 + main.normal)
        sides.append((side, np.column_stack(((points - p) @ (q - p) / math.dist(p, q), side.distance(points)))))
    return sides


def _contrast(side: Side, smooth: NDArray[np.float32], hollow: Points, share: float) -> float:
    """Share of the side along which the sheet is another colour, by `share` of its brightness, than what lies beyond, 0 to 1.

    It stays another colour for a while: beyond a drawn line the same paper goes on.
    """
    t = np.linspace(0.03, 0.97, 60)[:, None]
    depth = np.interp(t * math.dist(*side.ends), *hollow.T)
    along = side.ends[0] + t * (side.ends[1] - side.ends[0]) + depth * side.normal
    inside = _sample(smooth, along + 4.0 * side.normal)
    clear = share * np.maximum(inside.max(axis=1), 20)
    height, width = smooth.shape[:2]
    other, nearest = np.ones(len(along), bool), np.zeros(len(along), bool)
    for step in BEYOND_PX:
        beyond = along - step * side.normal
        seen = (beyond >= 0).all(axis=1) & (beyond[:, 0] < width) & (beyond[:, 1] < height)
        other &= ~seen | (np.abs(inside - _sample(smooth, beyond)).max(axis=1) > clear)
        nearest |= seen
    return float(other[nearest].mean()) if nearest.mean() >= 0.5 else 0.0


def _sample(plane: NDArray[Any], points: Points) -> NDArray[Any]:
    x = np.clip(points[..., 0].astype(int), 0, plane.shape[1] - 1)
    y = np.clip(points[..., 1].astype(int), 0, plane.shape[0] - 1)
    found: NDArray[Any] = plane[y, x]
    return found
