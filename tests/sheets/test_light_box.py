"""Drafts over each other and a class's wall: shapes where they belong, nothing over anything else, however long a file's name."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from tests.sheets.test_comparison import group, label_box, labels
from tests.specimens.study import font_study
from vectorize.sheets.drawing import Drawing, Shape, walk
from vectorize.sheets.light_box import Layer, changes_pages, light_box, style_of
from vectorize.sheets.pin_up import Example, Lesson, Pinned, pin_up
from vectorize.sheets.word import corrected_outlines, outlines

SHORT = "second draft"
LONG = "Photograph of the drawing of 2026-03-14 at 18.22.31, third draft with the lamp from the left, corrected (copy)"


def layer(name: str, text: str = "mantel", **options) -> Layer:
    study = font_study(text, **options)
    return Layer(name, outlines(study), study.setting.pairs, "spaces off by 8 per cent of the x-height")


def assert_labels_keep_clear(page: Drawing) -> None:
    boxes = [(x.text, label_box(x)) for x in labels(page)]
    for (_, a), (_, b) in combinations(boxes, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (a, b)
    for text, box in boxes:
        assert box[0] >= 0.0, text
        assert box[2] <= page.width_mm - 14.9, text


@pytest.mark.parametrize("name", [SHORT, LONG])
def test_names_on_the_light_box_keep_clear_of_what_stands_beside_them(name):
    page = light_box([layer(name), layer("last", changed_u={})], f"From draft to draft: {name}")
    assert_labels_keep_clear(page)
    assert any(x.text == "last" for x in labels(page))


def test_drafts_lie_on_one_baseline_and_x_height_and_the_last_lies_lowest():
    first, last = layer("first"), layer("last", changed_u={}, x_height_mm=30.0)
    shapes = [i for i in group(light_box([first, last], "drafts"), "light-box").items if isinstance(i, Shape)]
    assert [s.fill is None for s in shapes] == [False] * 6 + [True] * 6
    feet = [max(y for _, y in (np.array(s.contours[0].nodes))) for s in (shapes[0], shapes[6])]
    assert feet[0] == pytest.approx(feet[1], abs=1e-6)
    middles = [
        np.mean([np.ptp(np.array(s.contours[0].nodes)[:, 0]) for s in part]) for part in (shapes[:6], shapes[6:])
    ]
    assert middles[0] == pytest.approx(middles[1], rel=1e-6)


def test_drafts_can_be_told_apart_without_colour():
    styles = [style_of(place, 4) for place in range(4)]
    looks = [(s.fill is None, s.dash_mm) for s in styles]
    assert looks[1] == looks[2]
    assert len(set(looks)) == 3


def test_drafts_of_other_letters_are_laid_over_each_other_as_words():
    page = light_box([layer("first", "no", changed_u={}), layer("last")], "drafts")
    assert any(x.text.startswith("The spaces") for x in labels(page))
    assert not any(x.text == "Letter by letter" for x in labels(page))


def test_no_heading_of_the_changes_stands_alone_at_the_foot_of_a_page():
    for count in range(20, 34):
        pages = changes_pages(
            "drafts", [("Gone", [f"Statement {i}." for i in range(count)]), ("New", ["Another one."])]
        )
        texts = [[x.text for x in labels(p)] for p in pages]
        said = [text for page in texts for text in page]
        assert said.count("New") == 1
        assert all(page[-1] != "New" for page in texts)
        assert all(f"Statement {i}." in said for i in range(count))


@pytest.mark.parametrize("name", [SHORT, LONG])
def test_names_on_the_wall_keep_clear_of_each_other(name):
    study = font_study("mantel")
    drawn = outlines(study)
    pinned = [Pinned(name, "folder", drawn, corrected_outlines(study), "The m sinks below the baseline.")] * 7
    lesson = Lesson(
        "Spaces", "5 of 7 drawings", "Draw the o first.", (Example(name, "folder", drawn, None, "It leans."),) * 3
    )
    pages = pin_up(pinned, [lesson])
    assert len(pages) == 3
    for page in pages:
        assert_labels_keep_clear(page)


def test_on_the_wall_both_words_stand_at_one_size():
    study = font_study("mantel")
    page = pin_up([Pinned("a", "a", outlines(study), corrected_outlines(study), None)], [])[1]
    shapes = [i for i in walk(page.items) if isinstance(i, Shape)]
    assert len(shapes) == 12
    for drawn, corrected in zip(shapes[:6], shapes[6:], strict=True):
        sizes = [np.ptp(np.array(s.contours[0].nodes), axis=0) for s in (drawn, corrected)]
        assert sizes[0] == pytest.approx(sizes[1], abs=1e-9)
    assert "Everything that was looked at holds." in [x.text for x in labels(page)]
