"""A Study comes in; out go pages to redraw from: true guidelines, the corrected word light, then the same lines empty."""

from __future__ import annotations

from typing import Final

from vectorize.geometry import Affine
from vectorize.sheets.columns import spread
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Strokes
from vectorize.sheets.fit import Fit, fit_across
from vectorize.sheets.furniture import foot, measuring_rule, page_size
from vectorize.sheets.palette import GUIDE, QUIET, TEXT
from vectorize.sheets.said import gap_text, gap_unit, true_size_known
from vectorize.sheets.type import fitted_size, width_mm
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
FOOT_MM: Final = 14.0

# Between two rows, so that descenders and the figures under a row have room.
LEAST_APART: Final = 0.7  # x-heights
LEAST_APART_MM: Final = 10.0


def practice(study: Study) -> tuple[Drawing, ...]:
    """One page: rows of guidelines as many as it holds, the word in the first of them, its gaps marked in the second.

    Where one row fills the page the second has a page of its own.
    """
    word = extent(study)
    width, height = page_size(study, word.width)
    margin = float(PAGE_MARGIN_MM)
    room = height - 2.0 * margin - HEAD_MM - FOOT_MM
    fit = fit_across(study, word.width, width - 2.0 * margin, room / word.height)
    k = fit.mm_per_unit
    row, apart = word.height * k, max(LEAST_APART * 1000.0 * k, LEAST_APART_MM)
    on_page = max(1, int((room + apart) / (row + apart)))
    pitch = (room - row) / (on_page - 1) if on_page > 1 else 0.0
    left = (width - word.width * k) / 2.0 - word.x0 * k
    rows: list[Item] = []
    for number in range(max(2, on_page)):
        above = number % on_page * pitch
        to_mm = Affine(k, 0.0, 0.0, -k, left, margin + HEAD_MM + above + word.y1 * k)
        rows.append(_row(study, to_mm, (margin, width - margin), number, fit.scale))
    pages = [rows[i : i + on_page] for i in range(0, len(rows), on_page)]
    title = f"{study.picture.file}: to draw from again"
    return tuple(
        Drawing(
            width,
            height,
            title,
            (
                *_heading(study, fit, margin, width),
                *page,
                *measuring_rule(margin, height - margin),
                *foot(study, width, height, f"{number} of {len(pages)}" if len(pages) > 1 else ""),
            ),
        )
        for number, page in enumerate(pages, 1)
    )


def _heading(study: Study, fit: Fit, margin: float, width: float) -> tuple[Item, ...]:
    title = "Draw it again" if study.brief.word is None else f"Draw {study.brief.word} again"
    said = f"x-height {study.scale.x_height_mm * fit.scale:.1f} mm"
    said += (
        f", {fit.said}" if fit.said else (", true size" if true_size_known(study) else ", the true size is not known")
    )
    room = width - 2.0 * margin - width_mm(said, TEXT_SIZE_MM) - 6.0
    size = fitted_size(title, float(HEADING_MM), room, bold=True)
    return (
        Label(title, (margin, margin + 5.0), size, bold=True, colour=TEXT),
        Label(said, (width - margin, margin + 5.0), float(TEXT_SIZE_MM), Anchor.END, colour=QUIET),
    )


def _row(study: Study, to_mm: Affine, ends: tuple[float, float], number: int, scale: float) -> Group:
    lines: list[Item] = []
    for name, line in named_lines(study):
        y = to_mm.point((0.0, true_height(name, line)))[1]
        # The baseline is the heavier one, so that it is plain which lines belong together.
        width = GUIDE_WIDTH_MM * (2.2 if name == "baseline" else 1.0)
        lines.append(Rule((ends[0], y), (ends[1], y), GUIDE, width, DASHES.get(name, ())))
    if number == 0:
        return Group((*letter_shapes(corrected_outlines(study), to_mm, fill=_light()), *lines), "word")
    return Group((*lines, *(_places(study, to_mm, scale) if number == 1 else ())), f"row-{number}")


def _light() -> str:
    grey = round(255.0 * (1.0 - LIGHT_LETTER))
    return f"#{grey:02x}{grey:02x}{grey:02x}"


def _places(study: Study, to_mm: Affine, scale: float) -> tuple[Item, ...]:
    """Where each letter begins and ends on the baseline, and the gaps between them as they are on this page."""
    boxes = [o.box_u for o in corrected_outlines(study)]
    base = to_mm.point((0.0, 0.0))[1]
    size = 0.9 * float(SMALL_TEXT_MM)
    edges = [to_mm.point((x, 0.0))[0] for b in boxes for x in (b.x0, b.x1)]
    gaps = [gap_text(study, p.target_ratio * (scale if true_size_known(study) else 1.0)) for p in study.setting.pairs]
    wanted = [(a + b) / 2.0 for a, b in zip(edges[1::2], edges[2::2], strict=False)]
    at = spread(wanted, [width_mm(g, size) + 1.0 for g in gaps])
    return (
        Strokes(tuple(((x, base - 1.2), (x, base + 1.2)) for x in edges), QUIET, 0.15),
        *(Label(g, (x, base + 3.8), size, Anchor.MIDDLE, colour=QUIET) for g, x in zip(gaps, at, strict=True)),
        Label(f"gaps, {gap_unit(study)}", (edges[0], base + 6.8), size, colour=QUIET),
    )
