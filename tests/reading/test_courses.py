"""Lines followed through a strip whose darkness is made here, so that the course of each is known."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorize.reading.courses import follow, follow_all
from vectorize.reading.records import LineCourse, StraightLine

W, H, X_HEIGHT = 1200, 400, 200.0
X = np.arange(W) + 0.5


def blank(seed: int = 2) -> NDArray[np.float32]:
    return np.clip(np.random.default_rng(seed).normal(0.01, 0.008, (H, W)), 0.0, 1.0).astype(np.float32)


def ruled(d: NDArray[np.float32], middle: NDArray[np.float64], dark: float = 0.3, width: float = 3.0) -> None:
    rows = np.arange(H)[:, None] + 0.5
    line = dark * np.clip(width / 2 + 0.5 - np.abs(rows - middle[None, :]), 0.0, 1.0)
    d[:] = 1.0 - (1.0 - d) * (1.0 - line)


def roughly(y: float, *, printed: bool = False, sag: float = 0.0) -> StraightLine:
    return StraightLine((0.0, y), (float(W), y), 3.0, 0.3, 0.9, printed=printed, sag_px=sag)


def off(course: LineCourse | None, middle: NDArray[np.float64]) -> float:
    """How far a course lies off the line at most, px."""
    assert course is not None
    return float(np.abs(course.middle_px - middle)[10:-10].max())


def test_a_line_is_followed_from_where_it_was_roughly() -> None:
    d, middle = blank(), 251.3 + 0.003 * X
    ruled(d, middle)
    course = follow(d, roughly(253.0), X_HEIGHT)
    assert off(course, middle) < 0.15
    assert course is not None
    assert (course.start, course.end) == (pytest.approx((0.0, 251.3), abs=0.1), pytest.approx((1200.0, 254.9), abs=0.1))


def test_a_tremor_of_the_ruling_is_followed_too() -> None:
    d, middle = blank(), 250.0 + 1.5 * np.sin(X / 90.0)
    ruled(d, middle)
    assert off(follow(d, roughly(250.0), X_HEIGHT), middle) < 0.6


def test_letters_on_a_line_do_not_pull_it() -> None:
    d, middle = blank(), np.full(W, 250.0)
    ruled(d, middle)
    for left in range(100, 1000, 160):
        d[80:253, left : left + 60] = 0.8
    assert off(follow(d, roughly(251.0), X_HEIGHT), middle) < 0.2


def test_printed_and_drawn_lines_beside_each_other_do_not_bend() -> None:
    """The drawn one crosses the printed one at half a degree."""
    d, printed, drawn = blank(), np.full(W, 250.0), 245.0 + 0.0087 * X
    ruled(d, printed, dark=0.12, width=2.0)
    ruled(d, drawn)
    lines = (
        StraightLine((0.0, 245.0), (float(W), 255.4), 3.0, 0.3, 1.0),
        StraightLine((0.0, 250.0), (float(W), 250.0), 2.0, 0.12, 1.0, printed=True),
    )
    first, second = follow_all(d, lines, X_HEIGHT)
    assert (first.printed, second.printed) == (False, True)
    assert off(first, drawn) < 0.6
    assert off(second, printed) < 0.6


@pytest.mark.parametrize("printed", [True, False])
def test_a_line_that_letters_hide_runs_as_it_was_seen_on_the_sheet(*, printed: bool) -> None:
    """It stays what it was, drawn or printed; a drawn one is a guideline however little of it shows."""
    d = blank()
    d[150:300, 60:1140] = 0.8
    line = StraightLine((-40.0, 250.0), (1240.0, 250.0), 3.0, 0.3, 0.6, printed=printed, sag_px=6.0)
    assert follow(d, line, X_HEIGHT) is None
    (course,) = follow_all(d, (line,), X_HEIGHT)
    assert course.printed is printed
    assert off(course, line.at(X)) < 1e-9
    # The straight of a parabola lies two thirds of its depth below the chord.
    assert course.start == pytest.approx((0.0, 254.0), abs=0.5)
    assert course.end == pytest.approx((1200.0, 254.0), abs=0.5)


def test_what_does_not_run_through_the_strip_has_no_course() -> None:
    above = StraightLine((0.0, -20.0), (float(W), -30.0), 3.0, 0.3, 1.0)
    beside = StraightLine((-300.0, 200.0), (-100.0, 200.0), 3.0, 0.3, 1.0)
    assert follow_all(blank(), (above, beside), X_HEIGHT) == ()


def test_a_row_of_small_print_is_no_line() -> None:
    assert follow_all(blank(), (StraightLine((0.0, 200.0), (1200.0, 200.0), 70.0, 0.3, 1.0),), X_HEIGHT) == ()
