"""Drafts of one word come in; out goes the light box: laid over each other on one baseline and x-height, spaces before and after.

Readable in black and white: the first draft is a broken line, the last a grey body with a full line, others are dotted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Final

from vectorize.curves import polygon
from vectorize.geometry import Affine, Box
from vectorize.outlines.outline import Outline
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Shape, placed
from vectorize.sheets.hatch import hatch
from vectorize.sheets.palette import GUIDE, INK, OUTLINE, QUIET, TEXT, VERDICTS
from vectorize.sheets.type import fitted_size, shortened, width_mm, wrapped
from vectorize.spacing.records import Pair, Verdict
from vectorize.trade.paper import SHEETS_MM
from vectorize.trade.sheets import PAGE_MARGIN_MM, SMALL_TEXT_MM

WIDTH, HEIGHT = SHEETS_MM["A4"]
MARGIN: Final = float(PAGE_MARGIN_MM)
MEASURE: Final = WIDTH - 2 * MARGIN
TITLE_SIZE: Final = 7.0
SIZE: Final = 3.4
APART: Final = 6.0  # at least, between a name and what is said of it
LEADING: Final = 4.8
MOST_X_HEIGHT: Final = 28.0
BODY: Final = "#d4d4d4"


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """One draft on the light box: its name, its letters in letter units, its pairs, and what is said of its spaces."""

    name: str
    letters: tuple[Outline, ...]
    pairs: tuple[Pair, ...]
    spaces: str


@dataclass(frozen=True, slots=True)
class Style:
    """How a draft is drawn: body and line, so that drafts can be told apart without colour."""

    fill: str | None
    stroke: str
    stroke_mm: float
    dash_mm: tuple[float, ...]


FIRST: Final = Style(None, OUTLINE, 0.35, (1.6, 0.9))
BETWEEN: Final = Style(None, QUIET, 0.25, (0.3, 0.7))
LAST: Final = Style(BODY, INK, 0.3, ())


def style_of(place: int, count: int) -> Style:
    """The style of draft `place` (from 0) of `count`."""
    return FIRST if place == 0 else LAST if place == count - 1 else BETWEEN


def light_box(layers: Sequence[Layer], title: str, *, framed: bool = True) -> Drawing:
    """The drafts over each other, letter by letter, and the spaces of each draft. At least two drafts.

    framed: a whole page with its title; otherwise only what is on it, to stand in another page.
    """
    items: list[Item] = [_heading(title)] if framed else []
    top = MARGIN + 14.0 if framed else 5.0
    items.append(_legend([x.name for x in layers], top))
    block, y = _overlaid(layers, top + 6.0)
    items.append(block)
    block, y = _each_letter(layers, y + 8.0)
    items.append(block)
    block, y = _spaces(layers, y + 8.0)
    items.append(block)
    told = "The drafts laid over each other on one baseline and one x-height."
    tall = max(HEIGHT, y + MARGIN) if framed else y + 4.0
    return Drawing(WIDTH, tall, title, tuple(items), told)


def _heading(title: str) -> Label:
    size = fitted_size(title, TITLE_SIZE, MEASURE, bold=True)
    return Label(title, (MARGIN, MARGIN + 6.0), size, bold=True, colour=TEXT)


def _legend(names: Sequence[str], y: float) -> Group:
    items: list[Item] = []
    x = MARGIN
    for i, name in enumerate(names):
        style = style_of(i, len(names))
        sample = polygon([(x, y - 2.6), (x + 7.0, y - 2.6), (x + 7.0, y), (x, y)])
        items.append(Shape((sample,), style.fill, style.stroke, style.stroke_mm, style.dash_mm))
        shown = shortened(name, SIZE, MEASURE / len(names) - 14.0)
        items.append(Label(shown, (x + 9.0, y), SIZE, colour=TEXT))
        x += 9.0 + width_mm(shown, SIZE) + 6.0
    return Group(tuple(items))


def _overlaid(layers: Sequence[Layer], y: float) -> tuple[Group, float]:
    """The words over each other; each lies where its letters are nearest to those of the last."""
    words = [_aligned(x.letters, layers[-1].letters) for x in layers]
    around = _extent([o for w in words for o in w])
    k = min(MEASURE / around.width, MOST_X_HEIGHT / 1000.0)
    baseline = y + around.y1 * k
    to_mm = Affine(k, 0.0, 0.0, -k, MARGIN - around.x0 * k, baseline)
    items: list[Item] = _lines(MARGIN, MARGIN + MEASURE, baseline, 1000.0 * k)
    for i in _drawing_order(len(words)):
        items.extend(_shapes(words[i], to_mm, style_of(i, len(words))))
    return Group(tuple(items), "light-box", "Drafts laid over each other"), baseline - around.y0 * k


def _drawing_order(count: int) -> list[int]:
    """The last draft lies lowest, so that its body hides no line."""
    return [count - 1, *range(count - 1)]


def _aligned(letters: Sequence[Outline], onto: Sequence[Outline]) -> list[Outline]:
    own, other = ([o.box_u.centre[0] for o in w if o.contours] for w in (letters, onto))
    if len(own) != len(other):
        own, other = [(own[0] + own[-1]) / 2.0], [(other[0] + other[-1]) / 2.0]
    shift = sum(b - a for a, b in zip(own, other, strict=True)) / len(own)
    return [o.moved(shift) for o in letters if o.contours]


def _each_letter(layers: Sequence[Layer], y: float) -> tuple[Group, float]:
    """Letter over letter, each laid on its own middle: the shapes alone, whatever the spaces."""
    count = len(layers[-1].letters)
    if count < 2 or any(len(x.letters) != count for x in layers):
        return Group(()), y - 8.0
    stacks = [[_centred(x.letters[i]) for x in layers] for i in range(count)]
    boxes = [_extent(stack) for stack in stacks]
    gap = 260.0
    total = sum(b.width for b in boxes) + gap * (count - 1)
    tall = reduce(Box.joined, boxes)
    k = min(MEASURE / total, 0.75 * MOST_X_HEIGHT / 1000.0)
    items: list[Item] = [Label("Letter by letter", (MARGIN, y + SIZE), SIZE, bold=True, colour=TEXT)]
    baseline, x = y + 8.0 + tall.y1 * k, MARGIN
    items.extend(_lines(MARGIN, MARGIN + total * k, baseline, 1000.0 * k))
    for stack, box in zip(stacks, boxes, strict=True):
        to_mm = Affine(k, 0.0, 0.0, -k, x - box.x0 * k, baseline)
        for i in _drawing_order(len(stack)):
            items.extend(_shapes([stack[i]], to_mm, style_of(i, len(stack))))
        x += (box.width + gap) * k
    return Group(tuple(items), "letters", "Letter by letter"), baseline - tall.y0 * k


def _centred(letter: Outline) -> Outline:
    return letter.moved(-letter.box_u.centre[0]) if letter.contours else letter


def _spaces(layers: Sequence[Layer], y: float) -> tuple[Group, float]:
    items: list[Item] = [Label("The spaces, draft by draft", (MARGIN, y + SIZE), SIZE, bold=True, colour=TEXT)]
    k = min(*(MEASURE / _extent(x.letters).width for x in layers), 0.6 * MOST_X_HEIGHT / 1000.0)
    y += 8.0
    for layer in layers:
        around = _extent(layer.letters)
        baseline = y + around.y1 * k
        to_mm = Affine(k, 0.0, 0.0, -k, MARGIN - around.x0 * k, baseline)
        for pair in layer.pairs:
            items.extend(_white(pair, to_mm, 1000.0 * k))
        items.extend(_shapes(layer.letters, to_mm, Style(INK, INK, 0.0, ())))
        y = baseline - around.y0 * k + LEADING
        name = shortened(layer.name, SIZE, MEASURE - width_mm(layer.spaces, SIZE) - APART, bold=True)
        items.append(Label(name, (MARGIN, y), SIZE, bold=True, colour=TEXT))
        items.append(Label(layer.spaces, (MARGIN + MEASURE, y), SIZE, Anchor.END, colour=QUIET))
        y += LEADING
    items.append(
        Label(
            "Level strokes: looks wide. Upright strokes: looks tight.", (MARGIN, y), float(SMALL_TEXT_MM), colour=QUIET
        )
    )
    return Group(tuple(items), "spaces", "Spaces, draft by draft"), y


def _white(pair: Pair, to_mm: Affine, x_height_mm: float) -> list[Item]:
    if pair.white_shape_u is None:
        return []
    ring = [(float(x), float(y)) for x, y in to_mm.apply(pair.white_shape_u)]
    colour = VERDICTS[pair.verdict]
    tint = 0.14 if pair.verdict is Verdict.EVEN else 0.26
    body = Shape((polygon(ring),), colour, colour, 0.008 * x_height_mm, fill_opacity=tint)
    return [body, *hatch(pair.verdict, ring, x_height_mm)]


def _shapes(letters: Sequence[Outline], to_mm: Affine, style: Style) -> list[Item]:
    stroke = style.stroke if style.stroke_mm else None
    return [
        Shape(placed(o.contours, to_mm), style.fill, stroke, style.stroke_mm, style.dash_mm)
        for o in letters
        if o.contours
    ]


def _lines(x0: float, x1: float, baseline: float, x_height_mm: float) -> list[Item]:
    return [
        Rule((x0, y), (x1, y), GUIDE, 0.15, title=name)
        for name, y in (("mean line", baseline - x_height_mm), ("baseline", baseline))
    ]


def _extent(letters: Sequence[Outline]) -> Box:
    """The box around the letters, from the baseline at least to the mean line."""
    boxes = [o.box_u for o in letters if o.contours] or [Box(0.0, 0.0, 1000.0, 1000.0)]
    around = reduce(Box.joined, boxes)
    return Box(around.x0, min(around.y0, 0.0), around.x1, max(around.y1, 1000.0))


def changes_pages(title: str, parts: Sequence[tuple[str, Sequence[str]]]) -> tuple[Drawing, ...]:
    """What became of each finding, under a heading for each state; as many pages as it takes."""
    lines: list[tuple[str, bool]] = []
    for heading, texts in parts:
        lines.append((heading, True))
        for text in texts:
            lines.extend((line, False) for line in wrapped(text, SIZE, MEASURE))
            lines.append(("", False))
    room = int((HEIGHT - 2 * MARGIN - 16.0) // LEADING)
    return tuple(_text_page(title, page) for page in _broken(lines, room))


def _broken(lines: Sequence[tuple[str, bool]], room: int) -> list[Sequence[tuple[str, bool]]]:
    """Lines (text, whether it is a heading) as pages of at most `room`, none of which ends in a heading."""
    pages = []
    while lines:
        end = room - 1 if len(lines) > room and lines[room - 1][1] else room
        pages.append(lines[:end])
        lines = lines[end:]
    return pages


def _text_page(title: str, lines: Sequence[tuple[str, bool]]) -> Drawing:
    items: list[Item] = [_heading(title)]
    for i, (line, heading) in enumerate(lines):
        if line:
            items.append(Label(line, (MARGIN, MARGIN + 16.0 + i * LEADING), SIZE, bold=heading, colour=TEXT))
    return Drawing(WIDTH, HEIGHT, title, tuple(items), "What became of each finding between the drafts.")
