"""The critique's pages: what holds first, three things next, nothing off the page, every point with its place."""

from __future__ import annotations

from dataclasses import replace

import pytest
from lxml import html as lxml_html

from tests.sheets.test_comparison import label_box
from tests.specimens.study import font_study, some_findings
from vectorize.findings import Finding, Severity
from vectorize.sheets.cell import printed
from vectorize.sheets.drawing import Group, Label, walk
from vectorize.sheets.points import points
from vectorize.sheets.proof import proof
from vectorize.sheets.shown import Shown, shown
from vectorize.write.html import LAYERS, proof_html


def some(text: str = "mantel", **options) -> Shown:
    study = font_study(text, **options)
    return shown(study, some_findings(study))


def texts(page) -> str:
    return " ".join(i.text for i in walk(page.items) if isinstance(i, Label))


@pytest.mark.parametrize(("text", "sheet"), [("no", "A5"), ("mantel", "Letter"), ("interwoven type", None)])
def test_no_text_leaves_its_page(text, sheet):
    for page in proof(some(text, sheet_name=sheet)):
        for label in (i for i in walk(page.items) if isinstance(i, Label)):
            x0, y0, x1, y1 = label_box(label)
            assert x0 >= 0.0
            assert y0 >= 0.0
            assert x1 <= page.width_mm, label.text
            assert y1 <= page.height_mm, label.text


@pytest.mark.parametrize("text", ["mantel", "WIG"])
def test_no_measure_leaves_its_letters_figure(text):
    for figure in (printed(c) for c in some(text).cells):
        for label in (i for i in walk(figure.items) if isinstance(i, Label)):
            _, _, x1, y1 = label_box(label)
            assert x1 <= figure.width_mm, label.text
            assert y1 <= figure.height_mm


def test_what_holds_comes_before_what_is_next():
    said = texts(proof(some())[0])
    order = [
        "What holds",
        "The baseline lies level",
        "Next",
        "twice as wide",
        "two thirds as wide",
        "blotchy",
        "1 more",
    ]
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    assert "stops a little short" not in said


def test_a_drawing_without_a_fault_is_not_told_of_any():
    study = font_study(changed_u={})
    said = texts(proof(shown(study, some_findings(study)[:2]))[0])
    assert "Nothing to put right" in said


def test_doubts_of_the_reading_stand_apart_from_the_drawing():
    doubt = Finding("reading", (), None, None, "", Severity.LOOK_AGAIN, "The lower corner is hidden.")
    study = replace(font_study(), remarks=(doubt,))
    sorted_points = points(study, (*some_findings(study), doubt))
    assert sorted_points.doubts == (doubt,)
    assert doubt not in [p.finding for p in sorted_points.todo]
    assert [p.number for p in sorted_points.todo] == [1, 2, 3, 4]


def test_a_long_critique_goes_on_over_further_pages_and_loses_nothing():
    study = font_study()
    many = tuple(
        Finding(
            "seat",
            (1 + i % 6,),
            0.1,
            0.05,
            "x-heights",
            Severity.NOTE,
            f"Statement {i} on the drawing. " + "More of it. " * 9,
        )
        for i in range(60)
    )
    pages = proof(shown(study, many))
    said = " ".join(texts(p) for p in pages)
    assert all(f"Statement {i} on" in said for i in range(60))


def test_the_three_next_things_are_led_to_their_places_and_back():
    page = proof(some())[0]
    groups = [i for i in walk(page.items) if isinstance(i, Group)]
    ids = {g.id for g in groups}
    links = {g.id: g.link for g in groups if g.link}
    assert len(links) == 6
    assert all(link in ids for link in links.values())
    assert all(links[link] == name for name, link in links.items())


def test_a_word_too_wide_for_the_page_says_its_scale():
    assert "per cent of true size" in texts(proof(some("interwoven hinnels", x_height_mm=30.0))[0])
    assert "At true size" in texts(proof(some())[0])
    study = font_study()
    unknown = replace(study, scale=replace(study.scale, source="assumed"))
    assert "assumed" in texts(proof(shown(unknown, ()))[0])


def test_the_page_can_be_used_by_keyboard_and_screen_reader():
    tree = lxml_html.fromstring(proof_html(some()))
    assert tree.get("lang") == "en"
    assert next(h.tag for h in tree.iter("h1", "h2")) == "h1"
    assert len(list(tree.iter("h1"))) == 1
    boxes = list(tree.iter("input"))
    assert len(boxes) == len(LAYERS)
    assert all(b.getparent().tag == "label" and b.getparent().text_content().strip() for b in boxes)
    assert all(b.text_content().strip() for b in tree.iter("button"))
    for drawing in tree.iter("svg"):
        assert drawing.get("aria-label")
    (stage,) = [s for s in tree.iter("svg") if s.get("id") == "stage"]
    assert stage.get("tabindex") == "0"
    layers = {e.get("id") for e in stage.iter() if isinstance(e.tag, str)}
    assert all(f"drawn-{name}" in layers for name, _, _ in LAYERS)


def test_the_page_gives_the_same_bytes_again():
    assert proof_html(some()) == proof_html(some())
