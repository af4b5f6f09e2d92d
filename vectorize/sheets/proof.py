"""A Study and its findings come in; out goes the printed critique: overview, spaces, letters, all points, figures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from vectorize.findings import Finding
from vectorize.sheets.cell import cells
from vectorize.sheets.comparison import comparison
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.drawn import drawn
from vectorize.sheets.figures import letter_table, level_lines, pair_table
from vectorize.sheets.furniture import page_size
from vectorize.sheets.pages import Pages
from vectorize.sheets.palette import QUIET
from vectorize.sheets.points import Points, points
from vectorize.sheets.said import true_size_known
from vectorize.sheets.word import extent
from vectorize.study import Study

HOLDS_SHOWN: Final = 8
"""More than these would push what is to be done off the first page; the list on the screen has them all."""


def proof(study: Study, findings: Iterable[Finding], more: Sequence[Drawing] = ()) -> tuple[Drawing, ...]:
    """The pages; `more` are further figures, each on a page of its own (the model)."""
    said = tuple(findings)
    pages = Pages(study, page_size(study, extent(study).width))
    _overview(pages, points(study, said, "first-"))
    everything = points(study, said)
    _spaces(pages, everything)
    _letters(pages)
    if len(everything.todo) > len(everything.first):
        _all_points(pages, everything)
    for drawing in more:
        pages.page(drawing.title)
        pages.figure(drawing, fitting(pages, drawing))
    _figures(pages)
    return pages.finish()


def title(study: Study) -> str:
    """The word in question, or the picture where the word is not known."""
    return study.brief.word or study.picture.file


def fitting(pages: Pages, drawing: Drawing, most: float = 1.0) -> float:
    """The scale at which a figure fits the measure and the room that is left, never more than `most`."""
    return min(most, pages.measure / drawing.width_mm, max(20.0, pages.room - 8.0) / drawing.height_mm)


def size_said(study: Study, scale: float) -> str:
    """How large a figure is, in words."""
    if not true_size_known(study):
        return f"An x-height of {study.scale.x_height_mm:.0f} mm is assumed."
    if scale > 0.999:
        return f"At true size; the x-height is {study.scale.x_height_mm:.1f} mm."
    return f"At {100.0 * scale:.0f} per cent of true size, to fit the page; the x-height is {study.scale.x_height_mm:.1f} mm."


def _overview(pages: Pages, said: Points) -> None:
    study = pages.study
    pages.page(title(study), "Proof of a drawing")
    figure = drawn(study, said.first, everything=False)
    scale = fitting(pages, figure)
    pages.figure(figure, scale, size_said(study, scale))
    if said.holds:
        pages.heading("What holds")
        for finding in said.holds[:HOLDS_SHOWN]:
            pages.paragraph(finding.text, mark="✓")
    pages.heading("Next" if said.todo else "Nothing to put right")
    for point in said.first:
        pages.point(point, linked=True)
    left = len(said.todo) - len(said.first)
    if left:
        pages.paragraph(f"{left} more, of less weight, on the page of all points.", colour=QUIET)
    if said.doubts:
        pages.heading("Not sure in the reading")
        for finding in said.doubts:
            pages.paragraph(finding.text, mark="?", colour=QUIET)


def _spaces(pages: Pages, said: Points) -> None:
    study = pages.study
    pages.page("Spaces", "The white between the letters")
    figure = comparison(study)
    scale = fitting(pages, figure, most=3.0)
    pages.figure(
        figure, scale, f"At {100.0 * scale:.0f} per cent of its size on the sheet." if true_size_known(study) else ""
    )
    own = [p for p in said.todo if p.finding.check == "spaces"]
    if own:
        pages.heading("Seen in the spaces")
        for point in own:
            pages.paragraph(point.finding.text, mark=str(point.number))


def _letters(pages: Pages) -> None:
    pages.page("Letters", "The pencil's edge behind the clean outline")
    pages.paragraph(
        "The brown line is the edge as it was pencilled, the black one the outline without the hand's tremor. "
        "Lengths are per cent of the x-height.",
        colour=QUIET,
    )
    pages.figures(cells(pages.study), 5.0)


def _all_points(pages: Pages, said: Points) -> None:
    pages.page("All points", "In order of weight")
    figure = drawn(pages.study, said.todo, everything=False)
    pages.figure(figure, fitting(pages, figure))
    pages.y += 4.0
    for point in said.todo:
        pages.point(point, linked=True)


def _figures(pages: Pages) -> None:
    study = pages.study
    pages.page("Figures", "Lengths in per cent of the x-height")
    for line in level_lines(study):
        pages.paragraph(line)
    pages.heading("Letters")
    pages.table(*letter_table(study))
    if study.setting.pairs:
        pages.heading("Spaces")
        pages.table(*pair_table(study))
