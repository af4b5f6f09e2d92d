"""A picture comes in; out go the sides of the sheet that can be seen in it, as straight lines in picture px."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter
from scipy import ndimage
from scipy.spatial import ConvexHull, QhullError
from skimage.filters import threshold_otsu

from vectorize.geometry import Points
from vectorize.reading.resample import reduced

THUMB_PX = 700
"""Long side of the picture in which the sheet is looked for: a side then still shows hundreds of edge pixels."""

SMALLEST_SHARE = 0.08
"""Of the picture: a smaller bright patch is not the sheet that was photographed."""
LEAST_CONTRAST = 0.6
"""Share of a side along which paper and desk differ; the edge of a shadow is soft and stays below."""
SHORTEST_STRETCH_PX = 50
"""Of the thumb: the shortest stretch that still fixes a direction to about .1 deg after refinement."""
BEND = 0.06
"""Sine of the angle by which a curled sheet's side may bend off."""


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """A straight side of the sheet. normal: unit vector (x, y) into the sheet; offset: normal . p = offset on the side.

    ends: the stretch that is seen, shape (2, 2). seen: share of that stretch where a step in the picture lies on the line.
    """

    normal: Points
    offset: float
    ends: Points
    seen: float

    def distance(self, points: Points) -> Points:
        """Signed distance of points (n, 2), positive towards the sheet."""
        d: Points = points @ self.normal - self.offset
        return d


@dataclass(frozen=True, slots=True, eq=False)
class _Candidate:
    score: float
    sides: tuple[Side, ...]


def sheet_sides(rgb: NDArray[np.uint8]) -> tuple[Side, ...]:
    """The sides that are seen, one to four; empty where the paper fills the picture or nothing looks like a sheet."""
    height, width = rgb.shape[:2]
    step = max(1, round(max(height, width) / THUMB_PX))
    thumb = Image.fromarray(reduced(rgb, step)).filter(ImageFilter.MedianFilter(5))
    smooth = np.asarray(thumb).astype(np.float32)
    best: _Candidate | None = None
    for mask in _masks(smooth):
        candidate = _candidate(mask, smooth)
        if candidate is not None and (best is None or candidate.score > best.score):
            best = candidate
    if best is None:
        return ()
    refined = tuple(_refined(rgb, s, step) for s in best.sides)
    return tuple(s for s in refined if s is not None)


def _masks(smooth: NDArray[np.float32]) -> list[NDArray[np.bool_]]:
    """What may be the sheet: bright, or pale, at several thresholds about Otsu's."""
    bright = smooth.mean(axis=2)
    pale = smooth.min(axis=2)
    grey = 255.0 - (smooth.max(axis=2) - smooth.min(axis=2))
    masks = []
    for plane in (bright, pale, grey):
        if plane.max() - plane.min() < 8:
            continue
        otsu = float(threshold_otsu(plane))  # type: ignore[no-untyped-call]
        masks += [plane > otsu * f for f in ((1.0,) if plane is grey else (0.5, 0.8, 1.0))]
    return masks + _fenced(smooth)


def _fenced(smooth: NDArray[np.float32]) -> list[NDArray[np.bool_]]:
    """Areas fenced in by sharp steps of relative brightness: a shadow's soft edge is no fence, however dark it gets."""
    tone = np.log(smooth + 8.0)
    across = np.abs(tone[:, 2:] - tone[:, :-2]).max(axis=2)
    down = np.abs(tone[2:] - tone[:-2]).max(axis=2)
    step = np.zeros(tone.shape[:2], np.float32)
    step[:, 1:-1] = across
    step[1:-1] = np.maximum(step[1:-1], down)
    fence = ndimage.maximum_filter(step, size=5)
    return [fence < t for t in (0.08, 0.14, 0.22)]


def _candidate(mask: NDArray[np.bool_], smooth: NDArray[np.float32]) -> _Candidate | None:
    """The biggest part of a mask as a polygon, its sides and how good they look."""
    labels, count = ndimage.label(mask)
    if count == 0:
        return None
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    rows, first, last = _spans(labels == sizes.argmax())
    filled = float((last - first + 1).sum())
    area = filled / mask.size
    polygon = _hull(rows, first, last) if area > SMALLEST_SHARE else None
    if polygon is None:
        return None
    filling = filled / max(_area(polygon), 1.0)
    stretches = [(s, _contrast(s, smooth)) for s in _straight_sides(polygon, mask.shape)]
    sides = _joined([s for s, c in stretches if c > LEAST_CONTRAST])
    if not sides or filling < 0.9:
        return None
    lengths = [math.dist(*s.ends) for s, _ in stretches]
    supported = sum(n * c for n, (_, c) in zip(lengths, stretches, strict=True)) / sum(lengths)
    if supported < LEAST_CONTRAST:
        return None
    return _Candidate(filling**4 * (0.3 + 0.7 * supported) * (0.7 + 0.075 * len(sides)) * area**0.2, tuple(sides))


