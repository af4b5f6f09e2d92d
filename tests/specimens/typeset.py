"""A word set from an open font: its outlines in letter units with the designer's own spacing.

HarfBuzz gives the advances and kerning, fontTools the outlines; x-height and cap height come from the outlines of x and H.
"""

from __future__ import annotations

import importlib
from functools import cache
from pathlib import Path

import uharfbuzz
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

from vectorize.curves import Contour, Cubic, Line, Segment, moved, reversed_contour, signed_area, transformed
from vectorize.geometry import Affine, Point
from vectorize.outlines.outline import Outline


def font_path(family: str, style: str = "") -> Path:
    """The upright font file of an installed `fontpkg-<family>` package, Regular where there are several."""
    package = importlib.import_module("fontpkg_" + family.replace("-", "_"))
    folder = Path(package.__file__).parent / "files"
    files = sorted(p for p in folder.iterdir() if p.suffix in {".ttf", ".otf"} and "Italic" not in p.name)
    wanted = [p for p in files if style and style in p.name] or [p for p in files if "Regular" in p.name] or files
    return wanted[0]


@cache
def _font(path: Path, weight: int) -> tuple[TTFont, uharfbuzz.Font, float]:
    ttf = TTFont(path)
    hb = uharfbuzz.Font(uharfbuzz.Face(path.read_bytes()))
    if "fvar" in ttf:
        hb.set_variations({"wght": weight})
    x = _glyph_contours(ttf, ttf.getBestCmap()[ord("x")], weight)
    return ttf, hb, max(p[1] for c in x for s in c.segments for p in (s.start, s.end))


def _glyph_contours(ttf: TTFont, name: str, weight: int) -> list[Contour]:
    glyphs = ttf.getGlyphSet(location={"wght": weight} if "fvar" in ttf else None)
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    contours: list[Contour] = []
    segments: list[Segment] = []
    start = at = (0.0, 0.0)
    for verb, args in pen.value:
        if verb == "moveTo":
            start = at = args[0]
            segments = []
        elif verb == "lineTo":
            segments.append(Line(at, args[0]))
            at = args[0]
        elif verb == "curveTo":
            segments.append(Cubic(at, *args))
            at = args[-1]
        elif verb == "qCurveTo":
            pieces, at, start = _quadratics(at, start, args)
            segments.extend(pieces)
        else:
            if at != start:
                segments.append(Line(at, start))
            contours.append(Contour(tuple(s for s in segments if not (isinstance(s, Line) and s.start == s.end))))
    return contours


def _quadratics(at: Point, start: Point, args: tuple[Point | None, ...]) -> tuple[list[Segment], Point, Point]:
    off = list(args)
    if off[-1] is None:
        off = [p for p in off if p is not None]
        start = at = _middle(off[-1], off[0])
        off.append(at)
    pieces: list[Segment] = []
    for i, q in enumerate(off[:-1]):
        end = off[i + 1] if i + 2 == len(off) else _middle(q, off[i + 1])
        pieces.append(Cubic(at, _third(at, q), _third(end, q), end))
        at = end
    if len(off) == 1:
        pieces.append(Line(at, off[0]))
        at = off[0]
    return pieces, at, start


def _middle(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _third(a: Point, q: Point) -> Point:
    return a[0] + 2 / 3 * (q[0] - a[0]), a[1] + 2 / 3 * (q[1] - a[1])


def outline_word(path: Path, text: str, weight: int = 400) -> tuple[Outline, ...]:
    """The letters of `text` (spaces leave a gap) in letter units, x from 0 at the first letter's left edge.

    weight: of a variable font; a static font keeps its own.
    """
    ttf, hb, x_height = _font(path, weight)
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    uharfbuzz.shape(hb, buffer, {"kern": True, "liga": False, "clig": False, "calt": False})
    order = ttf.getGlyphOrder()
    to_units = Affine.scale(1000.0 / x_height)
    letters: list[Outline] = []
    pen = 0.0
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        contours = _glyph_contours(ttf, order[info.codepoint], weight)
        name = text[info.cluster]
        if contours and not name.isspace():
            placed = [transformed(moved(c, pen + position.x_offset, position.y_offset), to_units) for c in contours]
            letters.append(Outline(_oriented(placed), name))
        pen += position.x_advance
    left = letters[0].box_u.x0
    return tuple(o.moved(-left) for o in letters)


def _oriented(contours: list[Contour]) -> tuple[Contour, ...]:
    biggest = max(contours, key=lambda c: abs(signed_area(c)))
    if signed_area(biggest) < 0:
        contours = [reversed_contour(c) for c in contours]
    return tuple(contours)
