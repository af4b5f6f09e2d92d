"""The sheets' own type: every character is drawn or told by its number, never an empty box."""

from __future__ import annotations

import io
import unicodedata

import pypdf
import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from vectorize.sheets.drawing import Drawing, Label
from vectorize.sheets.type import fitted_size, in_print, is_whole, type_file, width_mm
from vectorize.write.pdf import pdf_bytes
from vectorize.write.svg import svg_bytes

WORDS = ("jäljöré", "Žluťoučký", "Ελληνικά", "Ђурђевдан", "Nguyễn", "ſtraße")
with TTFont(type_file(bold=True)) as bold_type:
    KNOWN = set(bold_type.getBestCmap())


@pytest.mark.parametrize("bold", [False, True])
def test_the_alphabets_of_europe_are_there(bold):
    with TTFont(type_file(bold=bold)) as font:
        known = set(font.getBestCmap())
    assert {ord(c) for c in "".join(WORDS)} <= known


@pytest.mark.parametrize("word", WORDS)
def test_letters_with_accents_are_joined_however_a_computer_stores_them(word):
    # Unicode Standard Annex 15: some file systems store names decomposed.
    assert in_print(unicodedata.normalize("NFD", word)) == word
    assert width_mm(unicodedata.normalize("NFD", word), 3.0) == pytest.approx(width_mm(word, 3.0))


def test_what_the_type_lacks_is_told_by_its_number():
    assert in_print("試しa\U0001f58b") == "U+8A66 U+3057aU+1F58B"
    assert in_print("a\u2066\udc80") == "aU+2066 U+DC80"
    assert not is_whole("試")
    assert is_whole("jäljöré")


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.text(max_size=12))
def test_whatever_comes_in_can_be_printed(text):
    assert all(ord(c) in KNOWN for c in in_print(text))


def test_print_holds_no_empty_box():
    odd = "試し \U0001f58b עברית.jpg"
    page = Drawing(200.0, 50.0, odd, (Label(odd, (10.0, 20.0)), Label(odd, (10.0, 30.0), bold=True)))
    reader = pypdf.PdfReader(io.BytesIO(pdf_bytes((page,))))
    said = reader.pages[0].extract_text()
    assert said.count("U+8A66") == 2
    assert ".jpg" in said
    assert reader.metadata.title.startswith("U+8A66")


def test_on_screen_a_reader_sets_what_the_type_lacks_in_its_own_width():
    page = Drawing(200.0, 50.0, "page", (Label("試し", (10.0, 20.0)), Label("on", (10.0, 30.0))))
    first, second = etree.fromstring(svg_bytes(page)).iter("{http://www.w3.org/2000/svg}text")
    assert (first.text, first.get("textLength")) == ("試し", None)
    assert float(second.get("textLength")) == pytest.approx(width_mm("on", 3.2), abs=1e-4)


def test_a_line_too_long_is_set_smaller():
    assert fitted_size("on", 6.0, 100.0) == 6.0
    size = fitted_size("illuminatorial" * 9, 6.0, 100.0)
    assert width_mm("illuminatorial" * 9, size) == pytest.approx(100.0)
