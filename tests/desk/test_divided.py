"""Letters joined, cut, dropped and named by hand: what ink there was stays, and is told apart as the hand says."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.brief import Brief
from vectorize.corrections import Corrections, Division, Named
from vectorize.geometry import Affine, Homography, frozen
from vectorize.reading.divided import set_right
from vectorize.reading.records import Ink, LetterInk, Letters, letter_box_px

# Strip px to picture px: the picture is the strip shrunk to a half and moved.
TO_PICTURE = Homography.from_affine(Affine.scale(0.5).then(Affine.shift(30.0, 40.0)))


def picture(x: float, y: float) -> tuple[float, float]:
    return x / 2 + 30.0, y / 2 + 40.0


def letter(index: int, left: int, width: int = 30, top: int = 20, height: int = 40) -> LetterInk:
    coverage = np.ones((height, width), np.float32)
    return LetterInk(index, None, 0, frozen(coverage), frozen(coverage.copy()), left, top)


@pytest.fixture
def three():
    """Three blocks side by side, and the strip's ink."""
    letters = Letters((letter(1, 10), letter(2, 60), letter(3, 110)))
    whole = np.zeros((80, 160), np.float32)
    for x in letters.letters:
        whole[x.top_px : x.top_px + 40, x.left_px : x.left_px + 30] = 1.0
    return letters, Ink(frozen(whole), frozen(whole.copy()), 0.8)


def ink_of(letters: Letters) -> float:
    return float(sum(x.coverage.sum() for x in letters.letters))


def divided(three, *divisions, word=None, names=()):
    letters, ink = three
    brief = Brief(word=word, corrections=Corrections(divisions=tuple(divisions), names=tuple(names)))
    return set_right(letters, ink, TO_PICTURE, brief)


def test_nothing_asked_nothing_changed(three):
    assert divided(three) is three[0]


def test_a_stroke_through_two_makes_them_one(three):
    found = divided(three, Division("join", picture(25, 40), picture(75, 40)))
    boxes = [letter_box_px(x) for x in found.letters]
    assert [(b.x0, b.x1) for b in boxes] == [(10, 90), (110, 140)]
    assert ink_of(found) == ink_of(three[0])
    assert [x.index for x in found.letters] == [1, 2]


def test_a_cut_parts_along_the_line_and_loses_no_ink(three):
    found = divided(three, Division("cut", picture(70, 0), picture(80, 80)))
    assert len(found.letters) == 4
    assert ink_of(found) == pytest.approx(ink_of(three[0]))
    left, right = (found.letters[i] for i in (1, 2))
    # Half of the block on either side of a line through its middle.
    assert float(left.coverage.sum()) == pytest.approx(float(right.coverage.sum()), rel=0.01)
    assert letter_box_px(left).x0 == 60
    assert letter_box_px(right).x1 == 90


def test_steps_are_taken_in_order(three):
    join = Division("join", picture(25, 40), picture(75, 40))
    cut = Division("cut", picture(75, 0), picture(75, 80))
    assert [letter_box_px(x).x0 for x in divided(three, join, cut).letters] == [10, 75, 110]
    assert [letter_box_px(x).x0 for x in divided(three, cut, join).letters] == [10, 110]


def test_a_cut_between_two_blots_parts_them_again(three):
    join = Division("join", picture(25, 40), picture(75, 40))
    cut = Division("cut", picture(50, 10), picture(50, 70))
    assert [letter_box_px(x).x0 for x in divided(three, join, cut).letters] == [10, 60, 110]


def test_a_letter_is_dropped_but_never_the_last(three):
    drop = [Division("drop", picture(x, 40), picture(x, 40)) for x in (25, 75, 125)]
    assert [letter_box_px(x).x0 for x in divided(three, drop[1]).letters] == [10, 110]
    found = divided(three, *drop)
    assert len(found.letters) == 1
    assert "would leave no letter" in found.remarks[-1].text


def test_a_smudge_is_erased_from_its_letter():
    coverage = np.zeros((40, 60), np.float32)
    coverage[:, :30] = 1.0
    coverage[5:10, 45:50] = 1.0
    coverage[4, 45:50] = 0.3
    letters = Letters((LetterInk(1, None, 0, frozen(coverage), frozen(coverage.copy()), 10, 20),))
    whole = np.zeros((80, 160), np.float32)
    ink = Ink(frozen(whole), frozen(whole.copy()), 0.8)
    corrections = Corrections(divisions=(Division("erase", picture(60, 26), picture(60, 26)),))
    found = set_right(letters, ink, TO_PICTURE, Brief(corrections=corrections))
    assert ink_of(found) == 40 * 30


def test_a_correction_that_meets_nothing_is_told(three):
    found = divided(three, Division("cut", picture(50, 0), picture(50, 80)))
    assert len(found.letters) == 3
    assert found.remarks[-1].check == "reading"


def test_the_word_names_the_letters_once_they_are_as_many(three):
    join = Division("join", picture(25, 40), picture(75, 40))
    assert [x.name for x in divided(three, join, word="on").letters] == ["o", "n"]
    more = divided(three, join, word="one")
    assert [x.name for x in more.letters] == [None, None]
    assert "has 3 letters; with the corrections by hand there are 2" in more.remarks[-1].text
    assert "has 1 letter; with the corrections by hand there are 2" in divided(three, join, word="o").remarks[-1].text


def test_a_name_given_by_hand_holds(three):
    found = divided(three, names=[Named(picture(77, 42), "n")])
    assert [x.name for x in found.letters] == [None, "n", None]
