"""Letters built from plain geometry with known strokes, and outlines of open fonts as shapely sees them."""

from __future__ import annotations

import numpy as np
from shapely.affinity import skew
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import flatten, polygon, reversed_contour, signed_area
from vectorize.outlines.outline import Outline


def outline_of(shape: Polygon | MultiPolygon, name: str | None = None) -> Outline:
    """A shapely shape as a letter: outer contours counter-clockwise, counters clockwise."""
    parts = list(shape.geoms) if isinstance(shape, MultiPolygon) else [shape]
    contours = []
    for part in parts:
        for k, ring in enumerate((part.exterior, *part.interiors)):
            contour = polygon(np.array(ring.coords)[:-1].tolist())
            contours.append(contour if (signed_area(contour) > 0) is (k == 0) else reversed_contour(contour))
    return Outline(tuple(contours), name)


def stroke(points: list[tuple[float, float]], width: float) -> BaseGeometry:
    """A stroke of even width with flat ends."""
    return LineString(points).buffer(width / 2.0, cap_style="flat", join_style="mitre")


def ring(centre: tuple[float, float], outer: float, inner: float) -> BaseGeometry:
    """A round letter of even stroke."""
    p = Point(*centre)
    return p.buffer(outer, quad_segs=64).difference(p.buffer(inner, quad_segs=64))


def sheared(shape: BaseGeometry, deg: float) -> BaseGeometry:
    """The shape leaning to the right by `deg` about the baseline."""
    return skew(shape, xs=deg, origin=(0, 0))


def font_letter(family: str, letter: str, weight: int = 400) -> Outline:
    """One letter of an open font without overlaps."""
    return outline_of(font_shape(family, letter, weight), letter)


def font_shape(family: str, letter: str, weight: int = 400) -> Polygon | MultiPolygon:
    """The same as shapely sees it."""
    contours = outline_word(font_path(family), letter, weight)[0].contours
    solid: BaseGeometry = Polygon()
    for c in contours:
        if signed_area(c) > 0:
            solid = solid.union(Polygon(flatten(c, 0.2)).buffer(0))
    for c in contours:
        if signed_area(c) < 0:
            solid = solid.difference(Polygon(flatten(c, 0.2)).buffer(0))
    assert isinstance(solid, Polygon | MultiPolygon)
    return solid


def thin_and_thick(shape: Polygon) -> tuple[float, float]:
    """Shortest and longest distance from the edge of an O's counter to its outer edge, by shapely."""
    inner, outer = shape.interiors[0], shape.exterior
    places = [inner.interpolate(t, normalized=True).distance(outer) for t in np.linspace(0, 1, 400, endpoint=False)]
    return min(places), max(places)
