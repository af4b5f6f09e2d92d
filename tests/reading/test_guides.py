"""Guidelines named and inferred: letters are set from open fonts or made of plain shapes with known feet and heads."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.typing import NDArray
from scipy.signal import find_peaks

from vectorize.brief import Brief
from vectorize.geometry import Affine, Homography, frozen
from vectorize.reading.doubts import doubts, may_be_capitals
from vectorize.reading.feet import body_of, feet_of, heads_of, prominent_peaks
from vectorize.reading.guides import settle_guides, y_at
from vectorize.reading.levels import first_x_height, settle_levels
from vectorize.reading.naming import name_lines
from vectorize.reading.records import LetterInk, Letters, LineCourse, Strip, View

X_HEIGHT = 200.0
BASELINE = 320.0
# Claflin, Standard Lettering, 2nd ed. 1922, p. 23: curves pass the lines by an eighth of a unit, small letters are six.
CLAFLIN = X_HEIGHT / 48.0


def shade(signed_distance: NDArray[np.float64]) -> NDArray[np.float32]:
    """Coverage from a distance in px, positive inside."""
    return np.clip(signed_distance + 0.5, 0.0, 1.0).astype(np.float32)


def letter(kind: str, left: int, index: int, slope: float = 0.0) -> LetterInk:
    """A stem of the x-height ("i"), a taller one ("l") or a ring with overshoot ("o") on a baseline of that slope."""
    width = 170 if kind == "o" else 40
    x, y = np.meshgrid(np.arange(width + 20) + 0.5, np.arange(420) + 0.5)
    foot = BASELINE + slope * (left + width / 2.0)
    if kind == "o":
        radius = X_HEIGHT / 2.0 + CLAFLIN
        across = np.hypot((x - width / 2.0 - 10.0) / 0.8, y - (foot - X_HEIGHT / 2.0))
        ink = shade(np.minimum(radius - across, across - 0.7 * radius))
    else:
        head = foot - X_HEIGHT * (1.45 if kind == "l" else 1.0)
        ink = shade(np.minimum.reduce([y - head, foot - y, x - 10.0, width + 10.0 - x]))
    return LetterInk(index, None, 0, ink, ink, left, 0)


def word(kinds: str, slope: float = 0.0) -> tuple[LetterInk, ...]:
    return tuple(letter(k, 30 + 210 * i, i + 1, slope) for i, k in enumerate(kinds))


def test_flat_and_round_feet_are_told_apart() -> None:
    (flat,) = feet_of(letter("i", 0, 1), X_HEIGHT)
    (round_,) = feet_of(letter("o", 0, 1), X_HEIGHT)
    assert flat.flat
    assert not round_.flat
    assert flat.y == pytest.approx(BASELINE, abs=0.1)
    assert round_.y == pytest.approx(BASELINE + CLAFLIN, abs=0.4)
    (head,) = heads_of(letter("l", 0, 1), X_HEIGHT)
    assert head.y == pytest.approx(BASELINE - 1.45 * X_HEIGHT, abs=0.1)


def test_dots_are_no_part_of_a_letters_body_and_a_bridge_of_one_corner_is() -> None:
    ink = np.zeros((40, 20), np.float32)
    ink[20:40, 5:10] = ink[10:20, 10:15] = ink[0:4, 5:10] = 1.0
    ink[39, 5:10] = 0.4
    body = body_of(ink)
    assert (body[10:] == ink[10:]).all()
    assert (body[:10] == 0.0).all()
    assert (body_of(ink[10:]) == ink[10:]).all()


@pytest.mark.parametrize("kinds", ["oioli", "ooioo", "iliil", "oooo"])
@pytest.mark.parametrize("slope", [0.0, 0.01])
def test_lines_are_inferred_to_half_a_per_cent(kinds: str, slope: float) -> None:
    """Baseline and mean line within .5 per cent of the x-height with Claflin's overshoot (p. 23)."""
    letters = word(kinds, slope)
    feet = tuple(e for x in letters for e in feet_of(x, X_HEIGHT))
    heads = tuple(e for x in letters for e in heads_of(x, X_HEIGHT))
    middle = 500.0
    start = BASELINE + slope * middle + 4.0
    levels = settle_levels(feet, heads, (slope + 0.002, start), middle, 1.04 * X_HEIGHT)
    assert levels.height == pytest.approx(BASELINE + slope * middle, abs=0.005 * X_HEIGHT)
    assert levels.x_height_px == pytest.approx(X_HEIGHT, abs=0.005 * X_HEIGHT)
    assert levels.slope == pytest.approx(slope, abs=0.001)


