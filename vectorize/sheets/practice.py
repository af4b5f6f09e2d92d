"""A Study comes in; out go pages to redraw from: true guidelines, the corrected word light, then the same lines empty."""

from __future__ import annotations

from typing import Final

from vectorize.geometry import Affine
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Strokes
from vectorize.sheets.fit import Fit, fit_across
from vectorize.sheets.furniture import foot, measuring_rule, page_size
from vectorize.sheets.palette import GUIDE, QUIET, TEXT
from vectorize.sheets.said import gap_text, gap_unit, true_size_known
from vectorize.sheets.word import DASHES, corrected_outlines, extent, letter_shapes, named_lines, true_height
from vectorize.study import Study
from vectorize.trade.sheets import (
    GUIDE_WIDTH_MM,
    HEADING_MM,
    LIGHT_LETTER,
    PAGE_MARGIN_MM,
    SMALL_TEXT_MM,
    TEXT_SIZE_MM,
)

HEAD_MM: Final = 14.0
FOOT_MM: Final = 18.0


def practice(study: Study) -> tuple[Drawing, ...]:
    """One page: rows of guidelines as many as it holds, the word in the first of them, its gaps marked in the second."""
    word = extent(study)
    width, height = page_size(study, word.width)
    margin = float(PAGE_MARGIN_MM)
    fit = fit_across(study, word.width, width - 2.0 * margin, (height - HEAD_MM - FOOT_MM - 2 * margin) / word.height)
    row = word.height * fit.mm_per_unit
    pitch = row + max(0.35 * 1000.0 * fit.mm_per_unit, 6.0)
    room = height - 2.0 * margin - HEAD_MM - FOOT_MM
    count = max(1, int((room - row) / pitch) + 1)
    items: list[Item] = [*_heading(study, fit, margin, width)]
    for k in range(count):
        top = margin + HEAD_MM + k * pitch
        left = (width - word.width * fit.mm_per_unit) / 2.0
        to_mm = Affine(
            fit.mm_per_unit,
            0.0,
            0.0,
            -fit.mm_per_unit,
            left - word.x0 * fit.mm_per_unit,
            top + word.y1 * fit.mm_per_unit,
        )
        items.append(_row(study, to_mm, margin, width - margin, k))
    items.extend((*measuring_rule(margin, height - margin), *foot(study, width, height)))
    return (Drawing(width, height, f"{study.picture.file}: to draw from again", tuple(items)),)


def _heading(study: Study, fit: Fit, margin: float, width: float) -> tuple[Item, ...]:
    title = "Draw it again" if study.brief.word is None else f"Draw {study.brief.word} again"
    said = f"x-height {study.scale.x_height_mm * fit.scale:.1f} mm"
    said += (
        f", {fit.said}" if fit.said else (", true size" if true_size_known(study) else ", the true size is not known")
    )
    return (
        Label(title, (margin, margin + 5.0), float(HEADING_MM), bold=True, colour=TEXT),
        Label(said, (width - margin, margin + 5.0), float(TEXT_SIZE_MM), Anchor.END, colour=QUIET),
    )


def _row(study: Study, to_mm: Affine, x0: float, x1: float, number: int) -> Group:
    lines: list[Item] = []
    for name, line in named_lines(study):
        y = to_mm.point((0.0, true_height(name, line)))[1]
        lines.append(Rule((x0, y), (x1, y), GUIDE, float(GUIDE_WIDTH_MM), DASHES.get(name, ())))
    if number == 0:
        return Group((*letter_shapes(corrected_outlines(study), to_mm, fill=_light()), *lines), "word")
    return Group((*lines, *(_places(study, to_mm) if number == 1 else ())), f"row-{number}")


def _light() -> str:
    grey = round(255.0 * (1.0 - LIGHT_LETTER))
    return f"#{grey:02x}{grey:02x}{grey:02x}"


def _places(study: Study, to_mm: Affine) -> tuple[Item, ...]:
    """Where each letter begins and ends on the baseline, and the gaps between them."""
    boxes = [o.box_u for o in corrected_outlines(study)]
    base = to_mm.point((0.0, 0.0))[1]
    ticks = tuple(
        ((x, base - 1.2), (x, base + 1.2))
        for b in boxes
        for x in (to_mm.point((b.x0, 0.0))[0], to_mm.point((b.x1, 0.0))[0])
    )
    gaps = [
        Label(
            gap_text(study, p.target_ratio),
            (to_mm.point(((boxes[p.left - 1].x1 + boxes[p.right - 1].x0) / 2.0, 0.0))[0], base + 4.2),
            0.85 * float(SMALL_TEXT_MM),
            Anchor.MIDDLE,
            colour=QUIET,
        )
        for p in study.setting.pairs
    ]
    unit = Label(
        f"gaps, {gap_unit(study)}", (to_mm.point((boxes[0].x0, 0.0))[0], base + 7.6), float(SMALL_TEXT_MM), colour=QUIET
    )
    return (Strokes(ticks, QUIET, 0.15), *gaps, unit)
