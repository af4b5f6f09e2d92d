"""Dots of dotted paper go, whatever stands on them stays. All maps are made here."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorize.reading.dots import erase_dots

W, H, PITCH = 400, 300, 25.0
Y, X = np.mgrid[0:H, 0:W] + 0.5
ROWS = tuple(np.full(W, y) for y in np.arange(12.3, H, PITCH))
COLUMNS = tuple(np.full(H, x) for x in np.arange(12.8, W, PITCH))


def dotted(dark: float = 0.5) -> NDArray[np.float32]:
    d = np.zeros((H, W))
    for row in ROWS:
        for column in COLUMNS:
            d = np.maximum(d, dark * np.clip(2.5 - np.hypot(X - column[0], Y - row[0]), 0.0, 1.0))
    return d.astype(np.float32)


def disc(x: float, y: float, radius: float) -> NDArray[np.float32]:
    return (0.8 * np.clip(radius + 0.5 - np.hypot(X - x, Y - y), 0.0, 1.0)).astype(np.float32)


@pytest.mark.parametrize("dark", [0.1, 0.5, 0.9])
def test_dots_go_from_bare_paper(dark: float) -> None:
    assert erase_dots(dotted(dark), ROWS, COLUMNS, 0.8, 0.0, 8)[20:-20, 20:-20].max() < 0.02


@pytest.mark.parametrize("at", [(137.8, 137.3), (130.0, 141.0), (146.0, 137.0)])
def test_the_dot_of_an_i_stays(at: tuple[float, float]) -> None:
    """An i's dot is as broad as a stem, several dots of the paper; on a crossing, beside one, or with its edge on one."""
    dot = disc(*at, 10.0)
    left = erase_dots(np.maximum(dotted(), dot), ROWS, COLUMNS, 0.8, 0.0, 8)
    inside = left[20:-20, 20:-20] > 0.4
    assert inside.sum() == pytest.approx((dot > 0.4).sum(), rel=0.04)


def test_crossing_lines_are_no_dots() -> None:
    d = np.zeros((H, W), np.float32)
    for row in ROWS:
        d[int(row[0]), :] = 0.5
    for column in COLUMNS:
        d[:, int(column[0])] = 0.5
    assert np.array_equal(erase_dots(d, ROWS, COLUMNS, 0.8, 0.0, 8), d)


def test_few_crossings_tell_nothing() -> None:
    d = dotted()
    assert np.array_equal(erase_dots(d, ROWS[:2], COLUMNS[:3], 0.8, 0.0, 8), d)
