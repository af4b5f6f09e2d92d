"""The pages to redraw from: the word to draw over, its gaps marked, and the same lines empty, however large the word is."""

from __future__ import annotations

import pytest

from tests.sheets.test_comparison import label_box, labels
from tests.specimens.study import font_study
from vectorize.sheets.drawing import Drawing, Group, Rule, Shape, walk
from vectorize.sheets.fit import fit_across
from vectorize.sheets.practice import practice
from vectorize.sheets.said import gap_values


def rows(page: Drawing) -> list[Group]:
    return [g for g in page.items if isinstance(g, Group) and any(isinstance(i, Rule) for i in g.items)]


@pytest.mark.parametrize(("text", "x_height_mm"), [("mantel", 12.0), ("mantel", 40.0), ("lo", 90.0), ("pod", 200.0)])
def test_there_are_always_empty_lines_with_the_gaps_marked(text, x_height_mm):
    study = font_study(text, x_height_mm=x_height_mm, changed_u={})
    pages = practice(study)
    all_rows = [row for page in pages for row in rows(page)]
    with_letters = [row for row in all_rows if any(isinstance(i, Shape) for i in row.items)]
    assert with_letters == all_rows[:1]
    assert len(all_rows) > 1
    for page in pages:
        assert rows(page)
        assert max(label_box(x)[3] for x in labels(page)) <= page.height_mm
        assert max(i.start[1] for i in walk(page.items) if isinstance(i, Rule)) <= page.height_mm - 15.0


def test_the_gaps_under_the_empty_lines_are_the_corrected_ones():
    study = font_study("mantel", x_height_mm=18.0)
    said = [x.text for x in labels(practice(study)[0])]
    gaps = [gap_values(study, pair)[1] for pair in study.setting.pairs]
    first = said.index(gaps[0])
    assert said[first : first + len(gaps)] == gaps


def test_a_word_is_printed_at_true_size_where_it_fits_and_else_in_whole_per_cent():
    study = font_study("no", x_height_mm=20.0)
    assert fit_across(study, 2000.0, 60.0).scale == 1.0
    assert fit_across(study, 2000.0, 60.0).said is None
    wide = fit_across(study, 2000.0, 33.5)
    assert wide.scale == pytest.approx(0.83)
    assert wide.mm_per_unit * 2000.0 <= 33.5


def test_a_word_too_high_for_the_page_is_not_called_too_wide():
    study = font_study("lo", x_height_mm=200.0, changed_u={})
    high = fit_across(study, 1000.0, 1000.0, most_mm_per_unit=0.1)
    assert high.scale == 0.5
    assert "wide" not in high.said


@pytest.mark.parametrize("text", ["mantel", "illuminatorial interwoven hinnel mantel among"])
def test_a_long_title_keeps_clear_of_what_is_said_beside_it(text):
    study = font_study(text, x_height_mm=4.0)
    title, said = (label_box(x) for x in labels(practice(study)[0])[:2])
    assert title[2] < said[0]
