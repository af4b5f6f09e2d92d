"""A Study comes in; out goes the page that a learner opens first: the sketch above the corrected word, gap by gap.

Between the two words stands a table, one column a gap: how its white looks, the white as drawn and as it should be, and
the distance between the two letters to be laid out with a ruler. All lengths follow the x-height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from vectorize.geometry import Affine, Box
from vectorize.sheets.columns import spread
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Strokes
from vectorize.sheets.hatch import hatch
from vectorize.sheets.palette import LEADER, OUTLINE, QUIET, TEXT, VERDICTS
from vectorize.sheets.picture import sketch_picture
from vectorize.sheets.said import drawn_sentence, gap_unit, gap_values, looks, white_values
from vectorize.sheets.type import width_mm, wrapped
from vectorize.sheets.word import (
    corrected_outlines,
    drawn_guides,
    extent,
    layer,
    letter_shapes,
    outlines,
    page_map,
    true_guides,
    whites,
)
from vectorize.spacing.records import Pair, Verdict
from vectorize.study import Study
from vectorize.trade.sheets import LABEL_SIZE, SMALL_TEXT_MM, WORD_MARGIN

# 1600 px keep the page under half a megabyte and the grain of the pencil visible when it is enlarged.
LONGEST_PX: Final = 1600

# A narrower page would break the legend into a tall column; in sizes of the labels.
LEAST_WIDTH: Final = 52.0
LEAST_ALONE: Final = 24.0  # both headings of a letter alone, and the sentence beside the upper one

UPPER_TITLE: Final = "As drawn"
LOWER_TITLE: Final = "Evenly spaced"
ALONE_TITLE: Final = "On true guidelines"
TITLE_SIZE: Final = 1.5  # of the labels' size
ROW: Final = 1.4  # from row to row of the table, in sizes of the labels

ORIGINAL: Final = "original-"
CORRECTED: Final = "corrected-"


@dataclass(frozen=True, slots=True)
class _Page:
    """Where everything stands, in mm.

    x_height_mm: as shown. label_mm: size of the labels. paper_u: what is shown around each word, in letter units. left: of the
    paper; before it stand the heads of the rows. columns, widths: the texts of each gap, and how wide they are.
    """

    study: Study
    x_height_mm: float
    label_mm: float
    paper_u: Box
    left: float
    width: float
    columns: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]

    @property
    def panel(self) -> float:
        """Height of one word with its paper."""
        return self.paper_u.height * self.x_height_mm / 1000.0

    @property
    def top(self) -> float:
        """Of the upper word's paper."""
        return 3.2 * self.label_mm

    @property
    def table(self) -> float:
        """Where the table begins."""
        return self.top + self.panel

    @property
    def second(self) -> float:
        """Of the lower word's paper."""
        return self.table + (12.4 if self.columns else 4.4) * self.label_mm

    @property
    def foot(self) -> float:
        """Where the lower word's paper ends."""
        return self.second + self.panel

    @property
    def height(self) -> float:
        """Of the page with its legend, each of its sentences on one line."""
        return self.foot + (1.2 + (4.3 + 3.0 * ROW if self.columns else 0.0)) * self.label_mm

    @property
    def upper(self) -> Affine:
        """Letter units to the page for the drawn word."""
        return self._map(self.top)

    @property
    def lower(self) -> Affine:
        """Letter units to the page for the corrected word."""
        return self._map(self.second)

    def _map(self, top: float) -> Affine:
        return page_map(self.study, self.paper_u, self.left, top, self.x_height_mm / self.study.scale.x_height_mm)


def comparison(study: Study, room_mm: tuple[float, float] | None = None) -> Drawing:
    """Both words on one page at true size; room_mm: or as large as that width and height allow, at most a quarter larger."""
    word = extent(study).grown(500.0 * WORD_MARGIN)
    page = _laid_out(study, word, study.scale.x_height_mm) if room_mm is None else _fitted(study, word, *room_mm)
    legend = _legend(page)
    lowest = max((i.at[1] for i in legend if isinstance(i, Label)), default=page.foot)
    return Drawing(
        page.width,
        lowest + 1.2 * page.label_mm,
        f"{study.picture.file}: as drawn and evenly spaced",
        (_upper(page), _lower(page, legend)),
        drawn_sentence(study),
    )


