"""Letters cut from ink: order, marks, touching and broken letters, words, and a word that does not fit what is seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.reading.drawn_strip import PLAIN, DrawnStrip, draw_strip, outline_error
from tests.specimens.recipe import Fill, Hand
from tests.specimens.typeset import font_path, outline_word
from vectorize.brief import Brief
from vectorize.curves import flatten, signed_area
from vectorize.errors import PictureError
from vectorize.findings import Severity
from vectorize.geometry import frozen
from vectorize.reading.ink import ink_of
from vectorize.reading.letters import letters_of
from vectorize.reading.records import Ink, Letters, letter_box_px
from vectorize.reading.words import words_by_gaps, words_told
from vectorize.trade.letter_shapes import WIDTHS, shape_of


def read(strip: DrawnStrip, word: str | None) -> Letters:
    ink = ink_of(strip.absorbance, strip.lines, strip.x_height_px)
    return letters_of(ink, Brief(word=word), strip.baseline_px, strip.x_height_px)


def boxes_match(letters: Letters, strip: DrawnStrip, within: float = 0.06) -> bool:
    if len(letters.letters) != len(strip.letters):
        return False
    for letter, rings in zip(letters.letters, strip.letters, strict=True):
        points = np.concatenate(rings)
        box = letter_box_px(letter)
        seen = np.array([box.x0, box.y0, box.x1, box.y1])
        true = np.concatenate((points.min(0), points.max(0)))
        if np.abs(seen - true).max() > within * strip.x_height_px:
            return False
    return True


@pytest.mark.parametrize("word", ["jülich", "fisk", "Añejo", "WAVELET", "mill", "lamptog"])
@pytest.mark.parametrize("told", ["told", ""])
@pytest.mark.parametrize("family", ["source-sans-3", "lora"])
def test_every_letter_is_found_with_its_marks(word: str, told: str, family: str) -> None:
    strip = draw_strip(PLAIN, word=word, family=family, x_height_mm=14.0, hand=Hand(wobble=0.004))
    letters = read(strip, word if told else None)
    assert boxes_match(letters, strip)
    assert tuple(x.name for x in letters.letters) == (tuple(word) if told else (None,) * len(word))
    assert [x.index for x in letters.letters] == list(range(1, len(word) + 1))


@pytest.mark.parametrize(("word", "at"), [("noor", 0), ("boldan", 3), ("Sdocep", 2), ("hibon", 2)])
def test_touching_letters_are_parted_with_the_word_and_said(word: str, at: int) -> None:
    apart = draw_strip(PLAIN, word=word, x_height_mm=16.0)
    gap = outline_gap(apart, at)
    strip = draw_strip(PLAIN, word=word, x_height_mm=16.0, hand=Hand(wobble=0.006, gaps={at: -gap - 0.03}))
    letters = read(strip, word)
    assert boxes_match(letters, strip, within=0.1)
    errors = [outline_error(x, r, strip.x_height_px) for x, r in zip(letters.letters, strip.letters, strict=True)]
    assert max(errors) < 16
    touching = [r for r in letters.remarks if r.letters == (at + 1, at + 2)]
    assert touching[0].severity == Severity.LOOK_AGAIN
    assert "touch" in touching[0].text


def test_a_hairline_gap_still_parts_letters_without_the_word() -> None:
    apart = draw_strip(PLAIN, word="boos", x_height_mm=20.0)
    strip = draw_strip(
        PLAIN, word="boos", x_height_mm=20.0, hand=Hand(wobble=0.0, gaps={1: -outline_gap(apart, 1) + 0.02})
    )
    assert boxes_match(read(strip, None), strip, within=0.08)


def test_a_crack_through_a_letter_is_closed() -> None:
    strip = draw_strip(PLAIN)
    row = strip.baseline_px - 0.5 * strip.x_height_px
    scratched = strip.absorbance.copy()
    x = np.arange(scratched.shape[1])
    for dy in np.arange(-2.5, 2.6, 0.5):
        scratched[np.round(row + dy + 0.05 * (x - x.mean())).astype(int), x] = 0.0
    strip = replace(strip, absorbance=scratched)
    letters = read(strip, "gandrel")
    assert boxes_match(letters, strip)
    errors = [outline_error(x, r, strip.x_height_px) for x, r in zip(letters.letters, strip.letters, strict=True)]
    assert np.mean(errors) < 6


@pytest.mark.parametrize("wrong", ["gandrelzz", "gan", "willtop", "hhhhhhh", "MAMMOTH"])
def test_a_wrong_word_is_never_obeyed_in_silence(wrong: str) -> None:
    letters = read(draw_strip(PLAIN), wrong)
    doubts = [r for r in letters.remarks if r.severity == Severity.LOOK_AGAIN and r.check == "reading"]
    assert doubts
    if len(wrong) != len("gandrel"):
        assert all(x.name is None for x in letters.letters)
        assert len(letters.letters) == len("gandrel")


@pytest.mark.parametrize(("wrong", "at"), [("gandral", 6), ("gamdrel", 3), ("handrel", 1)])
def test_a_word_with_one_wrong_letter_is_noticed(wrong: str, at: int) -> None:
    letters = read(draw_strip(PLAIN), wrong)
    doubts = [r for r in letters.remarks if "Check that the word" in r.text]
    assert [r.letters for r in doubts] == [(at,)]
    assert f"letter {at} does not look like {wrong[at - 1]}" in doubts[0].text


def test_a_doubted_word_is_told_as_it_was_given() -> None:
    (doubt,) = (r for r in read(draw_strip(PLAIN, word="hav mun"), "hav gun").remarks if "Check that" in r.text)
    assert "The word 'hav gun' was followed" in doubt.text


def test_a_word_of_one_letter_is_counted_as_one() -> None:
    (told,) = (r for r in read(draw_strip(PLAIN), "g").remarks if "no letter was named" in r.text)
    assert "has 1 letter; 7 were seen" in told.text
    (told,) = (r for r in read(draw_strip(PLAIN, word="o"), "on").remarks if "no letter was named" in r.text)
    assert "has 2 letters; 1 was seen" in told.text


@pytest.mark.parametrize(("word", "at"), [("sonbum", 1), ("RAVHET", 3)])
def test_touching_letters_are_parted_without_the_word(word: str, at: int) -> None:
    apart = draw_strip(PLAIN, word=word, x_height_mm=14.0)
    gap = outline_gap(apart, at)
    strip = draw_strip(PLAIN, word=word, x_height_mm=14.0, hand=Hand(wobble=0.006, gaps={at: -gap - 0.02}))
    letters = read(strip, None)
    assert boxes_match(letters, strip, within=0.1)
    assert [r.letters for r in letters.remarks if "touch" in r.text] == [(at + 1, at + 2)]


def test_two_stems_that_ran_together_are_parted_along_their_edge() -> None:
    apart = draw_strip(PLAIN, word="nodle", family="barlow", weight=500, x_height_mm=16.0)
    gaps = {2: -outline_gap(apart, 2) - 0.02}
    strip = draw_strip(PLAIN, word="nodle", family="barlow", weight=500, x_height_mm=16.0, hand=Hand(0.004, gaps=gaps))
    letters = read(strip, "nodle").letters
    errors = [outline_error(x, r, strip.x_height_px) for x, r in zip(letters, strip.letters, strict=True)]
    assert max(errors[2:4]) < 16


def test_word_spaces_come_from_the_gaps_or_from_the_word() -> None:
    strip = draw_strip(PLAIN, word="hav mun", x_height_mm=14.0)
    for word in ("hav mun", None):
        assert [x.word for x in read(strip, word).letters] == [0, 0, 0, 1, 1, 1]


def test_handwriting_beside_the_word_is_left_out_and_said() -> None:
    strip = draw_strip(PLAIN)
    noted = strip.absorbance.copy()
    t = np.linspace(0, 6 * np.pi, 4000)
    x = 12 + t * 2.2 + 4 * np.cos(t * 1.3)
    y = strip.baseline_px - 40 + 14 * np.sin(t)
    for dx in (0, 1, 2):
        noted[np.round(y).astype(int), np.clip(np.round(x).astype(int) + dx, 0, noted.shape[1] - 1)] = 0.6
    letters = read(replace(strip, absorbance=noted), "gandrel")
    assert boxes_match(letters, strip)
    assert any("left out" in r.text for r in letters.remarks)


def test_marks_alone_are_no_letters() -> None:
    coverage = np.zeros((200, 400), np.float32)
    coverage[100:104, 50:54] = 1.0
    ink = Ink(frozen(coverage), frozen(coverage.copy()), 1.0)
    with pytest.raises(PictureError, match="No letters were seen"):
        letters_of(ink, Brief(), 150.0, 100.0)


def test_letters_do_not_share_ink() -> None:
    strip = draw_strip(PLAIN, fill=Fill(blotches=0.8))
    ink = ink_of(strip.absorbance, strip.lines, strip.x_height_px)
    total = np.zeros_like(ink.coverage)
    for letter in letters_of(ink, Brief(), strip.baseline_px, strip.x_height_px).letters:
        h, w = letter.coverage.shape
        total[letter.top_px : letter.top_px + h, letter.left_px : letter.left_px + w] += letter.coverage
    assert float((total - ink.coverage).max()) < 1e-6


@pytest.mark.parametrize(
    ("word", "numbers"),
    [("ab", (0, 0)), (" a  bc d ", (0, 1, 1, 2)), ("Ü\u00a0n\tt", (0, 1, 2)), ("", ()), (None, ())],
)
def test_word_numbers_follow_the_spaces(word: str | None, numbers: tuple[int, ...]) -> None:
    assert words_told(word) == numbers


@given(st.lists(st.floats(0.05, 0.25), min_size=2, max_size=9), st.integers(0, 8))
@settings(max_examples=60, derandomize=True, deadline=None)
def test_one_wide_gap_makes_two_words(gaps: list[float], at: int) -> None:
    at %= len(gaps)
    gaps = [0.9 if i == at else g for i, g in enumerate(gaps)]
    left = np.concatenate(([0.0], np.cumsum(np.array(gaps) + 1.0)))
    boxes = [(100 * x, 100 * (x + 1.0)) for x in left]
    assert words_by_gaps(boxes, 100.0) == tuple(int(i > at) for i in range(len(boxes)))


@pytest.mark.parametrize("family", ["source-sans-3", "lora", "inter", "bitter"])
def test_the_table_of_shapes_fits_open_fonts(family: str) -> None:
    """Widths within 2.5 spreads, counters as drawn, for small letters of fonts set by HarfBuzz."""
    off = []
    for name in "abcdeghmnopqsuvwxyz":
        outline = outline_word(font_path(family), name, 500)[0]
        shape = shape_of(name)
        width = np.log(outline.box_u.width / 1000.0 / shape.width_ratio)
        holes = sum(signed_area(c) < 0 for c in outline.contours)
        off.append(abs(width) < 2.5 * max(shape.spread, 0.1) and (holes in shape.counters or len(outline.contours) > 3))
        assert flatten(outline.contours[0], 1.0).size
    assert np.mean(off) > 0.85


def test_accents_and_dots_count_as_marks() -> None:
    """By Unicode's canonical decomposition (Unicode Standard Annex 15)."""
    marks = {"i": 1, "j": 1, "ü": 2, "é": 1, "å": 1, "ñ": 1, "ï": 2, "ç": 0, "ą": 0, "o": 0, "I": 0}
    assert {c: shape_of(c).marks for c in marks} == marks
    assert shape_of("é").width_ratio == WIDTHS["e"][0]


def outline_gap(strip: DrawnStrip, at: int) -> float:
    """Gap between the boxes of letters `at` and the next, in x-heights."""
    left = max(r[:, 0].max() for r in strip.letters[at])
    right = min(r[:, 0].min() for r in strip.letters[at + 1])
    return float(right - left) / strip.x_height_px
