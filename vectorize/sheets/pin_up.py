"""A class's drawings and what they have in common come in; the wall goes out, page by page: each drawn, and corrected beside it.

The instructor's wall: drawings that need the most attention come first, nothing is counted against anybody, no marks are given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Final

from vectorize.geometry import Affine, Box
from vectorize.outlines.outline import Outline
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Shape, Strokes, placed
from vectorize.sheets.palette import GUIDE, INK, OUTLINE, QUIET, TEXT
from vectorize.sheets.type import shortened, wrapped
from vectorize.trade.paper import SHEETS_MM
from vectorize.trade.sheets import PAGE_MARGIN_MM

WIDTH, HEIGHT = SHEETS_MM["A4"]
MARGIN: Final = float(PAGE_MARGIN_MM)
MEASURE: Final = WIDTH - 2 * MARGIN
WORD_HEIGHT: Final = 20.5
TEXT_SIZE: Final = 3.2
LEADING: Final = 4.4
MOST_X_HEIGHT: Final = 10.0
BETWEEN: Final = 7.0
ROW_HEIGHT: Final = WORD_HEIGHT + 3 * LEADING + BETWEEN
COLUMN: Final = (MEASURE - BETWEEN) / 2.0
RIGHT: Final = MARGIN + COLUMN + BETWEEN


@dataclass(frozen=True, slots=True, eq=False)
class Pinned:
    """One drawing on the wall: name, folder of its results, letters as drawn and corrected, and what to look at first.

    look_first: None where all holds.
    """

    name: str
    folder: str
    drawn: tuple[Outline, ...]
    corrected: tuple[Outline, ...]
    look_first: str | None


@dataclass(frozen=True, slots=True, eq=False)
class Example:
    """A drawing that shows a fault: name, folder of its results, letters, where the fault is, and what is said of it.

    stretch_u: its place (x0, x1) along the word in letter units, None for the whole word.
    """

    name: str
    folder: str
    drawn: tuple[Outline, ...]
    stretch_u: tuple[float, float] | None
    text: str


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """A fault that many drawings share: its name, how many show it, what to practise, a few examples."""

    title: str
    shared: str
    practise: str
    examples: tuple[Example, ...]


def pin_up(drawings: Sequence[Pinned], lessons: Sequence[Lesson]) -> tuple[Drawing, ...]:
    """The pages: first what the class's drawings share, then every drawing with its correction."""
    rows = int((HEIGHT - 2 * MARGIN - 10.0) // ROW_HEIGHT)
    pages = [drawings[i : i + rows] for i in range(0, len(drawings), rows)]
    return (_lesson_page(drawings, lessons), *(_wall(page, n, len(pages)) for n, page in enumerate(pages, 1)))


def _lesson_page(drawings: Sequence[Pinned], lessons: Sequence[Lesson]) -> Drawing:
    items: list[Item] = [Label("For the next lesson", (MARGIN, MARGIN + 6.0), 7.0, bold=True, colour=TEXT)]
    said = f"What the {len(drawings)} drawings on the wall have in common, the commonest first."
    items.append(Label(said, (MARGIN, MARGIN + 13.0), TEXT_SIZE, colour=QUIET))
    y = MARGIN + 24.0
    if not lessons:
        items.append(Label("Nothing that two drawings share needs a lesson.", (MARGIN, y), TEXT_SIZE, colour=TEXT))
    for lesson in lessons:
        block, y = _lesson(lesson, y)
        items.append(block)
    return Drawing(
        WIDTH, HEIGHT, "For the next lesson", tuple(items), "The faults that many drawings of the class share."
    )


def _lesson(lesson: Lesson, y: float) -> tuple[Group, float]:
    items: list[Item] = [
        Label(lesson.title, (MARGIN, y), 4.6, bold=True, colour=TEXT),
        Label(lesson.shared, (MARGIN + MEASURE, y), TEXT_SIZE, Anchor.END, colour=QUIET),
    ]
    block, y = _paragraph(lesson.practise, MARGIN, y + 6.0, MEASURE)
    items.extend(block)
    column = (MEASURE - 2 * BETWEEN) / 3.0
    lowest = y
    for i, example in enumerate(lesson.examples[:3]):
        x = MARGIN + i * (column + BETWEEN)
        items.extend(word(example.drawn, x, y, column, WORD_HEIGHT, example.stretch_u))
        name = shortened(example.name, TEXT_SIZE, column, bold=True)
        items.append(Label(name, (x, y + WORD_HEIGHT + LEADING), TEXT_SIZE, bold=True, colour=TEXT))
        block, end = _paragraph(example.text, x, y + WORD_HEIGHT + 2 * LEADING, column, most=5)
        items.extend(block)
        lowest = max(lowest, end)
    return Group(tuple(items)), lowest + 10.0


def _wall(page: Sequence[Pinned], number: int, of: int) -> Drawing:
    items: list[Item] = [
        Label("As drawn", (MARGIN, MARGIN + 3.0), TEXT_SIZE, bold=True, colour=QUIET),
        Label("The same letters, evenly spaced", (RIGHT, MARGIN + 3.0), TEXT_SIZE, bold=True, colour=QUIET),
        Label(f"{number} of {of}", (WIDTH - MARGIN, HEIGHT - 8.0), TEXT_SIZE, Anchor.END, colour=QUIET),
    ]
    for i, pinned in enumerate(page):
        y = MARGIN + 8.0 + i * ROW_HEIGHT
        items.append(_row(pinned, y))
    return Drawing(WIDTH, HEIGHT, f"The wall, page {number}", tuple(items), "Every drawing, corrected beside it.")


def _row(pinned: Pinned, y: float) -> Group:
    k = _fitting_x_height(pinned.drawn, COLUMN, WORD_HEIGHT)
    name = shortened(pinned.name, TEXT_SIZE, MEASURE, bold=True)
    items: list[Item] = [
        *word(pinned.drawn, MARGIN, y, COLUMN, WORD_HEIGHT, x_height_mm=k),
        *word(pinned.corrected, RIGHT, y, COLUMN, WORD_HEIGHT, x_height_mm=k),
        Label(name, (MARGIN, y + WORD_HEIGHT + LEADING), TEXT_SIZE, bold=True, colour=TEXT),
    ]
    said = f"Look first: {pinned.look_first}" if pinned.look_first else "Everything that was looked at holds."
    block, _ = _paragraph(said, MARGIN, y + WORD_HEIGHT + 2 * LEADING, MEASURE, most=2)
    items.extend(block)
    floor = y + WORD_HEIGHT + 3 * LEADING + 3.0
    items.append(Rule((MARGIN, floor), (WIDTH - MARGIN, floor), "#b8b8b8", 0.1))
    return Group(tuple(items))


def _fitting_x_height(letters: Sequence[Outline], width: float, height: float) -> float:
    """The x-height in mm at which the letters fit into a cell."""
    around = _extent(letters)
    return 1000.0 * min(width / around.width, height / around.height, MOST_X_HEIGHT / 1000.0)


def _extent(letters: Sequence[Outline]) -> Box:
    boxes = [o.box_u for o in letters if o.contours] or [Box(0.0, 0.0, 1000.0, 1000.0)]
    around = reduce(Box.joined, boxes)
    return Box(around.x0, min(around.y0, 0.0) - 100.0, around.x1, max(around.y1, 1000.0) + 100.0)


def word(
    letters: Sequence[Outline],
    x: float,
    y: float,
    width: float,
    height: float,
    stretch_u: tuple[float, float] | None = None,
    x_height_mm: float | None = None,
) -> list[Item]:
    """The letters in a cell, on a baseline and under a mean line; a bracket under the stretch that is meant."""
    around = _extent(letters)
    k = (x_height_mm or _fitting_x_height(letters, width, height)) / 1000.0
    baseline = y + height - (height - around.height * k) / 2.0 + around.y0 * k
    to_mm = Affine(k, 0.0, 0.0, -k, x - around.x0 * k, baseline)
    end = x + around.width * k
    items: list[Item] = [
        Rule((x, baseline - h * k), (end, baseline - h * k), GUIDE, 0.13, title=name)
        for name, h in (("mean line", 1000.0), ("baseline", 0.0))
    ]
    items.extend(Shape(placed(o.contours, to_mm), INK) for o in letters if o.contours)
    if stretch_u is not None:
        (x0, low), (x1, _) = (to_mm.point((v, min(around.y0, -100.0) - 80.0)) for v in stretch_u)
        items.append(Strokes((((x0, low - 1.4), (x0, low), (x1, low), (x1, low - 1.4)),), OUTLINE, 0.5))
    return items


def _paragraph(text: str, x: float, y: float, measure: float, most: int = 6) -> tuple[list[Item], float]:
    """Lines of text from the first baseline y on, at most so many, the last then ending in an ellipsis; and where they end."""
    lines = list(wrapped(text, TEXT_SIZE, measure))
    if len(lines) > most:
        lines = [*lines[: most - 1], f"{lines[most - 1].rstrip('.,;: ')} …"]
    labels: list[Item] = [Label(line, (x, y + i * LEADING), TEXT_SIZE, colour=TEXT) for i, line in enumerate(lines)]
    return labels, y + len(lines) * LEADING