def _spans(part: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Rows in which the part is seen, and its first and last column there; holes do not matter so."""
    rows = np.nonzero(part.any(axis=1))[0]
    return rows, part[rows].argmax(axis=1), part.shape[1] - 1 - part[rows, ::-1].argmax(axis=1)


def _hull(rows: NDArray[np.int64], first: NDArray[np.int64], last: NDArray[np.int64]) -> Points | None:
    """Convex hull of the pixels' outer corners; None for a part without area."""
    points = np.concatenate([np.column_stack((x, rows + down)) for x in (first, last + 1) for down in (0, 1)]).astype(
        float
    )
    try:
        hull = ConvexHull(points)
    except QhullError:
        return None
    around: Points = points[hull.vertices]
    return around


def _area(polygon: Points) -> float:
    x, y = polygon.T
    return float(abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2)


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
        d = (q - p) / length
        normal = np.array([-d[1], d[0]])
        if normal @ (polygon.mean(axis=0) - p) < 0:
            normal = -normal
        sides.append(Side(normal, float(normal @ p), np.array([p, q]), 1.0))
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
    first = _peucker(ring[: other + 1], tolerance)
    second = _peucker(np.concatenate((ring[other:], ring[:1])), tolerance)
    return np.concatenate((first[:-1], second[:-1]))


def _peucker(points: Points, tolerance: float) -> Points:
    p, q = points[0], points[-1]
    length = math.dist(p, q)
    if len(points) < 3 or length == 0:
        return points[[0, -1]]
    off = np.abs((points[:, 0] - p[0]) * (q[1] - p[1]) - (points[:, 1] - p[1]) * (q[0] - p[0])) / length
    k = int(off.argmax())
    if off[k] <= tolerance:
        return points[[0, -1]]
    return np.concatenate((_peucker(points[: k + 1], tolerance)[:-1], _peucker(points[k:], tolerance)))


def _joined(stretches: list[Side]) -> list[Side]:
    """One side for each of left, top, right, bottom: its longest stretch, run on over those that bend off a little."""
    sides = []
    for k in range(4):
        own = sorted((s for s in stretches if facing(s) == k), key=lambda s: -math.dist(*s.ends))
        if not own or math.dist(*own[0].ends) < SHORTEST_STRETCH_PX:
            continue
        main = own[0]
        along = np.array([main.normal[1], -main.normal[0]])
        near = [s for s in own if abs(float(s.normal @ along)) < BEND and np.abs(main.distance(s.ends)).max() < 12]
        reach = np.concatenate([s.ends for s in near]) @ along
        foot = main.normal * main.offset
        sides.append(Side(main.normal, main.offset, foot + np.outer((reach.min(), reach.max()), along), 1.0))
    return sides


def facing(side: Side) -> int:
    """0 for a left side, 1 top, 2 right, 3 bottom, by where its normal points."""
    angle = math.degrees(math.atan2(side.normal[1], side.normal[0]))
    return int(((angle + 45) % 360) // 90)


def _contrast(side: Side, smooth: NDArray[np.float32]) -> float:
    """Share of the side along which the sheet is clearly another colour than what lies beyond, 0 to 1."""
    t = np.linspace(0.03, 0.97, 60)[:, None]
    along = side.ends[0] + t * (side.ends[1] - side.ends[0])
    beyond = along - 4.0 * side.normal
    height, width = smooth.shape[:2]
    seen = (beyond >= 0).all(axis=1) & (beyond[:, 0] < width) & (beyond[:, 1] < height)
    if seen.mean() < 0.5:
        return 0.0
    inside = _sample(smooth, (along + 4.0 * side.normal)[seen])
    outside = _sample(smooth, beyond[seen])
    return float((np.abs(inside - outside).max(axis=1) > 0.12 * np.maximum(inside.max(axis=1), 20)).mean())


def _sample(plane: NDArray[np.float32], points: Points) -> NDArray[np.float32]:
    x = np.clip(points[:, 0].astype(int), 0, plane.shape[1] - 1)
    y = np.clip(points[:, 1].astype(int), 0, plane.shape[0] - 1)
    colours: NDArray[np.float32] = plane[y, x]
    return colours


def _refined(rgb: NDArray[np.uint8], side: Side, step: int) -> Side | None:
    """The side at full resolution: the strongest step along each of 160 normals, then a robust line through them."""
    ends = side.ends * step
    length = math.dist(*ends)
    reach = 6.0 * step
    t = np.linspace(0.03, 0.97, 160)
    along = ends[0] + t[:, None] * (ends[1] - ends[0])
    depth = np.arange(-reach, reach + 1.0, max(1.0, step / 4))
    points = along[:, None, :] + depth[None, :, None] * side.normal
    x, y = points[..., 0], points[..., 1]
    inside_picture = (x > 1) & (y > 1) & (x < rgb.shape[1] - 1) & (y < rgb.shape[0] - 1)
    profile = _bilinear(rgb, x, y)
    spread = depth[1] - depth[0]
    smooth = ndimage.gaussian_filter1d(profile, 0.35 * step / spread + 0.6, axis=1)
    jump = np.abs(np.gradient(smooth, axis=1)).sum(axis=2) * inside_picture
    k = jump[:, 1:-1].argmax(axis=1) + 1
    rows = np.arange(len(k))
    a, b, c = jump[rows, k - 1], jump[rows, k], jump[rows, k + 1]
    offset = depth[k] + spread * 0.5 * (a - c) / np.where(a - 2 * b + c == 0, -1.0, a - 2 * b + c)
    usable = inside_picture.all(axis=1) & (b > 0)
    if usable.sum() < 20:
        return None
    line, seen = robust_line(t[usable] * length, offset[usable], tolerance=max(1.5, 0.5 * step))
    if seen < 0.3:
        return None
    direction = (ends[1] - ends[0]) / length
    start = ends[0] + side.normal * line[0]
    stop = ends[1] + side.normal * (line[0] + line[1] * length)
    d = (stop - start) / math.dist(stop, start)
    normal = (
        np.array([-d[1], d[0]])
        if np.array([-direction[1], direction[0]]) @ side.normal > 0
        else np.array([d[1], -d[0]])
    )
    return Side(normal, float(normal @ start), np.array([start, stop]), seen)


def _bilinear(rgb: NDArray[np.uint8], x: Points, y: Points) -> NDArray[np.float32]:
    """Colour at points given with pixel centres at +0.5."""
    x = np.clip(x - 0.5, 0, rgb.shape[1] - 1.001)
    y = np.clip(y - 0.5, 0, rgb.shape[0] - 1.001)
    i, j = x.astype(int), y.astype(int)
    u, v = (x - i)[..., None].astype(np.float32), (y - j)[..., None].astype(np.float32)
    top = rgb[j, i] * (1 - u) + rgb[j, i + 1] * u
    low = rgb[j + 1, i] * (1 - u) + rgb[j + 1, i + 1] * u
    blended: NDArray[np.float32] = top * (1 - v) + low * v
    return blended


def robust_line(x: Points, y: Points, tolerance: float) -> tuple[tuple[float, float], float]:
    """(intercept, slope) of y over x despite outliers, and the share of points within `tolerance`.

    Method: the pair of points with most followers (RANSAC, Fischler and Bolles 1981, with all pairs of a fixed
    coarse comb instead of random ones), then Huber's reweighting.
    """
    comb = np.linspace(0, len(x) - 1, 28).astype(int)
    i, j = (v.ravel() for v in np.meshgrid(comb, comb))
    far = np.abs(x[i] - x[j]) > 0.25 * (x.max() - x.min())
    i, j = i[far], j[far]
    slope = (y[j] - y[i]) / (x[j] - x[i])
    base = y[i] - slope * x[i]
    near = np.abs(y[None, :] - base[:, None] - slope[:, None] * x[None, :]) < tolerance
    best = int(near.sum(axis=1).argmax())
    a, b = float(base[best]), float(slope[best])
    for _ in range(8):
        r = np.abs(y - a - b * x)
        scale = max(0.1, 1.4826 * float(np.median(r[r < 2 * tolerance])) if (r < 2 * tolerance).any() else tolerance)
        w = np.where(r < 2 * tolerance, np.minimum(1.0, 1.5 * scale / np.maximum(r, 1e-9)), 0.0)
        mx, my = np.average(x, weights=w), np.average(y, weights=w)
        b = float(np.sum(w * (x - mx) * (y - my)) / np.sum(w * (x - mx) ** 2))
        a = float(my - b * mx)
    return (a, b), float((np.abs(y - a - b * x) < tolerance).mean())
