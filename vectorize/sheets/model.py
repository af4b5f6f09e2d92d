"""A Study with a model comes in; out go the pages that show model, drawn letter and both over each other, and the spacing.

Readable in black and white: the model is a grey body, the drawn letter a full line. A drawn letter is never replaced.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise
from typing import Final

from vectorize.critique import model as model_check
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Box
from vectorize.model.compare import Departure, compare, partners
from vectorize.model.records import Model, ModelLetter
from vectorize.outlines.outline import Outline
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Shape, placed
from vectorize.sheets.furniture import foot, page_size
from vectorize.sheets.palette import GUIDE, INK, MARK, OUTLINE, PALE, QUIET, TEXT
from vectorize.sheets.round import disc
from vectorize.sheets.type import wrapped
from vectorize.sheets.word import corrected_outlines
from vectorize.study import Letter, Study
from vectorize.trade.sheets import PAGE_MARGIN_MM

X_HEIGHT_MM: Final = 13.0
COLUMN_MM: Final = 38.0
SIZE: Final = 3.3
SMALL: Final = 2.8
LEADING: Final = 4.5
HEAD_MM: Final = 20.0
HEADS: Final = ("the model", "as drawn", "both")


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """A drawn letter, its model, how they differ, and what is said of it."""

    letter: Letter
    model: ModelLetter
    departure: Departure
    text: str
    marked: bool


def model_pages(study: Study) -> tuple[Drawing, ...]:
    """Pages on the sheet's own paper: letter by letter, then the model's own spacing beside the area rule's.

    Empty where the study has no model or no letter of it matches.
    """
    if study.model is None:
        return ()
    rows = _rows(study, study.model)
    if not rows:
        return ()
    width, height = page_size(study)
    scale = _scale(rows)
    row_mm = max(_span(rows).height * scale + 5.0, 7.0 * LEADING)
    room = int((height - 2.0 * PAGE_MARGIN_MM - HEAD_MM) // row_mm)
    parts = [rows[i : i + room] for i in range(0, len(rows), room)]
    pages = [_letters_page(study, part, scale, row_mm, (width, height)) for part in parts]
    return (*pages, _spacing_page(study, study.model, (width, height)))


def _rows(study: Study, model: Model) -> list[_Row]:
    found: dict[int, Finding] = {f.letters[0]: f for f in model_check.check(study) if _departs(f)}
    rows = []
    for x, m in zip(study.letters, partners([x.name for x in study.letters], model), strict=True):
        if m is not None:
            said = found[x.index].text if x.index in found else "Follows the model closely."
            rows.append(_Row(x, m, compare(x.outline, x.anatomy, m), said, x.index in found))
    return rows


def _departs(finding: Finding) -> bool:
    return finding.severity is not Severity.HOLDS and len(finding.letters) == 1


def _span(rows: Sequence[_Row]) -> Box:
    boxes = [b for r in rows for b in (r.letter.outline.box_u, r.model.outline.box_u)]
    return reduce(Box.joined, boxes).joined(Box(boxes[0].x0, 0.0, boxes[0].x1, 1000.0))


def _scale(rows: Sequence[_Row]) -> float:
    """Millimetres to a letter unit: one for all letters, so that the widest fits its column."""
    widest = max(max(r.letter.outline.box_u.width, r.model.outline.box_u.width) for r in rows)
    return min(X_HEIGHT_MM / 1000.0, (COLUMN_MM - 4.0) / widest)


def _letters_page(
    study: Study, rows: Sequence[_Row], scale: float, row_mm: float, size: tuple[float, float]
) -> Drawing:
    width, height = size
    left, top = float(PAGE_MARGIN_MM), float(PAGE_MARGIN_MM)
    name = study.model.name if study.model else ""
    items: list[Item] = [
        Label("Beside the model", (left, top + 6.0), 7.0, bold=True, colour=TEXT),
        Label(f"{name}, on one baseline and one x-height", (left, top + 12.0), SIZE, colour=QUIET),
    ]
    for k, head in enumerate(HEADS):
        at = (left + (k + 0.5) * COLUMN_MM, top + HEAD_MM - 1.0)
        items.append(Label(head, at, SMALL, Anchor.MIDDLE, colour=QUIET))
    span = _span(rows)
    for i, row in enumerate(rows):
        baseline = top + HEAD_MM + i * row_mm + span.y1 * scale + 1.0
        items.append(_row(row, scale, left, baseline, width))
    told = "Each letter of the model, the letter as drawn, and both over each other; the model is the grey body."
    return Drawing(width, height, "Letters beside the model", (*items, *foot(study, width, height)), told)


def _row(row: _Row, scale: float, left: float, baseline: float, width: float) -> Group:
    own, other = row.letter.outline, row.model.outline
    laid = other.moved(row.departure.laid.move_u[0])
    items: list[Item] = [
        Rule((left, y), (left + 3 * COLUMN_MM - 2.0, y), GUIDE, 0.12, title=line)
        for line, y in (("mean line", baseline - 1000.0 * scale), ("baseline", baseline))
    ]
    maps = [_centred(o, scale, left + (k + 0.5) * COLUMN_MM, baseline) for k, o in enumerate((other, own, own))]
    items.append(Shape(placed(other.contours, maps[0]), INK, title=f"the model's {row.model.name or 'letter'}"))
    items.append(Shape(placed(own.contours, maps[1]), INK, title=f"letter {row.letter.index} as drawn"))
    items.append(Shape(placed(laid.contours, maps[2]), PALE, title="the model"))
    items.append(Shape(placed(own.contours, maps[2]), None, OUTLINE, 0.25, title="the letter as drawn"))
    if row.marked:
        items.append(Shape((disc(maps[2].point(row.departure.laid.at_u), 2.6),), None, MARK, 0.35))
    x = left + 3 * COLUMN_MM + 3.0
    y = baseline - 1000.0 * scale + SIZE
    head = row.letter.name or f"letter {row.letter.index}"
    items.append(Label(head, (x, y), 1.2 * SIZE, bold=True, colour=TEXT))
    for k, line in enumerate(wrapped(row.text, SMALL, width - x - PAGE_MARGIN_MM)):
        items.append(Label(line, (x, y + (k + 1) * 0.85 * LEADING), SMALL, colour=TEXT if row.marked else QUIET))
    return Group(tuple(items), f"model-letter-{row.letter.index:02d}")


def _centred(outline: Outline, scale: float, x: float, baseline: float) -> Affine:
    return Affine(scale, 0.0, 0.0, -scale, x - scale * outline.box_u.centre[0], baseline)


def _spacing_page(study: Study, model: Model, size: tuple[float, float]) -> Drawing:
    """The model as its maker set it, the drawn letters in that spacing, and by the area rule; gaps in hundredths."""
    width, height = size
    left, y = float(PAGE_MARGIN_MM), PAGE_MARGIN_MM + 6.0
    items: list[Item] = [Label("The model's spacing and the area rule's", (left, y), 7.0, bold=True, colour=TEXT)]
    own = "advances and kerning" if model.kerned else "advances alone"
    said = (
        f"Gaps from letter to letter at their nearest uprights, in hundredths of the x-height. {model.name} is set by its "
        f"{own}. Neither spacing is the other's fault: the model shows what its maker chose for these letters."
    )
    y += 1.5
    for line in wrapped(said, SMALL, width - 2.0 * left):
        y += LEADING
        items.append(Label(line, (left, y), SMALL, colour=QUIET))
    y += 6.0
    drawn = [x.outline for x in study.letters]
    theirs = [x.outline for x in model.letters if x]
    settings = [("The model in its own spacing", theirs)]
    if len(model.letters) == len(drawn) and all(g is not None for g in model.gap_ratios):
        settings.append(("The drawn letters in the model's spacing", _set(drawn, [g or 0.0 for g in model.gap_ratios])))
    settings.append(("The drawn letters by the area rule", list(corrected_outlines(study))))
    settings.append(("As drawn", drawn))
    scale = min(*((width - 2.0 * left) / _around(o).width for _, o in settings), 16.0 / 1000.0)
    for name, outlines in settings:
        block, y = _line(name, outlines, scale, left, y)
        items.append(block)
    told = "The same word in the model's own spacing and by the area rule, with every gap."
    return Drawing(width, height, "The model's spacing", (*items, *foot(study, width, height)), told)


def _set(drawn: Sequence[Outline], gaps: Sequence[float]) -> list[Outline]:
    """The letters, unchanged, with these gaps between their boxes."""
    placed_at, x = [], 0.0
    for o, gap in zip(drawn, [*gaps, 0.0], strict=True):
        placed_at.append(o.moved(x - o.box_u.x0))
        x += o.box_u.width + 1000.0 * gap
    return placed_at


def _around(outlines: Sequence[Outline]) -> Box:
    return reduce(Box.joined, [o.box_u for o in outlines])


def _line(name: str, outlines: Sequence[Outline], scale: float, left: float, y: float) -> tuple[Group, float]:
    around = _around(outlines)
    y += LEADING
    items: list[Item] = [Label(name, (left, y), SIZE, bold=True, colour=TEXT)]
    baseline = y + 3.0 + max(around.y1, 1000.0) * scale
    to_mm = Affine(scale, 0.0, 0.0, -scale, left - scale * around.x0, baseline)
    items += [
        Rule((left, h), (left + around.width * scale, h), GUIDE, 0.12) for h in (baseline - 1000.0 * scale, baseline)
    ]
    items += [Shape(placed(o.contours, to_mm), INK) for o in outlines]
    foot_mm = baseline - min(around.y0, 0.0) * scale + LEADING
    for a, b in pairwise(outlines):
        gap = (b.box_u.x0 - a.box_u.x1) / 1000.0
        at = to_mm.point(((a.box_u.x1 + b.box_u.x0) / 2.0, 0.0))[0]
        items.append(Label(f"{100.0 * gap:.0f}", (at, foot_mm), SMALL, Anchor.MIDDLE, colour=TEXT))
    return Group(tuple(items)), foot_mm + 3.0
