"""A Study and its findings come in; out goes what both proofs show: the figures, drawn once, and the points."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from vectorize.findings import Finding
from vectorize.sheets.cell import Cell, cells
from vectorize.sheets.comparison import comparison
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.drawn import drawn
from vectorize.sheets.figures import Table, letter_table, level_lines, pair_table
from vectorize.sheets.model import Compared, compared
from vectorize.sheets.points import Points, points
from vectorize.study import Study


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """The parts in reading order, figures at true size.

    title: the word, or the picture where the word is not known.
    """

    study: Study
    title: str
    drawn: Drawing
    points: Points
    comparison: Drawing
    cells: tuple[Cell, ...]
    model: Compared | None
    lines: tuple[str, ...]
    letters: Table
    pairs: Table | None


def shown(study: Study, findings: Iterable[Finding]) -> Shown:
    """Everything that the proofs need."""
    found = tuple(findings)
    said = points(study, found)
    return Shown(
        study,
        study.brief.word or study.picture.file,
        drawn(study, said),
        said,
        comparison(study),
        cells(study),
        compared(study, found),
        level_lines(study),
        letter_table(study),
        pair_table(study) if study.setting.pairs else None,
    )
