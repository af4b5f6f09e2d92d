"""Figures as the sheets write them: units, true minus signs, and a dash only for what was not measured."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.specimens.study import font_study
from vectorize.reading.records import GuideSource
from vectorize.sheets.cell import measures
from vectorize.sheets.figures import letter_table, level_lines, pair_table
from vectorize.sheets.said import NONE, drawn_sentence, gap_text, signed
from vectorize.spacing.records import Verdict


@pytest.mark.parametrize(
    ("value", "decimals", "said"),
    [(0.0, 1, "0.0"), (-0.04, 1, "0.0"), (-0.4, 0, "0"), (-0.06, 1, "−0.1"), (12.34, 1, "12.3"), (-7.6, 0, "−8")],
)
def test_a_figure_has_a_true_minus_and_nothing_has_no_sign(value, decimals, said):
    assert signed(value, decimals) == said


def test_gaps_are_in_mm_where_the_true_size_is_known_and_else_in_hundredths():
    study = font_study("no", x_height_mm=20.0)
    assert gap_text(study, 0.25) == "5.0"
    assert gap_text(study, -0.05) == "−1.0"
    assert gap_text(study, -0.001) == "0"
    unknown = replace(study, scale=replace(study.scale, source="assumed"))
    assert gap_text(unknown, 0.25) == "25"
    assert pair_table(study)[0][4:6] == ("gap mm", "when even")
    assert pair_table(unknown)[0][4] == "gap %"


def test_the_blotchiest_black_is_nothing_and_not_unknown():
    letter = font_study("no").letters[0]
    blotchy = replace(letter, anatomy=replace(letter.anatomy, fill_evenness=0.0, stem_ratio=None))
    assert dict(measures(blotchy))["black"] == "0"
    assert dict(measures(blotchy))["stem"] == NONE


def test_tables_have_a_row_for_each_letter_and_gap_and_a_width_for_each_column():
    study = font_study("in two")
    for (heads, rows, widths), count in ((letter_table(study), 5), (pair_table(study), 4)):
        assert len(rows) == count
        assert {len(row) for row in rows} == {len(heads)} == {len(widths)}
    assert [row[0] for row in letter_table(study)[1]] == list("intwo")
    assert [row[0] for row in pair_table(study)[1]] == ["i–n", "n–t", "t–w", "w–o"]
    assert pair_table(study)[1][1][1:4] == ("two words", NONE, NONE)


def test_the_width_of_a_letter_is_told_in_per_cent_of_the_x_height():
    study = font_study("no", changed_u={})
    heads, rows, _ = letter_table(study)
    for row, letter in zip(rows, study.letters, strict=True):
        assert float(row[heads.index("width")]) == pytest.approx(letter.outline.box_u.width / 10.0, abs=0.051)


def test_a_line_that_falls_to_the_right_is_said_to_fall():
    study = font_study("no")
    level = replace(study.level, baseline_deg=-0.8, camera_deg=-0.1, drawing_deg=-0.7, mean_line_deg=-0.6)
    _, base, others = level_lines(replace(study, level=level))
    assert (
        base == "Baseline in the picture falls 0.80°, as drawn: the sheet falls 0.10°, the drawing on it falls 0.70°."
    )
    assert others == "Against the baseline: mean line rises 0.20°."
    alone = replace(level, mean_line_deg=None, camera_deg=None, drawing_deg=None, source=GuideSource.INFERRED)
    lines = level_lines(replace(study, level=alone))
    assert lines[1:] == ("Baseline in the picture falls 0.80°, inferred from the letters.",)


def test_the_spaces_are_counted_by_their_looks():
    study = font_study("mantel")
    pairs = study.setting.pairs
    verdicts = (Verdict.EVEN, Verdict.WIDE, Verdict.EVEN, Verdict.TIGHT, Verdict.EVEN)

    def said(*looks):
        some = tuple(replace(p, verdict=v) for p, v in zip(pairs, looks, strict=False))
        return drawn_sentence(replace(study, setting=replace(study.setting, pairs=some)))

    assert said(*verdicts) == "Of 5 spaces, 3 even, 1 wide and 1 tight."
    assert said(*[Verdict.EVEN] * 5) == "All 5 spaces look even."
    assert said(Verdict.EVEN, Verdict.WIDE) == "Of 2 spaces, 1 even and 1 wide."
    assert said(Verdict.EVEN) == "The one space has no other beside it."
    assert said() == "There is no space to judge."
