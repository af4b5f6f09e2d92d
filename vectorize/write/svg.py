"""A Drawing comes in; out goes plain SVG 2 that also draws in readers of SVG 1.1: UTF-8 bytes, one unit of the viewBox 1 mm.

Paths hold absolute M, L, C and Z with plain decimals; only pictures carry a transform. The same drawing gives the same
bytes. Standard: Scalable Vector Graphics (SVG) 2, W3C Candidate Recommendation, 4 October 2018.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Iterable
from html import escape
from typing import Final

from vectorize.curves import Contour, Line
from vectorize.sheets.drawing import Drawing, Group, Item, Label, Picture, Rule, Shape, Strokes
from vectorize.sheets.type import FAMILY, is_whole, width_mm

# A ten-thousandth of a mm is a hundredth of what any plotter moves by, and keeps a moved letter's shape to that.
DECIMALS: Final = 4
_NUMBER: Final = f"%.{DECIMALS}f"
_POINT: Final = f"{_NUMBER} {_NUMBER}"
_TRAILING: Final = re.compile(r"\.?0+(?![\d.])")
_MINUS_NOUGHT: Final = re.compile(r"-0(?![\d.])")

FONTS: Final = f"'{FAMILY}', 'Source Sans 3', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif"

# Within an attribute a reader makes a space of these unless they are written as their numbers.
_SPACES: Final = {ord(c): f"&#{ord(c)};" for c in "\t\n\r"}
# Characters that XML 1.0, 2.2, does not allow.
_FORBIDDEN: Final = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def svg_bytes(drawing: Drawing) -> bytes:
    """The drawing as an SVG file."""
    w, h = number(drawing.width_mm), number(drawing.height_mm)
    head = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        f' width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">\n'
    )
    described = f"<desc>{text(drawing.description)}</desc>\n" if drawing.description else ""
    return f"{head}<title>{text(drawing.title)}</title>\n{described}{items(drawing.items)}</svg>\n".encode()


def inline_svg(drawing: Drawing, attributes: str) -> str:
    """The drawing as an svg element for an HTML page; `attributes` go into its tag."""
    view = f'viewBox="0 0 {number(drawing.width_mm)} {number(drawing.height_mm)}"'
    return f"<svg {view} {attributes}>\n<title>{text(drawing.title)}</title>\n{items(drawing.items)}</svg>"


def items(content: Iterable[Item]) -> str:
    """Items as SVG elements, one a line."""
    return "".join(_element(item) for item in content)


def number(value: float) -> str:
    """A plain decimal without an exponent and without trailing zeros."""
    return _plain(_NUMBER % value)


def text(value: str) -> str:
    """Text for an element; characters that XML forbids are shown as the replacement character."""
    return escape(_FORBIDDEN.sub("\ufffd", value), quote=False)


def attribute(name: str, value: str) -> str:
    """One attribute with a space before it."""
    return f' {name}="{escape(_FORBIDDEN.sub(chr(0xFFFD), value)).translate(_SPACES)}"'


def path_data(contours: Iterable[Contour]) -> str:
    """Absolute path data; a closing straight line is left to Z."""
    return " ".join(_contour(c) for c in contours)


def _contour(contour: Contour) -> str:
    parts, values = [f"M{_POINT}"], [*contour.segments[0].start]
    last = len(contour.segments) - 1
    for i, segment in enumerate(contour.segments):
        if not isinstance(segment, Line):
            parts.append(f"C{_POINT} {_POINT} {_POINT}")
            values += (*segment.leaving, *segment.arriving, *segment.end)
        elif i < last:
            parts.append(f"L{_POINT}")
            values += segment.end
    return _plain("".join(parts) % tuple(values)) + "Z"


def _plain(decimals: str) -> str:
    """Decimals of DECIMALS places without their trailing noughts, and nought without a sign."""
    return _MINUS_NOUGHT.sub("0", _TRAILING.sub("", decimals))


def _element(item: Item) -> str:
    match item:
        case Group():
            return _group(item)
        case Shape():
            return _shape(item)
        case Rule():
            return _rule(item)
        case Strokes():
            return _strokes(item)
        case Label():
            return _label(item)
        case Picture():
            return _picture(item)


def _group(group: Group) -> str:
    named = attribute("aria-label", group.title) if group.title else ""
    title = f"<title>{text(group.title)}</title>" if group.title else ""
    layer = f' role="group"{named}' if named and not group.link else ""
    inner = f"<g{_id(group.id)}{layer}{_data(group.data)}>{title}\n{items(group.items)}</g>"
    return f"<a{named}{attribute('xlink:href', '#' + group.link)}>{inner}</a>\n" if group.link else f"{inner}\n"


def _shape(shape: Shape) -> str:
    paint = attribute("fill", shape.fill or "none")
    if shape.fill and shape.fill_opacity < 1.0:
        paint += f' fill-opacity="{number(shape.fill_opacity)}"'
    if shape.stroke:
        paint += _stroke(shape.stroke, shape.stroke_mm, shape.dash_mm)
    return _closed(
        f'<path{_id(shape.id)}{_data(shape.data)}{paint} d="{path_data(shape.contours)}"', "path", shape.title
    )


def _rule(rule: Rule) -> str:
    (x1, y1), (x2, y2) = rule.start, rule.end
    ends = f' x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}"'
    return _closed(f"<line{_id(rule.id)}{ends}{_stroke(rule.colour, rule.width_mm, rule.dash_mm)}", "line", rule.title)


def _strokes(strokes: Strokes) -> str:
    lines = ("L".join(_POINT % point for point in line) for line in strokes.lines)
    d = _plain("".join(f"M{line}" for line in lines))
    paint = _stroke(strokes.colour, strokes.width_mm, strokes.dash_mm)
    return f'<path{_id(strokes.id)} fill="none"{paint} d="{d}"/>\n'


def _label(label: Label) -> str:
    x, y = label.at
    bold = ' font-weight="bold"' if label.bold else ""
    # The width is told, so that no reader's own typeface makes two labels touch; a reader's typeface for characters
    # that ours lacks has its own.
    length = ""
    if is_whole(label.text):
        width = number(width_mm(label.text, label.size_mm, bold=label.bold))
        length = f' textLength="{width}" lengthAdjust="spacingAndGlyphs"'
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-family="{FONTS}" font-size="{number(label.size_mm)}"'
        f'{bold} text-anchor="{label.anchor.value}"{length}'
        f' fill="{label.colour}">{text(label.text)}</text>\n'
    )


def _picture(picture: Picture) -> str:
    m = picture.to_mm
    matrix = " ".join(_exact(v) for v in (m.xx, m.yx, m.xy, m.yy, m.dx, m.dy))
    data = f"data:{picture.media_type};base64,{base64.b64encode(picture.data).decode()}"
    start = (
        f'<image width="{picture.width_px}" height="{picture.height_px}" transform="matrix({matrix})"'
        f' preserveAspectRatio="none" xlink:href="{data}"'
    )
    return _closed(start, "image", picture.title or None)


def _exact(value: float) -> str:
    """Nine decimals: a picture some thousand px wide must still lie true at its far end."""
    return f"{value:.9f}".rstrip("0").rstrip(".")


def _closed(start: str, name: str, title: str | None) -> str:
    return f"{start}><title>{text(title)}</title></{name}>\n" if title else f"{start}/>\n"


def _id(value: str | None) -> str:
    return attribute("id", value) if value else ""


def _data(pairs: Iterable[tuple[str, str]]) -> str:
    return "".join(attribute(f"data-{name}", value) for name, value in pairs)


def _stroke(colour: str, width_mm_: float, dash_mm: Iterable[float]) -> str:
    dashes = " ".join(number(d) for d in dash_mm)
    dash = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f' stroke="{colour}" stroke-width="{number(width_mm_)}"{dash}'
