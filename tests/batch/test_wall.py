"""The class's wall: who hangs where, what the next lesson is, and that nothing is counted against anybody."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace

import pypdf
import pytest
from lxml import html

from tests.drafts.made import draft
from vectorize.batch.lessons import LESSONS, lesson_of
from vectorize.batch.pin_up import pin_up_files
from vectorize.batch.progress import line
from vectorize.batch.wall import Wall, corrected, different, hang
from vectorize.critique.judge import CHECKS
from vectorize.drafts.draft import Draft
from vectorize.findings import Finding, Severity


@pytest.fixture(scope="module")
def drafts() -> list[Draft]:
    wide, tight, even = draft("wide", {1: 200.0}), draft("tight", {3: -120.0}), draft("even", {})
    leaning = Finding("upright", (2,), 6.0, 2.0, "deg", Severity.FIX, "The stem of the a leans 6 degrees to the right.")
    return [even, replace(wide, name="=wide", findings=(*wide.findings, leaning)), tight]


@pytest.fixture(scope="module")
def wall(drafts: list[Draft]) -> Wall:
    return hang(drafts)


@pytest.fixture(scope="module")
def files(wall: Wall) -> dict[str, bytes]:
    return pin_up_files(wall)


def test_what_needs_the_most_attention_hangs_first(wall: Wall) -> None:
    assert [p.name for p in wall.pinned] == ["=wide", "tight", "even"]
    assert wall.pinned[0].look_first is not None
    assert wall.pinned[-1].look_first is None


def test_the_lesson_is_what_most_drawings_share_with_examples(wall: Wall) -> None:
    (lesson,) = wall.lessons
    assert lesson.title == lesson_of("spaces")[0]
    assert lesson.shared == "in 2 of the 3 drawings"
    assert [e.name for e in lesson.examples] == ["=wide", "tight"]
    for example in lesson.examples:
        assert example.stretch_u is not None
        assert example.stretch_u[0] < example.stretch_u[1]


def test_the_same_picture_twice_is_one_drawing(drafts: list[Draft]) -> None:
    twin = replace(drafts[0], name="twin")
    assert [d.name for d in different([*drafts, twin])] == [d.name for d in drafts]


def test_corrected_letters_stand_where_the_measures_say(drafts: list[Draft]) -> None:
    for d in drafts:
        gaps = [b.box_u.x0 - a.box_u.x1 for a, b in zip(corrected(d), corrected(d)[1:], strict=False)]
        assert gaps == pytest.approx([1000.0 * p["target_ratio"] for p in d.measures["pairs"]], abs=0.5)


def test_no_marks_and_no_counting_of_faults(files: dict[str, bytes]) -> None:
    page = html.fromstring(files["pin-up.html"])
    wall = page.xpath("//section[h2='The wall']")[0].text_content()
    shown = wall + "".join(p.extract_text() for p in pypdf.PdfReader(io.BytesIO(files["pin-up.pdf"])).pages[1:])
    assert not re.search(
        r"\b(score|mark|grade|points?|rank|place|\d+ (faults?|errors?|mistakes?))\b", shown, re.IGNORECASE
    )


def test_the_table_is_one_line_a_drawing_and_no_formula(files: dict[str, bytes]) -> None:
    rows = list(csv.DictReader(io.StringIO(files["pin-up.csv"].decode("utf-8-sig"))))
    assert [r["folder"] for r in rows] == ["'=wide", "tight", "even"]
    assert [r["spaces"] for r in rows] == ["fix", "fix", "holds"]
    assert all(float(r["x_height_mm"]) == 18.0 for r in rows)


def test_the_json_says_the_same(files: dict[str, bytes]) -> None:
    said = json.loads(files["pin-up.json"])
    assert [d["folder"] for d in said["drawings"]] == ["=wide", "tight", "even"]
    assert len(said["drawings"][0]["look_first"]) == 2
    assert said["lessons"][0]["examples"] == ["=wide", "tight"]


def test_the_same_wall_is_the_same_bytes(drafts: list[Draft], files: dict[str, bytes]) -> None:
    assert pin_up_files(hang(drafts)) == files


def test_every_check_has_its_lesson() -> None:
    names = {c.__module__.rsplit(".", 1)[-1] for c in CHECKS}
    assert names <= set(LESSONS)
    assert lesson_of("unheard")[0] == "Unheard"


def test_the_bar_says_how_far_and_how_long() -> None:
    assert line(0, 12, 0.0) == f"[{' ' * 24}] 0 of 12"
    assert line(6, 12, 30.0) == f"[{'=' * 12}{' ' * 12}] 6 of 12, about 30 s more"
    assert line(1, 100, 10.0).endswith("1 of 100, about 16 min more")
