"""A Study comes in; out goes the page that a learner opens first: the sketch above the corrected word, gap by gap.

Between the two words stands a table, one column a gap: how its white looks, the white as drawn and as it should be, and
the distance between the two letters to be laid out with a ruler. All lengths follow the x-height.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from vectorize.geometry import Affine, Box
from vectorize.sheets.columns import spread
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Strokes
from vectorize.sheets.palette import LEADER, OUTLINE, QUIET, TEXT, VERDICTS
from vectorize.sheets.picture import sketch_picture
from vectorize.sheets.said import drawn_sentence, gap_unit, gap_values, looks, white_values
from vectorize.sheets.type import width_mm, wrapped
from vectorize.sheets.word import (
    corrected_outlines,
    drawn_guides,
    extent,
    hatch,
    layer,
    letter_shapes,
    outlines,
    page_map,
    true_guides,
    whites,
)
from vectorize.spacing.records import Pair, Verdict
from vectorize.study import Study
from vectorize.trade.sheets import LABEL_SIZE, WORD_MARGIN

# 1600 px keep the page under half a megabyte and the grain of the pencil visible when it is enlarged.
LONGEST_PX: Final = 1600

# Narrower pages would not hold the sentences, in x-heights.
LEAST_WIDTH: Final = 7.0

UPPER_TITLE: Final = "As drawn"
LOWER_TITLE: Final = "Evenly spaced"
TITLE_SIZE: Final = 1.5  # of the labels' size

ORIGINAL: Final = "original-"
CORRECTED: Final = "corrected-"


@dataclass(frozen=True, slots=True)
class _Page:
    """Where everything stands, in mm: e is the x-height, t the size of labels."""

    study: Study
    e: float
    t: float
    shown: Box
    left: float
    width: float
    top: float
    table: float
    second: float
    foot: float

    @property
    def upper(self) -> Affine:
        """Letter units to the page for the drawn word."""
        return page_map(self.study, self.shown, self.left, self.top)

    @property
    def lower(self) -> Affine:
        """Letter units to the page for the corrected word."""
        return page_map(self.study, self.shown, self.left, self.second)

    @property
    def panel(self) -> float:
        """Height of one word with its paper."""
        return self.shown.height * self.study.scale.mm_per_unit


def _laid_out(study: Study) -> _Page:
    e = study.scale.x_height_mm
    t = LABEL_SIZE * e
    word = extent(study)
    margin = 1000.0 * WORD_MARGIN
    titles = width_mm(LOWER_TITLE, TITLE_SIZE * t, bold=True)
    heads = 1000.0 * (max(titles, *(width_mm(r, t) for r in _row_heads(study))) + 3.0 * t) / e
    tall = word.grown(0.5 * margin)
    width = max(word.width + heads + margin, 1000.0 * LEAST_WIDTH)
    shown = Box(word.x0 - heads, tall.y0, word.x0 - heads + width, tall.y1)
    panel = shown.height * e / 1000.0
    top = 2.9 * t
    table = top + panel
    second = table + 11.6 * t
    return _Page(study, e, t, shown, 0.0, width * e / 1000.0, top, table, second, second + panel)


def comparison(study: Study) -> Drawing:
    """Both words at true size on one page."""
    page = _laid_out(study)
    legend = _legend(page)
    return Drawing(
        page.width,
        page.foot + 2.2 * page.t * (1 + len(legend[1])),
        f"{study.picture.file}: as drawn and evenly spaced",
        (_upper(page), _lower(page, legend[0] + legend[1])),
        drawn_sentence(study),
    )


def _upper(page: _Page) -> Group:
    study, to_mm = page.study, page.upper
    hair = 0.008 * page.e
    picture = sketch_picture(study.sketch, page.shown, to_mm, longest_px=LONGEST_PX, title="The levelled sketch")
    layers = (
        layer("sketch", [picture], ORIGINAL),
        layer("guides", drawn_guides(study, page.shown, to_mm, ORIGINAL), ORIGINAL),
        layer("whites", whites(study, to_mm, ORIGINAL), ORIGINAL),
        layer(
            "letters",
            letter_shapes(outlines(study), to_mm, ORIGINAL, fill=None, stroke=OUTLINE, stroke_mm=hair),
            ORIGINAL,
        ),
        layer("notes", (_heading(page, UPPER_TITLE, 0.0), _said(page), *_table(page)), ORIGINAL),
    )
    return Group(layers, "original", UPPER_TITLE)


def _lower(page: _Page, legend: tuple[Item, ...]) -> Group:
    study, to_mm = page.study, page.lower
    notes = (_heading(page, LOWER_TITLE, page.second - page.top), *legend)
    layers = (
        layer("sketch", (), CORRECTED),
        layer("guides", true_guides(study, page.shown, to_mm, CORRECTED), CORRECTED),
        layer("whites", whites(study, to_mm, CORRECTED, corrected=True), CORRECTED),
        layer("letters", letter_shapes(corrected_outlines(study), to_mm, CORRECTED), CORRECTED),
        layer("notes", notes, CORRECTED),
    )
    return Group(layers, "corrected", LOWER_TITLE)


def _heading(page: _Page, title: str, top: float) -> Label:
    return Label(title, (page.t, top + 1.9 * page.t), TITLE_SIZE * page.t, bold=True, colour=TEXT)


def _said(page: _Page) -> Label:
    beside = page.t + width_mm(UPPER_TITLE, TITLE_SIZE * page.t, bold=True) + page.t
    return Label(drawn_sentence(page.study), (beside, 1.9 * page.t), page.t, colour=QUIET)


def _row_heads(study: Study) -> tuple[str, ...]:
    return ("the white looks", "white as drawn", "white when even", f"gap as drawn, {gap_unit(study)}", "gap when even")


def _table(page: _Page) -> tuple[Item, ...]:
    """One column a gap, led to the white above and to the white below."""
    study, t = page.study, page.t
    pairs = study.setting.pairs
    columns = [_column(study, p) for p in pairs]
    widths = [max(width_mm(v, t, bold=True) for v in c) + 1.1 * t for c in columns]
    ups = [
        _middle(page.upper, study.letters[p.left - 1].outline.box_u, study.letters[p.right - 1].outline.box_u)
        for p in pairs
    ]
    moves = study.setting.moves_u
    downs = [
        u + (moves[p.left - 1] + moves[p.right - 1]) / 2.0 * page.e / 1000.0 for u, p in zip(ups, pairs, strict=True)
    ]
    at = spread(ups, widths)
    rows = [page.table + (2.6 + 1.35 * k) * t for k in range(5)]
    items: list[Item] = [
        Label(head, (page.t, y), t, colour=QUIET) for head, y in zip(_row_heads(study), rows, strict=True)
    ]
    for pair, column, x, up, down in zip(pairs, columns, at, ups, downs, strict=True):
        colour = VERDICTS[pair.verdict]
        for k, (value, y) in enumerate(zip(column, rows, strict=True)):
            items.append(Label(value, (x, y), t, Anchor.MIDDLE, bold=k == 0, colour=colour if k == 0 else TEXT))
        items.extend(_leaders(page, x, up, down))
    return tuple(items)


def _column(study: Study, pair: Pair) -> tuple[str, ...]:
    return (looks(pair), *white_values(pair), *gap_values(study, pair))


def _middle(to_mm: Affine, left: Box, right: Box) -> float:
    return to_mm.point(((left.x1 + right.x0) / 2.0, 0.0))[0]


def _leaders(page: _Page, x: float, up: float, down: float) -> tuple[Item, ...]:
    """From the foot of the white above to the column, and from the column to the head of the white below."""
    t = page.t
    foot, head = page.upper.point((0.0, 0.0))[1], page.lower.point((0.0, 1000.0))[1]
    table_foot = page.table + 8.6 * t
    lines = (
        ((up, foot + 0.4 * t), (up, page.table + 0.5 * t), (x, page.table + 1.4 * t)),
        ((x, table_foot), (down, table_foot + 0.9 * t), (down, head - 0.4 * t)),
    )
    return (Strokes(lines, LEADER, 0.05 * t, (0.25 * t, 0.2 * t)),)


def _legend(page: _Page) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    """Samples of the three looks in one row; what the figures mean in the rows below."""
    t, y = page.t, page.foot + 1.4 * page.t
    items: list[Item] = []
    x = t
    for verdict, said in (
        (Verdict.WIDE, "looks wide: level strokes"),
        (Verdict.TIGHT, "looks tight: upright strokes"),
        (Verdict.EVEN, "looks even: plain"),
    ):
        ring = [(x, y - 0.9 * t), (x + 1.6 * t, y - 0.9 * t), (x + 1.6 * t, y + 0.2 * t), (x, y + 0.2 * t)]
        items.extend(_swatch(verdict, ring, page.e))
        items.append(Label(said, (x + 2.1 * t, y), 0.85 * t, colour=QUIET))
        x += 3.6 * t + width_mm(said, 0.85 * t)
    text = (
        "Below stand the same letters on true guidelines, moved only along the line. White: the width of a plain upright channel that looks as wide, in hundredths of the x-height. "
        "Gap: from letter to letter at their nearest uprights, to be laid out with a ruler."
    )
    lines = wrapped(text, 0.85 * t, page.width - 2.0 * t)
    below = tuple(Label(line, (t, y + (1.5 + 1.3 * k) * t), 0.85 * t, colour=QUIET) for k, line in enumerate(lines))
    return tuple(items), below


def _swatch(verdict: Verdict, ring: list[tuple[float, float]], e: float) -> tuple[Item, ...]:
    edges = tuple(Rule(a, b, VERDICTS[verdict], 0.008 * e) for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
    return (*edges, *hatch(verdict, ring, e))
