"""A Study comes in; out goes one small figure a letter: the pencil's own edge behind the clean outline, and its measures."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from vectorize.geometry import Affine
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Shape, placed
from vectorize.sheets.palette import EDGE, GUIDE, INK, PALE, QUIET, TEXT
from vectorize.sheets.said import NONE, letter_name
from vectorize.sheets.word import named_lines, pencil_edge, true_height
from vectorize.study import Letter, Study
from vectorize.trade.sheets import SMALL_TEXT_MM

WIDTH_MM: Final = 56.0
DRAWN_MM: Final = 39.5
AROUND_U: Final = 80.0  # paper around the letter
LINE_MM: Final = 3.9
HEADS_MM: Final = 12.0
VALUES_MM: Final = 46.0
SIZE_MM: Final = float(SMALL_TEXT_MM)

EXPLAINED: Final = (
    "The brown line is the edge as it was pencilled, the black one the clean outline. Lengths are per cent of the "
    "x-height, counters of its square; the black is even at 100; edge is how far outline and pencil are apart at most."
)


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """One letter: its figure, its name, and what was measured as pairs of words and figure."""

    figure: Drawing
    name: str
    measures: tuple[tuple[str, str], ...]


def cells(study: Study) -> tuple[Cell, ...]:
    """A figure for each letter, all of one size and at one scale."""
    boxes = [x.outline.box_u for x in study.letters]
    low = min(0.0, *(b.y0 for b in boxes)) - AROUND_U
    high = max(1000.0, *(b.y1 for b in boxes)) + AROUND_U
    widest = max(b.width for b in boxes) + 2.0 * AROUND_U
    k = min(WIDTH_MM / widest, DRAWN_MM / (high - low))
    return tuple(Cell(_figure(study, x, (low, high), k), letter_name(x), measures(x)) for x in study.letters)


def printed(cell: Cell) -> Drawing:
    """The figure with its name and measures below it."""
    foot = cell.figure.height_mm
    items: list[Item] = [Label(cell.name, (0.0, foot + 4.6), 5.0, bold=True, colour=TEXT)]
    for i, (words, figure) in enumerate(cell.measures):
        y = foot + 3.6 + i * LINE_MM
        items.append(Label(words, (HEADS_MM, y), SIZE_MM, colour=QUIET))
        items.append(Label(figure, (VALUES_MM, y), SIZE_MM, Anchor.END, colour=TEXT))
    height = foot + 3.6 + len(cell.measures) * LINE_MM
    return replace(cell.figure, height_mm=height, items=(*cell.figure.items, *items))


def _figure(study: Study, letter: Letter, heights_u: tuple[float, float], k: float) -> Drawing:
    low, high = heights_u
    box = letter.outline.box_u
    to_mm = Affine(k, 0.0, 0.0, -k, WIDTH_MM / 2.0 - k * box.centre[0], k * high)
    foot = k * (high - low)
    items: list[Item] = [
        Rule((0.0, y), (WIDTH_MM, y), GUIDE, 0.12)
        for name, line in named_lines(study)
        for y in (to_mm.point((0.0, true_height(name, line)))[1],)
        if 0.0 <= y <= foot
    ]
    edges = pencil_edge(letter.outline, to_mm)
    items += [
        Shape(placed(letter.outline.contours, to_mm), PALE),
        *([Shape(edges, None, EDGE, 0.28)] if edges else []),
        Shape(placed(letter.outline.contours, to_mm), None, INK, 0.14),
    ]
    title = f"Letter {letter.index}" + (f", {letter.name}" if letter.name else "")
    group = Group(tuple(items), f"cell-{letter.index:02d}", title)
    said = ", ".join(f"{words} {figure}" for words, figure in measures(letter) if figure != NONE)
    return Drawing(WIDTH_MM, foot, title, (group,), said)


def measures(letter: Letter) -> tuple[tuple[str, str], ...]:
    """What was measured on the letter; per cent are of the x-height."""
    a = letter.anatomy
    return (
        ("stem", _percent(a.stem_ratio)),
        ("thinnest", _percent(a.thin_ratio)),
        ("lean", NONE if a.stem_deg is None else _lean(a.stem_deg)),
        ("counter", " + ".join(_percent(c.area_ratio) for c in a.counters) or NONE),
        ("black", _percent(a.fill_evenness)),
        ("edge", f"{letter.outline.fit_error_u / 10.0:.1f}"),
    )


def _percent(ratio: float | None) -> str:
    return NONE if ratio is None else f"{100.0 * ratio:.0f}"


def _lean(deg: float) -> str:
    if abs(deg) < 0.05:
        return "upright"
    return f"{abs(deg):.1f}° {'right' if deg > 0.0 else 'left'}"