def _fitted(study: Study, word: Box, across_mm: float, high_mm: float) -> _Page:
    """The largest page that is no wider and no higher; its labels shrink only where the columns alone would be too wide."""
    least, most = 0.0, 1.25 * study.scale.x_height_mm
    for _ in range(14):
        x_height_mm = (least + most) / 2.0
        page = _laid_out(study, word, x_height_mm)
        fits = page.width <= across_mm and page.height <= high_mm
        least, most = (x_height_mm, most) if fits else (least, x_height_mm)
    page = _laid_out(study, word, max(least, 0.05 * study.scale.x_height_mm))
    shrink = min(1.0, across_mm / page.width)
    return _laid_out(study, word, page.x_height_mm * shrink, shrink)


def _laid_out(study: Study, word: Box, x_height_mm: float, shrink: float = 1.0) -> _Page:
    label_mm = max(LABEL_SIZE * x_height_mm, SMALL_TEXT_MM * shrink)
    columns = tuple(_column(study, p) for p in study.setting.pairs)
    widths = tuple(max(width_mm(v, label_mm, bold=True) for v in c) + 1.1 * label_mm for c in columns)
    left = label_mm
    if columns:
        title = width_mm(LOWER_TITLE, TITLE_SIZE * label_mm, bold=True)
        left += max(title, *(width_mm(h, label_mm) for h in _row_heads(study))) + 1.5 * label_mm
    least = (LEAST_WIDTH if columns else LEAST_ALONE) * label_mm
    width = max(left + max(word.width * x_height_mm / 1000.0, sum(widths)) + label_mm, least)
    return _Page(study, x_height_mm, label_mm, word, left, width, columns, widths)


def _upper(page: _Page) -> Group:
    study, to_mm = page.study, page.upper
    hair = 0.008 * page.x_height_mm
    picture = sketch_picture(study.sketch, page.paper_u, to_mm, longest_px=LONGEST_PX, title="The levelled sketch")
    layers = (
        layer("sketch", [picture], ORIGINAL),
        layer("guides", drawn_guides(study, page.paper_u, to_mm, ORIGINAL), ORIGINAL),
        layer("whites", whites(study, to_mm, ORIGINAL), ORIGINAL),
        layer(
            "letters",
            letter_shapes(outlines(study), to_mm, ORIGINAL, fill=None, stroke=OUTLINE, stroke_mm=hair),
            ORIGINAL,
        ),
        layer("notes", (*_heading(page, UPPER_TITLE, drawn_sentence(study), 0.0), *_table(page)), ORIGINAL),
    )
    return Group(layers, "original", UPPER_TITLE)


def _lower(page: _Page, legend: Sequence[Item]) -> Group:
    study, to_mm = page.study, page.lower
    title = LOWER_TITLE if page.columns else ALONE_TITLE
    notes = (*_heading(page, title, "", page.second - page.top), *legend)
    layers = (
        layer("sketch", (), CORRECTED),
        layer("guides", true_guides(study, page.paper_u, to_mm, CORRECTED), CORRECTED),
        layer("whites", whites(study, to_mm, CORRECTED, corrected=True), CORRECTED),
        layer("letters", letter_shapes(corrected_outlines(study), to_mm, CORRECTED), CORRECTED),
        layer("notes", notes, CORRECTED),
    )
    return Group(layers, "corrected", title)


def _heading(page: _Page, title: str, said: str, top: float) -> tuple[Label, ...]:
    y = top + 2.0 * page.label_mm
    heading = Label(title, (page.label_mm, y), TITLE_SIZE * page.label_mm, bold=True, colour=TEXT)
    beside = 2.0 * page.label_mm + width_mm(title, TITLE_SIZE * page.label_mm, bold=True)
    return (heading, *([Label(said, (beside, y), page.label_mm, colour=QUIET)] if said else []))


