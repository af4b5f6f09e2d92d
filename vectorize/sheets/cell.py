"""A Study comes in; out goes one small figure a letter: the pencil's own edge behind the clean outline, and its measures."""

from __future__ import annotations

from typing import Final

from vectorize.curves import polygon
from vectorize.geometry import Affine, Box
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Shape, placed
from vectorize.sheets.palette import EDGE, GUIDE, INK, PALE, QUIET, TEXT
from vectorize.sheets.said import letter_name
from vectorize.sheets.type import wrapped
from vectorize.sheets.word import named_lines, true_height
from vectorize.study import Letter, Study
from vectorize.trade.sheets import SMALL_TEXT_MM

WIDTH_MM: Final = 56.0
DRAWN_MM: Final = 46.0
LINE_MM: Final = 3.9
INDENT_MM: Final = 9.0
SIZE_MM: Final = float(SMALL_TEXT_MM)


def cells(study: Study) -> tuple[Drawing, ...]:
    """A figure for each letter, all of one size and at one scale."""
    boxes = [x.outline.box_u for x in study.letters]
    low = min(0.0, *(b.y0 for b in boxes)) - 80.0
    high = max(1000.0, *(b.y1 for b in boxes)) + 80.0
    widest = max(b.width for b in boxes) + 160.0
    k = min(WIDTH_MM / widest, DRAWN_MM / (high - low))
    said = [_lines(x) for x in study.letters]
    room = max(len(lines) for lines in said) * LINE_MM
    heights = Box(low, low, high, high)
    return tuple(_cell(study, x, heights, k, lines, room) for x, lines in zip(study.letters, said, strict=True))


def _lines(letter: Letter) -> tuple[str, ...]:
    return tuple(line for said in measures(letter) for line in wrapped(said, SIZE_MM, WIDTH_MM - INDENT_MM))


def _cell(study: Study, letter: Letter, heights: Box, k: float, lines: tuple[str, ...], room: float) -> Drawing:
    box = letter.outline.box_u
    to_mm = Affine(k, 0.0, 0.0, -k, WIDTH_MM / 2.0 - k * box.centre[0], k * heights.y1)
    foot = k * heights.height
    items: list[Item] = [
        Rule((0.0, y), (WIDTH_MM, y), GUIDE, 0.12)
        for name, line in named_lines(study)
        for y in (to_mm.point((0.0, true_height(name, line)))[1],)
        if 0.0 <= y <= foot
    ]
    edges = tuple(polygon([tuple(p) for p in to_mm.apply(e)]) for e in letter.outline.drawn_edge)
    items += [
        Shape(placed(letter.outline.contours, to_mm), PALE),
        *([Shape(edges, None, EDGE, 0.28)] if edges else []),
        Shape(placed(letter.outline.contours, to_mm), None, INK, 0.14),
        Label(letter_name(letter), (0.0, foot + 4.6), 5.0, bold=True, colour=TEXT),
    ]
    items += [
        Label(line, (INDENT_MM, foot + 3.4 + i * LINE_MM), SIZE_MM, Anchor.START, colour=QUIET)
        for i, line in enumerate(lines)
    ]
    title = f"Letter {letter.index}" + (f", {letter.name}" if letter.name else "")
    group = Group(tuple(items), f"cell-{letter.index:02d}", title)
    return Drawing(WIDTH_MM, foot + 3.4 + room, title, (group,), ", ".join(lines))


def measures(letter: Letter) -> tuple[str, ...]:
    """What was measured on the letter, in a few short lines; per cent are of the x-height."""
    a = letter.anatomy
    strokes = [
        f"{name} {100.0 * value:.0f} %" for name, value in (("stem", a.stem_ratio), ("thinnest", a.thin_ratio)) if value
    ]
    lean = [] if a.stem_deg is None else [_lean(a.stem_deg)]
    counters = " + ".join(f"{100.0 * c.area_ratio:.0f}" for c in a.counters)
    fill = [] if a.fill_evenness is None else [f"black even to {100.0 * a.fill_evenness:.0f} %"]
    return (
        *([", ".join([*strokes, *lean])] if strokes or lean else []),
        f"counter {counters} % of the x-height squared" if counters else "no closed counter",
        *fill,
        f"{letter.outline.node_count} nodes, edge within {letter.outline.fit_error_u / 10.0:.1f} %",
    )


def _lean(deg: float) -> str:
    if abs(deg) < 0.05:
        return "upright"
    return f"leans {abs(deg):.1f}° {'right' if deg > 0.0 else 'left'}"
