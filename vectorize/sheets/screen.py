"""A Study and its findings come in; out goes what the proof on the screen shows: its figures and its points."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from vectorize.findings import Finding
from vectorize.sheets.cell import cells
from vectorize.sheets.comparison import comparison
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.drawn import drawn
from vectorize.sheets.figures import Table, letter_table, level_lines, pair_table
from vectorize.sheets.points import Points, points
from vectorize.sheets.proof import size_said, title
from vectorize.study import Study


@dataclass(frozen=True, slots=True)
class Screen:
    """The parts of the page in reading order; `more` are further figures (the model)."""

    title: str
    picture: str
    size: str
    drawn: Drawing
    points: Points
    comparison: Drawing
    cells: tuple[Drawing, ...]
    more: tuple[Drawing, ...]
    lines: tuple[str, ...]
    letters: Table
    pairs: Table | None


def screen(study: Study, findings: Iterable[Finding], more: Sequence[Drawing] = ()) -> Screen:
    """The same figures and words as the printed proof."""
    said = points(study, findings)
    return Screen(
        title(study),
        study.picture.file,
        size_said(study, 1.0),
        drawn(study, said.todo, everything=True),
        said,
        comparison(study),
        cells(study),
        tuple(more),
        level_lines(study),
        letter_table(study),
        pair_table(study) if study.setting.pairs else None,
    )
