"""What both proofs show comes in; out goes the printed critique: overview, spaces, letters, model, all points, figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from vectorize.findings import Finding
from vectorize.sheets.cell import EXPLAINED, printed
from vectorize.sheets.comparison import comparison
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.drawn import with_places
from vectorize.sheets.furniture import page_size
from vectorize.sheets.model import EXPLAINED as MODEL_EXPLAINED
from vectorize.sheets.model import Compared
from vectorize.sheets.pages import MARGIN, Pages
from vectorize.sheets.palette import QUIET, TEXT
from vectorize.sheets.points import Point, Points
from vectorize.sheets.said import true_size_known
from vectorize.sheets.shown import Shown
from vectorize.sheets.word import extent
from vectorize.study import Study

HOLDS_SHOWN: Final = 8
"""More than these would push what is to be done off the first page; the list on the screen has them all."""

COLUMNS_MM: Final = 55.0
"""Room for three points with a heading: less, and a lying page is filled from top to bottom like any other."""

BETWEEN_MM: Final = 8.0


def proof(said: Shown) -> tuple[Drawing, ...]:
    """The pages in reading order, a page a theme."""
    study = said.study
    pages = Pages(study, page_size(study, extent(study).width))
    _overview(pages, said)
    if study.setting.pairs:
        _spaces(pages, said)
    _letters(pages, said)
    if said.model is not None:
        _model(pages, said.model)
    if len(said.points.todo) > len(said.points.first):
        _all_points(pages, said)
    _figures(pages, said)
    return pages.finish()


def _fitting(pages: Pages, drawing: Drawing) -> float:
    """The scale at which a figure fits the measure and the room that is left, never more than true size."""
    return min(1.0, pages.measure / drawing.width_mm, max(20.0, pages.room - 8.0) / drawing.height_mm)


def size_said(study: Study, scale: float) -> str:
    """How large a figure is, in words."""
    if not true_size_known(study):
        return f"An x-height of {study.scale.x_height_mm:.0f} mm is assumed."
    if scale > 0.999:
        return f"At true size; the x-height is {study.scale.x_height_mm:.1f} mm."
    return f"At {100.0 * scale:.0f} per cent of true size, to fit the page; the x-height is {study.scale.x_height_mm:.1f} mm."


def _overview(pages: Pages, shown: Shown) -> None:
    study, said = pages.study, shown.points
    first = tuple(replace(p, prefix="first-") for p in said.first)
    pages.page(shown.title, "Proof of a drawing")
    figure = with_places(shown.drawn, study, first)
    scale = _fitting(pages, figure)
    pages.figure(figure, scale, size_said(study, scale))
    if pages.width > pages.height and pages.room > COLUMNS_MM:
        _side_by_side(pages, said, first)
    else:
        _holds(pages, said.holds[:HOLDS_SHOWN])
        _next(pages, said, first)
    if said.doubts:
        pages.heading("Not sure in the reading")
        for finding in said.doubts:
            pages.paragraph(finding.text, mark="?", colour=QUIET)


def _side_by_side(pages: Pages, said: Points, first: Sequence[Point]) -> None:
    """On a lying page what holds stands at the left and what is next at the right, so that both are on the first page."""
    top, across = pages.y, pages.measure
    pages.column(0.4 * across + BETWEEN_MM, 0.6 * across - BETWEEN_MM, top)
    _next(pages, said, first)
    if pages.left == MARGIN:
        # What is next was longer than the page, and went on over a further one.
        _holds(pages, said.holds[:HOLDS_SHOWN])
        return
    low = pages.y
    pages.column(0.0, 0.4 * across, top)
    kept = said.holds[:HOLDS_SHOWN]
    while kept and pages.height_of([f.text for f in kept]) > pages.room:
        kept = kept[:-1]
    _holds(pages, kept)
    pages.whole(max(low, pages.y))


def _holds(pages: Pages, holds: Sequence[Finding]) -> None:
    if holds:
        pages.heading("What holds")
        for finding in holds:
            pages.paragraph(finding.text, mark="✓")


def _next(pages: Pages, said: Points, first: Sequence[Point]) -> None:
    pages.heading("Next" if said.todo else "Nothing to put right")
    for point in first:
        pages.point(point, linked=True)
    left = len(said.todo) - len(said.first)
    if left:
        pages.paragraph(f"{left} more, of less weight, on the page of all points.", colour=QUIET)


def _spaces(pages: Pages, said: Shown) -> None:
    study = pages.study
    pages.page("Spaces", "The white between the letters")
    figure = comparison(study, (pages.measure, pages.room - 3.0))
    pages.figure(figure, min(1.0, (pages.room - 8.0) / figure.height_mm))
    own = [p for p in said.points.todo if p.finding.check == "spaces"]
    if own:
        pages.heading("Seen in the spaces")
        for point in own:
            pages.paragraph(point.finding.text, mark=str(point.number))


def _letters(pages: Pages, said: Shown) -> None:
    pages.page("Letters", "The pencil's edge behind the clean outline")
    pages.paragraph(EXPLAINED, colour=QUIET)
    pages.y += 2.0
    pages.figures([printed(c) for c in said.cells], 5.0)


def _model(pages: Pages, model: Compared) -> None:
    pages.page("Beside the model", model.name)
    pages.paragraph(MODEL_EXPLAINED, colour=QUIET)
    pages.y += 2.0
    for letter in model.letters:
        said = [(letter.text, TEXT if letter.departs else QUIET)]
        said += [(letter.furthest, QUIET)] if letter.furthest else []
        pages.beside(letter.figure, letter.name, said)
    pages.page("The model's spacing", "and the area rule's")
    pages.paragraph(model.spacing, colour=QUIET)
    for setting in model.settings:
        pages.need(setting.height_mm + 14.0)
        pages.heading(setting.title)
        pages.figure(setting, min(1.0, pages.measure / setting.width_mm))


def _all_points(pages: Pages, said: Shown) -> None:
    todo = said.points.todo
    pages.page("All points", "In order of weight")
    figure = with_places(said.drawn, pages.study, todo)
    pages.figure(figure, _fitting(pages, figure))
    pages.y += 4.0
    for point in todo:
        pages.point(point, linked=True)


def _figures(pages: Pages, said: Shown) -> None:
    pages.page("Figures", "Lengths in per cent of the x-height")
    for line in said.lines:
        pages.paragraph(line)
    pages.heading("Letters")
    pages.table(*said.letters)
    if said.pairs is not None:
        pages.heading("Spaces")
        pages.table(*said.pairs)
    if said.model is not None:
        pages.heading("Beside the model, drawn / model")
        pages.table(*said.model.figures)
