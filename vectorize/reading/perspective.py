"""Sides of a sheet come in; out goes the plane they lie in: how the camera looked at it, its sheet format, its frame."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from vectorize.geometry import Homography, PlaneMap, Point, Points, frozen, signed_polygon_area
from vectorize.reading.levenberg import least_misfit
from vectorize.reading.sides import Side, facing
from vectorize.trade.picture import SAME_SHAPE_WITHIN, SHEET_ASPECT_TOLERANCE, SHEET_SIZES_MM

LEFT, TOP, RIGHT, BOTTOM = range(4)

USUAL_FOCAL_RATIO = 0.77
"""Focal length to a 4:3 picture's long side for a lens equal to 26-27 mm on 36 x 24 mm film, a phone's main lens."""
FOCAL_SPREAD = 0.4
"""Standard deviation of the logarithm of that ratio."""
ANGLE_SPREAD_RAD = math.radians(0.4)
"""How far a sheet's corner may seem off 90 degrees: lens bend and curl."""
SIDE_SPREAD_RAD = math.radians(0.03)
"""Of a side's direction, as measured over some hundred pixels."""
LINE_SPREAD_RAD = math.radians(0.15)
"""Of lines ruled parallel by hand: .3 mm over a word of 120 mm."""
TILT_SPREAD_RAD = math.radians(10.0)
"""Of a hand-held camera that looks down on a sheet."""
LOG_FOCALS = np.linspace(-1.2, 1.2, 121)
"""Logarithms of focal lengths over the usual one that are tried: three spreads to either side."""
NO_FORMAT_COST = 6.0
"""In squared standard deviations: a sheet that seems further off all known formats has none of them."""
LEAST_EDGE_PX = 30.0
"""A sheet with a shorter side in the picture holds no word that could be read."""


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """The sheet's own frame. to_picture: sheet px -> picture px; size_px: (width, height); sheet_name or None.

    mm_per_px: true length of a sheet px, None when the format is unknown.
    """

    to_picture: PlaneMap
    size_px: tuple[int, int]
    sheet_name: str | None
    mm_per_px: float | None


def corner(a: Side, b: Side) -> Points:
    """Where two sides meet; raises numpy.linalg.LinAlgError for parallel ones."""
    met: Points = np.linalg.solve(np.array([a.normal, b.normal]), np.array([a.offset, b.offset]))
    return met


def whole_sheet(sides: dict[int, Side], picture_px: tuple[int, int]) -> Frame | None:
    """The frame of a sheet whose four sides are seen; None when they enclose no sensible quadrilateral."""
    try:
        corners = np.array(
            [corner(sides[a], sides[b]) for a, b in ((LEFT, TOP), (TOP, RIGHT), (RIGHT, BOTTOM), (BOTTOM, LEFT))]
        )
    except np.linalg.LinAlgError:
        return None
    edges = np.roll(corners, -1, axis=0) - corners
    turns = edges[:, 0] * np.roll(edges[:, 1], -1) - edges[:, 1] * np.roll(edges[:, 0], -1)
    if not (turns > 0).all() or np.linalg.norm(edges, axis=1).min() < LEAST_EDGE_PX:
        return None
    aspect, name = _aspect(corners, picture_px)
    width_px = math.sqrt(abs(signed_polygon_area(corners)) * aspect)
    size = max(2, round(width_px)), max(2, round(width_px / aspect))
    mm = None
    if name is not None:
        short, long = (float(v) for v in SHEET_SIZES_MM[name])
        mm = (short if aspect < 1 else long) / size[0]
    return Frame(from_corners(corners, size), size, name, mm)


def from_corners(corners: Points, size_px: tuple[int, int]) -> Homography:
    """The homography from the rectangle (0, 0)-(w, h) to four corners in the order tl, tr, br, bl."""
    w, h = size_px
    rows, right = [], []
    for (x, y), (u, v) in zip(((0, 0), (w, 0), (w, h), (0, h)), corners, strict=True):
        rows += [(x, y, 1, 0, 0, 0, -u * x, -u * y), (0, 0, 0, x, y, 1, -v * x, -v * y)]
        right += [u, v]
    m = np.append(np.linalg.solve(np.array(rows, float), np.array(right, float)), 1.0).reshape(3, 3)
    return Homography(frozen(m))


def _aspect(corners: Points, picture_px: tuple[int, int]) -> tuple[float, str | None]:
    """Width to height of the sheet, snapped to a known format where one fits; and the format's name.

    Z. Zhang and L.-W. He, Whiteboard scanning and image enhancement (2007), eqs. 11-20: a quadrilateral that is a
    rectangle in space gives the focal length by its right angle and, with it, its aspect. Nearly head-on the focal
    length is undetermined there; a prior over lenses takes its place, which changes the aspect hardly at all.
    """
    long = float(max(picture_px))
    centred = (corners - np.array(picture_px) / 2.0) / long
    h = from_corners(centred, (1, 1)).matrix
    best: tuple[float, float, str | None] = (math.inf, 1.0, None)
    for log_f in LOG_FOCALS:
        f = USUAL_FOCAL_RATIO * math.exp(log_f)
        a, b = (np.array([c[0] / f, c[1] / f, c[2]]) for c in (h[:, 0], h[:, 1]))
        na, nb = float(np.linalg.norm(a)), float(np.linalg.norm(b))
        cost = (math.asin(min(1.0, abs(float(a @ b)) / (na * nb))) / ANGLE_SPREAD_RAD) ** 2 + (
            log_f / FOCAL_SPREAD
        ) ** 2
        for aspect, name in _formats(na / nb):
            off = math.log(na / nb / aspect) / (SHEET_ASPECT_TOLERANCE / 2)
            total = cost + (off**2 if name else NO_FORMAT_COST)
            if total < best[0]:
                best = (total, aspect, name)
    return best[1], best[2]


