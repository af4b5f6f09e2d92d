"""Corrections keep through their file, and a damaged file is told, never obeyed."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vectorize.brief import Brief
from vectorize.corrections import (
    DIVISIONS,
    GUIDE_NAMES,
    NO_CORRECTIONS,
    Comment,
    Corrections,
    Division,
    GivenGuide,
    Named,
    Placed,
    from_bytes,
    from_json,
    to_bytes,
    to_json,
)
from vectorize.errors import BriefError

number = st.floats(-1e5, 1e5, allow_nan=False)
point = st.tuples(number, number)
words = st.text(st.characters(categories=("L", "N", "P")), min_size=1, max_size=8)


@st.composite
def guides(draw):
    start, end = sorted((draw(point), draw(point)))
    if start[0] == end[0]:
        end = (start[0] + 1.0, end[1])
    return GivenGuide(draw(st.sampled_from(GUIDE_NAMES)), start, end)


@st.composite
def divisions(draw):
    start = draw(point)
    return Division(draw(st.sampled_from(DIVISIONS)), start, (start[0] + 1.0, start[1]))


corrections = st.builds(
    Corrections,
    guides=st.lists(guides(), max_size=3).map(tuple),
    divisions=st.lists(divisions(), max_size=3).map(tuple),
    names=st.lists(st.builds(Named, point, words), max_size=3).map(tuple),
    x_height_mm=st.none() | st.floats(0.5, 2000),
    placed=st.lists(st.builds(Placed, point, number, st.booleans()), max_size=3).map(tuple),
    comments=st.lists(st.builds(Comment, point, words), max_size=3).map(tuple),
    no_guides=st.lists(st.sampled_from(GUIDE_NAMES[1:]), max_size=2).map(tuple),
)


@given(corrections)
def test_what_is_kept_is_what_was_given(made):
    assert from_bytes(to_bytes(made, "ab"), "ab") == made
    assert from_json(json.loads(json.dumps(to_json(made)))) == made


@given(corrections)
def test_another_picture_gets_none_of_them(made):
    assert from_bytes(to_bytes(made, "ab"), "cd") is None


def test_nothing_is_nothing():
    assert from_json({}) == NO_CORRECTIONS


@pytest.mark.parametrize(
    "wrong",
    [
        [],
        None,
        {"guides": {}},
        {"guides": [{"name": "baseline", "start": [0, 0], "end": [0, 5]}]},
        {"guides": [{"name": "baseline", "start": [0, 0, 0], "end": [1, 5]}]},
        {"x_height_mm": True},
        {"x_height_mm": "1"},
        {"x_height_mm": 0},
        {"x_height_mm": float("nan")},
        {"x_height_mm": 10**400},
        {"divisions": [{"kind": "melt", "start": [0, 0], "end": [1, 1]}]},
        {"divisions": [{"kind": "cut", "start": [0, 0], "end": [0, 0]}]},
        {"names": [{"at": [0, 0], "name": "  "}]},
        {"names": [{"at": [0, 0], "name": "a\x00"}]},
        {"names": [{"at": [0, 0], "name": "\ud800"}]},
        {"placed": [{"at": [0, 0], "move_u": 1, "by_hand": 1}]},
        {"comments": [{"at": [0, 0], "text": "x" * 3000}]},
        {"no_guides": ["baseline"]},
        {"surprise": 1},
    ],
)
def test_what_makes_no_sense_is_told(wrong):
    with pytest.raises(BriefError, match="This correction cannot be followed"):
        from_json(wrong)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff",
        b"[]",
        b"[" * 100_000,
        b'{"picture_sha256": "ab", "schema_version": 99}',
        b'{"picture_sha256": "ab", "schema_version": 1, "guides": 5}',
    ],
)
def test_a_damaged_file_is_told(data):
    with pytest.raises(BriefError, match="Take the file away"):
        from_bytes(data, "ab")


def test_an_accent_in_a_character_of_its_own_is_part_of_its_letter():
    """Unicode Standard Annex 15: an e with its accent in two characters and in one are the same text."""
    (named,) = from_json({"names": [{"at": [0, 0], "name": "e\u0301"}]}).names
    assert named.name == "\u00e9"
    assert Brief(word="e\u0301t").names == ("\u00e9", "t")


def test_what_is_no_character_is_no_word():
    with pytest.raises(BriefError, match="no character"):
        Brief(word="a\x01")
