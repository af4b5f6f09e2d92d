"""Drawings come in, one a page; out goes a PDF at true size whose bytes depend on nothing but the drawings.

Standard: ISO 32000-1:2008. One unit is 1/72 in (8.3.2), /PrintScaling /None asks a printer not to scale (Table 150).
"""

from __future__ import annotations

import contextlib
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from vectorize.curves import Contour, Line, points_of
from vectorize.geometry import Box, Point
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Picture, Rule, Shape, Strokes, walk
from vectorize.sheets.type import in_print, typeface, width_mm

PT_PER_MM: Final = 72.0 / 25.4

# Operators of ISO 32000-1, table 59; a ten-thousandth of a mm, as in SVG.
_MOVE: Final = "%.4f %.4f m"
_LINE: Final = "%.4f %.4f l"
_CURVE: Final = "%.4f %.4f %.4f %.4f %.4f %.4f c"

_NONZERO: Final = 1


def pdf_bytes(pages: Sequence[Drawing]) -> bytes:
    """The pages as a PDF; titles of pages become its outline of contents."""
    load_type()
    with _pictures_as_bytes():
        return _document(pages)


def load_type() -> None:
    """Make the sheets' type known to the library and read its widths, once."""
    for bold in (False, True):
        if typeface(bold=bold).fontName not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(typeface(bold=bold))
        width_mm("", 1.0, bold=bold)


@contextlib.contextmanager
def _pictures_as_bytes() -> Iterator[None]:
    """Within, pictures go in as they are and not as text, a quarter longer; others who use the library keep their setting."""
    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


def _document(pages: Sequence[Drawing]) -> bytes:
    out = io.BytesIO()
    canvas = Canvas(out, pageCompression=1, invariant=1, lang="en")
    canvas.setTitle(in_print(pages[0].title))
    canvas.setCreator("vectorize")
    canvas.setProducer("vectorize")
    canvas.setViewerPreference("PrintScaling", "None")
    linked = {i.link for p in pages for i in walk(p.items) if isinstance(i, Group) and i.link}
    for number, page in enumerate(pages, 1):
        _page(canvas, page, number, linked)
    canvas.save()
    return out.getvalue()


def _page(canvas: Canvas, page: Drawing, number: int, linked: set[str]) -> None:
    canvas.setPageSize((page.width_mm * PT_PER_MM, page.height_mm * PT_PER_MM))
    key = f"page-{number}"
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(in_print(page.title), key)
    # From here on the page is in mm, y down.
    canvas.transform(PT_PER_MM, 0.0, 0.0, -PT_PER_MM, 0.0, page.height_mm * PT_PER_MM)
    _draw(canvas, page.items, page, linked)
    canvas.showPage()


def _draw(canvas: Canvas, items: Iterable[Item], page: Drawing, linked: set[str]) -> None:
    for item in items:
        match item:
            case Group():
                _group(canvas, item, page, linked)
            case Shape():
                _shape(canvas, item)
            case Rule():
                _stroke(canvas, item.colour, item.width_mm, item.dash_mm)
                canvas.line(*item.start, *item.end)
            case Strokes():
                _strokes(canvas, item)
            case Label():
                _label(canvas, item)
            case Picture():
                _picture(canvas, item)


def _group(canvas: Canvas, group: Group, page: Drawing, linked: set[str]) -> None:
    around = _around(group.items) if group.link or group.id in linked else None
    if around and group.id in linked:
        # In the frame at hand: mm, y down; a little above, so that the place is not at the very edge of the window.
        canvas.bookmarkHorizontal(group.id, around.x0, around.y0 - 10.0)
    _draw(canvas, group.items, page, linked)
    if around and group.link:
        y0, y1 = (page.height_mm - v for v in (around.y1, around.y0))
        rect = tuple(v * PT_PER_MM for v in (around.x0, y0, around.x1, y1))
        canvas.linkRect("", group.link, rect, relative=0, thickness=0)


