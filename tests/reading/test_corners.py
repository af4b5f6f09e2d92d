"""Corners of a sheet told from the stretches of its sides that were seen; all sides are made here."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.reading.corners import unseen_corners
from vectorize.reading.perspective import BOTTOM, LEFT, RIGHT, TOP
from vectorize.reading.sides import Side, side_between

PICTURE_PX = (1000, 1400)
MIDDLE = np.array((500.0, 700.0))


def sheet(*, left: float = 100.0, top_to: float = 900.0, right_from: float = 100.0) -> dict[int, Side]:
    """A sheet from (left, 100) to (900, 1300), of whose top and right side the upper right may be hidden."""
    ends = {
        TOP: ((left, 100.0), (top_to, 100.0)),
        RIGHT: ((900.0, right_from), (900.0, 1300.0)),
        BOTTOM: ((900.0, 1300.0), (left, 1300.0)),
        LEFT: ((left, 1300.0), (left, 100.0)),
    }
    return {side: side_between(np.array(p), np.array(q), MIDDLE) for side, (p, q) in ends.items()}


def test_a_sheet_with_four_free_corners_is_not_spoken_of() -> None:
    assert unseen_corners(sheet(), PICTURE_PX) == ()


def test_one_side_that_reaches_its_corner_shows_it() -> None:
    assert unseen_corners(sheet(top_to=740.0), PICTURE_PX) == ()


@pytest.mark.parametrize(
    ("sides", "seen", "words"),
    [
        (sheet(top_to=740.0, right_from=340.0), 3, "One corner of the sheet is"),
        (sheet(left=-40.0), 2, "2 corners of the sheet are"),
    ],
    ids=["covered", "outside the picture"],
)
def test_corners_that_are_not_seen_are_counted(sides: dict[int, Side], seen: int, words: str) -> None:
    (told,) = unseen_corners(sides, PICTURE_PX)
    assert (told.measured, told.limit) == (seen, 4.0)
    assert words in told.text