def _row_heads(study: Study) -> tuple[str, ...]:
    return ("the white looks", "white as drawn", "white when even", f"gap as drawn, {gap_unit(study)}", "gap when even")


def _table(page: _Page) -> tuple[Item, ...]:
    """One column a gap, led to the white above and to the white below."""
    study, t = page.study, page.label_mm
    pairs = study.setting.pairs
    boxes = [(study.letters[p.left - 1].outline.box_u, study.letters[p.right - 1].outline.box_u) for p in pairs]
    ups = [page.upper.point(((a.x1 + b.x0) / 2.0, 0.0))[0] for a, b in boxes]
    moves = study.setting.moves_u
    downs = [
        u + (moves[p.left - 1] + moves[p.right - 1]) / 2.0 * page.x_height_mm / 1000.0
        for u, p in zip(ups, pairs, strict=True)
    ]
    at = spread(ups, page.widths, page.left - t, page.width)
    rows = [page.table + (3.0 + ROW * k) * t for k in range(5)]
    items: list[Item] = []
    if pairs:
        items += [Label(head, (t, y), t, colour=QUIET) for head, y in zip(_row_heads(study), rows, strict=True)]
    for pair, column, x, up, down in zip(pairs, page.columns, at, ups, downs, strict=True):
        colour = VERDICTS[pair.verdict]
        for k, (value, y) in enumerate(zip(column, rows, strict=True)):
            items.append(Label(value, (x, y), t, Anchor.MIDDLE, bold=k == 0, colour=colour if k == 0 else TEXT))
        items.extend(_leaders(page, x, up, down))
    return tuple(items)


def _column(study: Study, pair: Pair) -> tuple[str, ...]:
    return (looks(pair), *white_values(pair), *gap_values(study, pair))


def _leaders(page: _Page, x: float, up: float, down: float) -> tuple[Item, ...]:
    """From the foot of the white above to the column, and from the column to the head of the white below."""
    t = page.label_mm
    foot, head = page.upper.point((0.0, 0.0))[1], page.lower.point((0.0, 1000.0))[1]
    table_foot = page.table + 9.2 * t
    lines = (
        ((up, foot + 0.4 * t), (up, page.table + 0.7 * t), (x, page.table + 1.8 * t)),
        ((x, table_foot), (down, table_foot + 1.1 * t), (down, head - 0.4 * t)),
    )
    return (Strokes(lines, LEADER, 0.05 * t, (0.25 * t, 0.2 * t)),)


def _legend(page: _Page) -> tuple[Item, ...]:
    """Samples of the three looks in one row; what the figures mean in the rows below. Nothing for a letter alone."""
    if not page.columns:
        return ()
    t = page.label_mm
    y = page.foot + 2.4 * t
    items: list[Item] = []
    x = t
    for verdict, said in (
        (Verdict.WIDE, "looks wide: level strokes"),
        (Verdict.TIGHT, "looks tight: upright strokes"),
        (Verdict.EVEN, "looks even: plain"),
    ):
        ring = [(x, y - 0.9 * t), (x + 1.6 * t, y - 0.9 * t), (x + 1.6 * t, y + 0.2 * t), (x, y + 0.2 * t)]
        items.extend(_swatch(verdict, ring, t))
        items.append(Label(said, (x + 2.1 * t, y), t, colour=QUIET))
        x += 3.8 * t + width_mm(said, t)
    y += 1.9 * t
    for text in (
        "Below stand the same letters on true guidelines, moved only along the line.",
        "White: the width of a plain upright channel that looks as wide, in hundredths of the x-height.",
        "Gap: between two uprights held against the letters, to be laid out with a ruler.",
    ):
        for line in wrapped(text, t, page.width - 2.0 * t):
            items.append(Label(line, (t, y), t, colour=QUIET))
            y += ROW * t
    return tuple(items)


def _swatch(verdict: Verdict, ring: list[tuple[float, float]], t: float) -> tuple[Item, ...]:
    edges = tuple(Rule(a, b, VERDICTS[verdict], 0.064 * t) for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
    return (*edges, *hatch(verdict, ring, t / LABEL_SIZE))