def _around(items: Iterable[Item]) -> Box | None:
    """The box around everything that is drawn, in mm."""
    found: Box | None = None
    for item in walk(items):
        own = _box(item)
        if own is not None:
            found = own if found is None else found.joined(own)
    return found


def _box(item: Item) -> Box | None:
    match item:
        case Shape():
            return _box_of(tuple(p for c in item.contours for s in c.segments for p in points_of(s)))
        case Rule():
            return _box_of((item.start, item.end))
        case Strokes():
            return _box_of(tuple(p for line in item.lines for p in line))
        case Label():
            width = width_mm(item.text, item.size_mm, bold=item.bold)
            left = item.at[0] - width * {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[item.anchor]
            return Box(left, item.at[1] - 0.8 * item.size_mm, left + width, item.at[1] + 0.25 * item.size_mm)
        case Picture():
            w, h = item.width_px, item.height_px
            return _box_of(tuple(item.to_mm.point(p) for p in ((0, 0), (w, 0), (w, h), (0, h))))
    return None


def _box_of(points: tuple[Point, ...]) -> Box | None:
    if not points:
        return None
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _shape(canvas: Canvas, shape: Shape) -> None:
    path = PDFPathObject([operator for contour in shape.contours for operator in _operators(contour)])
    if shape.fill:
        canvas.setFillColor(HexColor(shape.fill))
        canvas.setFillAlpha(shape.fill_opacity)
    if shape.stroke:
        _stroke(canvas, shape.stroke, shape.stroke_mm, shape.dash_mm)
    canvas.drawPath(path, stroke=int(shape.stroke is not None), fill=int(shape.fill is not None), fillMode=_NONZERO)
    if shape.fill_opacity < 1.0:
        canvas.setFillAlpha(1.0)


def _operators(contour: Contour) -> Iterator[str]:
    """The contour as path operators; written here, since the library takes its time over each number."""
    yield _MOVE % contour.segments[0].start
    last = len(contour.segments) - 1
    for i, s in enumerate(contour.segments):
        if not isinstance(s, Line):
            yield _CURVE % (*s.leaving, *s.arriving, *s.end)
        elif i < last:
            yield _LINE % s.end
    yield "h"


def _strokes(canvas: Canvas, strokes: Strokes) -> None:
    path = PDFPathObject([(_LINE if i else _MOVE) % p for line in strokes.lines for i, p in enumerate(line)])
    _stroke(canvas, strokes.colour, strokes.width_mm, strokes.dash_mm)
    canvas.drawPath(path, stroke=1, fill=0)


def _stroke(canvas: Canvas, colour: str, width: float, dash_mm: Iterable[float]) -> None:
    canvas.setStrokeColor(HexColor(colour))
    canvas.setLineWidth(width)
    canvas.setDash(list(dash_mm))


def _label(canvas: Canvas, label: Label) -> None:
    canvas.saveState()
    canvas.translate(*label.at)
    canvas.scale(1.0, -1.0)
    canvas.setFillColor(HexColor(label.colour))
    canvas.setFont(typeface(bold=label.bold).fontName, label.size_mm)
    draw: dict[Anchor, Any] = {
        Anchor.START: canvas.drawString,
        Anchor.MIDDLE: canvas.drawCentredString,
        Anchor.END: canvas.drawRightString,
    }
    draw[label.anchor](0.0, 0.0, in_print(label.text))
    canvas.restoreState()


def _picture(canvas: Canvas, picture: Picture) -> None:
    m = picture.to_mm
    canvas.saveState()
    canvas.transform(m.xx, m.yx, m.xy, m.yy, m.dx, m.dy)
    # PDF draws a picture upwards from its lower left corner.
    canvas.transform(1.0, 0.0, 0.0, -1.0, 0.0, float(picture.height_px))
    # Given the file, the JPEG's own bytes go into the PDF.
    canvas.drawImage(ImageReader(io.BytesIO(picture.data)), 0.0, 0.0, float(picture.width_px), float(picture.height_px))
    canvas.restoreState()