def test_small_letters_are_told_from_tall_ones() -> None:
    letters = word("lilil")
    heads = tuple(e for x in letters for e in heads_of(x, X_HEIGHT))
    assert first_x_height(heads, 0.0, BASELINE, 500.0) == pytest.approx(X_HEIGHT, abs=1.0)


def test_one_stray_letter_does_not_turn_the_word() -> None:
    """Outliers count little: Huber, Annals of Mathematical Statistics 35, 1964."""
    letters = (*word("iiiii"), LetterInk(6, None, 0, letter("i", 0, 1).coverage, letter("i", 0, 1).darkness, 1080, 12))
    feet = tuple(e for x in letters for e in feet_of(x, X_HEIGHT))
    levels = settle_levels(feet, (), (0.0, BASELINE), 560.0, X_HEIGHT)
    assert levels.height == pytest.approx(BASELINE, abs=0.015 * X_HEIGHT)


def ends_of(kinds: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Heads and feet per column of plain letters: i small, l tall, p hanging below."""
    rise = {"i": 1.0, "l": 1.45, "p": 1.0}
    drop = {"i": 0.0, "l": 0.0, "p": 0.45}
    heads = np.repeat([BASELINE - X_HEIGHT * rise[k] for k in kinds], 40)
    feet = np.repeat([BASELINE + X_HEIGHT * drop[k] for k in kinds], 40)
    return heads, feet


def test_five_lines_get_their_names() -> None:
    heights = BASELINE - X_HEIGHT * np.array([-0.45, 0.0, 1.0, 1.38, 1.6])
    names = name_lines(heights, *ends_of("iilip"))
    assert names.lines == (1, 2, 3, 4, 0)
    assert names.x_height_px == pytest.approx(X_HEIGHT)


@pytest.mark.parametrize(("a_capital", "names"), [(True, (1, 2, 3, None, 0)), (False, (1, 2, None, 3, 0))])
def test_four_lines_are_for_the_letters_of_the_word(*, a_capital: bool, names: tuple[int | None, ...]) -> None:
    """Common practice, no source: with a line for tails, the line above the mean line is for heads, unless a capital is
    there to reach it."""
    heights = BASELINE - X_HEIGHT * np.array([-0.45, 0.0, 1.0, 1.45])
    assert name_lines(heights, *ends_of("iilip"), a_capital=a_capital).lines == names
    assert name_lines(heights, *ends_of("iilip")).cap_line == 3


def test_three_lines_in_any_order() -> None:
    heights = BASELINE - X_HEIGHT * np.array([1.4, 0.0, 1.0])
    assert name_lines(heights, *ends_of("iilip")).lines == (1, 2, 0, None, None)


def test_two_lines_are_baseline_and_mean_line() -> None:
    heights = BASELINE - X_HEIGHT * np.array([0.0, 1.0])
    names = name_lines(heights, *ends_of("iilip"))
    assert names.lines == (0, 1, None, None, None)
    assert names.x_height_source == "mean-line"


def test_no_line_leaves_the_letters() -> None:
    names = name_lines(np.empty(0), *ends_of("iilii"))
    assert names.lines == (None,) * 5
    assert names.x_height_source == "letters"


@pytest.mark.parametrize("heights", [[], [0.0], [0.0, 1.0]])
def test_the_arms_of_a_t_are_no_feet(heights: list[float]) -> None:
    """Most columns of a word of Ts end high, at the lower edge of an arm: Roman capitals, common practice."""
    arm, stem = [BASELINE - 0.85 * X_HEIGHT], [BASELINE]
    feet = np.array((arm * 80 + stem * 20) * 3)
    heads = np.full(len(feet), BASELINE - X_HEIGHT)
    lines = BASELINE - X_HEIGHT + X_HEIGHT * np.array(heights)
    names = name_lines(lines, heads, feet, capitals=True)
    assert names.x_height_px == pytest.approx(0.7 * X_HEIGHT)
    assert names.baseline == (1 if len(heights) == 2 else None)


@given(
    arrays(float, st.integers(1, 40), elements=st.floats(0, 200, width=16)),
    st.lists(st.floats(-100, 500), max_size=6),
    st.data(),
)
def test_every_row_has_an_x_height(heads, lines, data):
    """Whatever the ink and the lines: where ink is, heads stand above feet."""
    feet = heads + data.draw(arrays(float, len(heads), elements=st.floats(1, 160, width=16)))
    capitals = data.draw(st.sampled_from([None, True, False]))
    names = name_lines(np.array(lines), heads, feet, capitals=capitals)
    assert names.x_height_px > 0
    named = [i for i in names.lines if i is not None]
    assert len(set(named)) == len(named)


def test_capitals_alone_have_seven_tenths_of_their_height() -> None:
    """ISO 3098-0: small letters are c = 0.7 h."""
    heights = BASELINE - X_HEIGHT * np.array([0.0, 1.0])
    names = name_lines(heights, *ends_of("iiii"), capitals=True)
    assert names.x_height_source == "cap-height"
    assert names.x_height_px == pytest.approx(0.7 * X_HEIGHT)
    assert names.mean_line is None


def test_a_line_far_from_all_feet_is_no_baseline() -> None:
    assert name_lines(np.array([BASELINE - 0.5 * X_HEIGHT]), *ends_of("iilii")).baseline is None


@settings(max_examples=400)
@example(np.array([0.0, 3.0, 2.5, 3.0, 0.0]), 1.0)
@given(arrays(float, st.integers(5, 60), elements=st.floats(-20, 20, width=16)), st.floats(0.5, 8))
def test_peaks_are_those_of_a_reference_library(values, prominence):
    """scipy.signal.find_peaks with the same prominence."""
    expected, _ = find_peaks(values, prominence=prominence)
    assert prominent_peaks(values, prominence) == tuple(expected.tolist())


def course(y_middle: float, slope: float, middle: float, width: int) -> LineCourse:
    """A straight line through (middle, y_middle) over a whole strip."""
    y = y_middle + slope * (np.arange(width) + 0.5 - middle)
    return LineCourse(frozen(y), 1.5, 0.4, (0.0, float(y[0])), (float(width), float(y[-1])))


@pytest.mark.parametrize("drawn", [(), (0.0,), (0.0, 1.0)], ids=["no line", "baseline", "baseline and mean line"])
def test_the_mean_line_lies_at_a_thousand_units_above_a_baseline_that_slopes(drawn: tuple[float, ...]) -> None:
    """Letter units stand square to the baseline, so that is how the x-height is measured: here at 2.4 degrees."""
    slope = np.tan(np.deg2rad(2.4))
    letters = Letters(word("iilil", slope))
    width = letters.letters[-1].left_px + 120
    middle = (40.0 + width - 70.0) / 2.0
    lines = tuple(course(BASELINE + slope * middle - X_HEIGHT * up, slope, middle, width) for up in drawn)
    blank = frozen(np.zeros((420, width, 3), np.float32))
    view = View(frozen(np.zeros(blank.shape, np.uint8)), blank)
    strip = Strip(view, Homography.identity(), None, lines, X_HEIGHT, BASELINE + slope * middle)
    found = settle_guides(strip, letters, Brief(word="nalip"))
    assert found.x_height_source == ("mean-line" if 1.0 in drawn else "letters")
    mean = found.mean_line
    assert mean is not None
    assert found.to_units.point((middle, y_at(mean, middle)))[1] == pytest.approx(1000.0, abs=0.05)
    assert found.x_height_px == pytest.approx(X_HEIGHT * np.cos(np.deg2rad(2.4)), rel=1e-4 if 1.0 in drawn else 0.005)


@pytest.mark.parametrize(
    ("source", "drawn", "scale", "said"),
    [
        ("mean-line", True, 1.0, []),
        ("letters", True, 1.0, ["No mean line was found"]),
        ("letters", False, 1.0, ["No drawn baseline was found"]),
        ("cap-height", True, 1.0, ["read as capitals alone"]),
        ("mean-line", True, 0.2, ["only 40 pixels high in this picture"]),
    ],
)
def test_what_is_doubtful_about_the_lines_is_told(source: str, scale: float, said: list[str], *, drawn: bool) -> None:
    """scale: picture px to a strip px; the small letters are 200 strip px high."""
    plane = frozen(np.zeros((300, 500, 3), np.uint8))
    view = View(plane, frozen(plane.astype(np.float32)))
    strip = Strip(view, Homography.from_affine(Affine.scale(scale)), None, (), X_HEIGHT, BASELINE)
    told = doubts(X_HEIGHT, source, strip, drawn=drawn)
    assert len(told) == len(said)
    assert all(words in t.text for words, t in zip(said, told, strict=True))


@pytest.mark.parametrize(("told", "rise", "hang", "doubted"), [
    (None, 200.0, 2.0, True),
    (None, 300.0, 2.0, False),
    (None, 200.0, 60.0, False),
    ("NONE", 200.0, 2.0, False),
])  # fmt: skip
def test_letters_of_one_height_without_a_word_may_be_capitals(told, rise, hang, doubted):
    """Capitals have no ascenders and no descenders: common practice, no source."""
    rises = np.where(np.arange(100) < 90, 200.0, rise)
    said = may_be_capitals(rises, np.full(100, hang), 200.0, Brief(word=told))
    assert bool(said) is doubted
