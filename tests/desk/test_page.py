"""The values that the page is given: plain JSON, and the same shapes and places as the study's."""

from __future__ import annotations

import json

import numpy as np
import pytest
from svgpathtools import parse_path

from tests.desk.typeset_study import some_findings, typeset_study
from vectorize.brief import Brief
from vectorize.corrections import Comment, Corrections
from vectorize.desk.page import page_values, path_data
from vectorize.findings import Finding, Severity


@pytest.fixture(scope="module")
def both():
    brief = Brief(word="on", corrections=Corrections(comments=(Comment((5.0, 6.0), "so"),)))
    study, to_picture = typeset_study("on", brief)
    whole = Finding("fill", (1, 2), None, None, "", Severity.NOTE, "Of both letters.")
    comment = Finding("comment", (), None, None, "", Severity.NOTE, "so", (0.0, 0.0, 1.0, 1.0))
    findings = (*some_findings(study), whole, comment)
    return study, to_picture, page_values(study, findings, to_picture)


def test_it_is_plain_json(both):
    values = both[2]
    assert json.loads(json.dumps(values, allow_nan=False)) == json.loads(json.dumps(values))


def test_outlines_are_the_letters(both):
    """svgpathtools, an independent reader of SVG paths, finds the same box."""
    for letter in both[0].letters:
        path = parse_path(path_data(letter.outline.contours))
        x0, x1, y0, y1 = path.bbox()
        box = letter.outline.box_u
        np.testing.assert_allclose((x0, y0, x1, y1), (box.x0, box.y0, box.x1, box.y1), atol=0.02)


def test_the_way_back_into_the_picture(both):
    study, to_picture, values = both
    h = np.array(values["units_to_picture"]["flat"]).reshape(3, 3)
    for letter, value in zip(study.letters, values["letters"], strict=True):
        box = letter.outline.box_u
        expected = to_picture.apply(study.sketch.to_units.inverse().apply(np.array([box.centre])))[0]
        found = h @ (*box.centre, 1.0)
        np.testing.assert_allclose(found[:2] / found[2], expected)
        np.testing.assert_allclose(value["at"], expected)


def test_a_finding_of_letters_has_their_place(both):
    study, _, values = both
    last = values["findings"][-1]
    first, second = (x.outline.box_u for x in study.letters)
    assert last["place"] == pytest.approx([first.x0, min(first.y0, second.y0), second.x1, max(first.y1, second.y1)])


def test_comments_are_told_once(both):
    values = both[2]
    assert all(f["text"] != "so" for f in values["findings"])
    assert [c["text"] for c in values["corrections"]["comments"]] == ["so"]
