"""One letter's ink comes in, its outline as closed Bezier contours in letter units goes out."""

from __future__ import annotations

import potrace

from vectorize.curves import Contour, Cubic, Line, Segment, reversed_contour, signed_area, transformed
from vectorize.geometry import Affine, Point
from vectorize.outlines.outline import Outline
from vectorize.reading.records import LetterInk


def draw_outline(letter: LetterInk, to_units: Affine, edge_blur_px: float) -> Outline:
    """The letter's outline in letter units; no contours where the ink has no edge.

    to_units: strip px -> letter units. edge_blur_px: sigma of the ink's edge.
    """
    paths = potrace.Bitmap(~(letter.coverage > 0.5)).trace(turdsize=4)
    place = Affine.shift(letter.left_px, letter.top_px).then(to_units)
    contours = [transformed(Contour(tuple(_segments(p))), place) for p in paths if len(p)]
    if contours and signed_area(max(contours, key=lambda c: abs(signed_area(c)))) < 0.0:
        contours = [reversed_contour(c) for c in contours]
    return Outline(tuple(contours), letter.name)


def _segments(path: potrace.Curve) -> list[Segment]:
    at: Point = (path.start_point.x, path.start_point.y)
    segments: list[Segment] = []
    for s in path.segments:
        end = (s.end_point.x, s.end_point.y)
        if s.is_corner:
            corner = (s.c.x, s.c.y)
            segments += [Line(at, corner), Line(corner, end)]
        else:
            segments.append(Cubic(at, (s.c1.x, s.c1.y), (s.c2.x, s.c2.y), end))
        at = end
    return segments
