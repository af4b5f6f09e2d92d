"""Rows of lettering found in a mask of solid ink; all masks are made here."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.rows import find_rows


def sheet(*words: tuple[int, int, int, int]) -> NDArray[np.bool_]:
    """A mask with words (left, top, letter height, number of letters)."""
    mask = np.zeros((700, 1000), bool)
    for left, top, height, count in words:
        for k in range(count):
            x = left + int(k * 0.8 * height)
            mask[top : top + height, x : x + int(0.5 * height)] = True
    return mask


def test_nothing_is_no_row() -> None:
    assert find_rows(np.zeros((100, 200), bool)) == ()


def test_a_frame_around_the_sheet_is_no_row() -> None:
    mask = np.zeros((300, 400), bool)
    mask[:12] = mask[-12:] = mask[:, :12] = mask[:, -12:] = True
    assert find_rows(mask) == ()


def test_lines_of_lettering_are_counted_from_the_top() -> None:
    rows = find_rows(sheet((100, 420, 90, 6), (100, 80, 120, 6)))
    assert [r.box.y0 for r in rows] == [80.0, 420.0]
    assert rows[0].size > rows[1].size


def test_two_words_are_one_row() -> None:
    (row,) = find_rows(sheet((80, 200, 100, 4), (520, 200, 100, 4)))
    assert row.box.x0 == 80.0
    assert row.box.x1 > 800.0


def test_a_note_far_beside_the_word_is_another_row() -> None:
    rows = find_rows(sheet((60, 200, 100, 3), (820, 230, 40, 3)))
    assert len(rows) == 2


def test_heads_and_feet_are_the_outermost_ink_of_a_column() -> None:
    mask = sheet((100, 300, 100, 3))
    mask[360:430, 100:150] = True
    (row,) = find_rows(mask)
    assert set(row.heads) == {300.0}
    assert set(row.feet) == {400.0, 430.0}
