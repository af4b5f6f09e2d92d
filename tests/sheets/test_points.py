"""Findings sorted into the parts of a critique, each with its place on the drawing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.specimens.study import font_study
from vectorize.findings import Finding, Severity
from vectorize.sheets.points import COMMENT, check_name, points


def finding(check: str, letters: tuple[int, ...] = (), severity: Severity = Severity.NOTE, place=None) -> Finding:
    return Finding(check, letters, None, None, "", severity, f"Said of {check}.", place)


@pytest.mark.parametrize("remarked", [True, False])
def test_an_instructors_comment_comes_first_and_once(remarked):
    comment = finding(COMMENT, place=(0.0, 0.0, 200.0, 200.0))
    study = replace(font_study("no"), remarks=(comment,) if remarked else ())
    said = points(study, (finding("seat", (1,), Severity.FIX), comment))
    assert [p.finding.check for p in said.todo] == [COMMENT, "seat"]
    assert [p.number for p in said.todo] == [1, 2]
    assert said.doubts == ()


def test_a_place_is_what_was_told_or_the_letters_or_the_whole_word():
    study = font_study("mantel")
    own, whole, told, level = points(
        study,
        (
            finding("seat", (2, 3)),
            finding("weight"),
            finding("fill", (1,), place=(1.0, 2.0, 3.0, 4.0)),
            finding("level"),
        ),
    ).todo
    boxes = [x.outline.box_u for x in study.letters]
    assert own.place == boxes[1].joined(boxes[2])
    assert whole.whole
    assert (whole.place.x0, whole.place.x1) == (boxes[0].x0, boxes[-1].x1)
    assert (told.place.x0, told.place.y0, told.place.x1, told.place.y1) == (1.0, 2.0, 3.0, 4.0)
    # The baseline's place lies along it and reaches beyond the word.
    assert level.place.y0 < 0.0 < level.place.y1 < 100.0
    assert level.place.x0 < boxes[0].x0
    assert level.place.x1 > boxes[-1].x1


def test_what_holds_of_certain_letters_can_be_shown_and_what_holds_of_all_has_no_place():
    study = font_study("mantel")
    said = points(study, (finding("seat", (1,), Severity.HOLDS), finding("upright", (), Severity.HOLDS)))
    assert [f.check for f in said.holds] == ["seat", "upright"]
    assert [p.finding.check for p in said.beside] == ["seat"]
    assert said.todo == ()


def test_a_check_without_a_name_of_its_own_is_called_by_its_word():
    assert check_name(finding("spaces")) == "Spaces"
    assert check_name(finding("thin-strokes")) == "Thin strokes"