def _formats(measured: float) -> list[tuple[float, str | None]]:
    """The known formats of about this aspect, one a shape, and the measured aspect itself for none of them."""
    fitting: list[tuple[float, str | None]] = [(measured, None)]
    for name, (short, long) in SHEET_SIZES_MM.items():
        for aspect in (short / long, long / short):
            same_shape = any(n is not None and abs(math.log(aspect / a)) < SAME_SHAPE_WITHIN for a, n in fitting)
            if not same_shape and abs(math.log(measured / aspect)) < 2 * SHEET_ASPECT_TOLERANCE:
                fitting.append((aspect, name))
    return fitting


def part_of_sheet(
    sides: dict[int, Side],
    picture_px: tuple[int, int],
    focal_ratio: float | None = None,
    parallels: tuple[tuple[Point, Point], ...] = (),
) -> Frame:
    """The frame of a sheet seen in part: the least tilted plane on which the sides that are seen meet at right angles.

    Two opposite sides show the vanishing point of one direction, a third side that of the other (R. Hartley and
    A. Zisserman, Multiple View Geometry, 2nd ed., 8.6). What they leave open is closed by lines that were drawn
    parallel (ends in picture px, in any common direction), and by looking as straight down as these allow.
    focal_ratio: focal length to the picture's diagonal, None for a phone's usual lens.
    """
    focal = USUAL_FOCAL_RATIO * max(picture_px) if focal_ratio is None else focal_ratio * math.hypot(*picture_px)
    centre = np.array(picture_px) / 2.0
    edges = {k: _sight(s.normal, s.offset, centre, focal) for k, s in sides.items()}
    drawn = [_sight_through(p, q, centre, focal) for p, q in parallels]

    def misfit(unknown: Points) -> Points:
        r = _rotation(unknown[:3])
        along = math.cos(unknown[3]) * r[:, 0] + math.sin(unknown[3]) * r[:, 1]
        by_sides = [n @ r[:, 1 if k in {LEFT, RIGHT} else 0] / SIDE_SPREAD_RAD for k, n in edges.items()]
        by_lines = [n @ along / LINE_SPREAD_RAD for n in drawn]
        return np.array([*by_sides, *by_lines, unknown[0] / TILT_SPREAD_RAD, unknown[1] / TILT_SPREAD_RAD])

    r = _rotation(least_misfit(misfit, np.zeros(4), robust=bool(drawn))[:3])
    camera = np.array([(focal, 0, centre[0]), (0, focal, centre[1]), (0, 0, 1.0)])
    plane = camera @ np.column_stack((r[:, 0], r[:, 1], (0.0, 0.0, focal)))
    return _fitted(Homography(plane / plane[2, 2]), sides, picture_px)


def _sight(normal: Points, offset: float, centre: Points, focal: float) -> Points:
    """Unit normal of the plane through the camera and a line of the picture (normal . p = offset)."""
    n = np.array([normal[0] * focal, normal[1] * focal, normal @ centre - offset])
    sight: Points = n / np.linalg.norm(n)
    return sight


def _sight_through(p: Point, q: Point, centre: Points, focal: float) -> Points:
    d = np.subtract(q, p) / math.dist(p, q)
    normal = np.array([-d[1], d[0]])
    return _sight(normal, float(normal @ p), centre, focal)


def _rotation(turn: Points) -> Points:
    """Rotation matrix for turns about x, y, z in radians, z first."""
    (cx, cy, cz), (sx, sy, sz) = np.cos(turn), np.sin(turn)
    x = np.array([(1, 0, 0), (0, cx, -sx), (0, sx, cx)])
    y = np.array([(cy, 0, sy), (0, 1, 0), (-sy, 0, cy)])
    z = np.array([(cz, -sz, 0), (sz, cz, 0), (0, 0, 1)])
    return np.asarray(x @ y @ z)


def _fitted(plane: Homography, sides: dict[int, Side], picture_px: tuple[int, int]) -> Frame:
    """The frame moved so that its rectangle just holds what is seen of the sheet."""
    back = plane.inverse()
    seen = back.apply(_visible(sides, picture_px))
    (x0, y0), (x1, y1) = seen.min(axis=0), seen.max(axis=0)
    for k, s in sides.items():
        x, y = back.apply(s.ends).mean(axis=0)
        x0, y0 = (x if k == LEFT else x0), (y if k == TOP else y0)
        x1, y1 = (x if k == RIGHT else x1), (y if k == BOTTOM else y1)
    size = max(2, round(x1 - x0)), max(2, round(y1 - y0))
    move = np.array([(1, 0, x0), (0, 1, y0), (0, 0, 1.0)])
    m = plane.matrix @ move
    return Frame(Homography(frozen(m / m[2, 2])), size, None, None)


def _visible(sides: dict[int, Side], picture_px: tuple[int, int]) -> Points:
    """Corners of the picture's rectangle cut down by the sides (Sutherland and Hodgman 1974)."""
    w, h = picture_px
    polygon = [np.array(p, float) for p in ((0, 0), (w, 0), (w, h), (0, h))]
    for s in sides.values():
        kept = []
        for p, q in itertools.pairwise([*polygon, polygon[0]]):
            dp, dq = s.normal @ p - s.offset, s.normal @ q - s.offset
            if dp >= 0:
                kept.append(p)
            if (dp >= 0) != (dq >= 0):
                kept.append(p + (q - p) * dp / (dp - dq))
        polygon = kept or polygon
    return np.array(polygon)


def by_facing(sides: tuple[Side, ...]) -> dict[int, Side]:
    """Sides by where they lie: LEFT, TOP, RIGHT, BOTTOM."""
    return {facing(s): s for s in sides}
