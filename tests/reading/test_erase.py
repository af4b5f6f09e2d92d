"""Drawn lines and other colours go, letters keep their edges: small maps of darkness made here."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorize.geometry import frozen
from vectorize.reading.erase import erase_lines, line_zone
from vectorize.reading.pigment import pigment_darkness
from vectorize.reading.records import LineCourse

W, H, X_HEIGHT = 600, 200, 100.0
LINE_Y, INK, PAPER = 140.0, 0.8, 0.02
Y, X = np.mgrid[0:H, 0:W] + 0.5


def course(x0: int = 0, x1: int = W) -> LineCourse:
    middle = np.full(W, np.nan)
    middle[x0:x1] = LINE_Y
    return LineCourse(frozen(middle), 1.5, 0.4, (float(x0), LINE_Y), (float(x1), LINE_Y))


def shade(signed_distance: NDArray[np.float64], dark: float) -> NDArray[np.float64]:
    """Darkness from a distance in px, positive inside."""
    return np.asarray(dark * np.clip(signed_distance + 0.5, 0.0, 1.0))


def block(x0: float, x1: float, y0: float, y1: float) -> NDArray[np.float64]:
    return shade(np.minimum.reduce([X - x0, x1 - X, Y - y0, y1 - Y]), INK - PAPER)


def drawn(*blocks: NDArray[np.float64]) -> NDArray[np.float32]:
    """Paper with a pencil line over its whole width, and letters; pencil on pencil darkens as a second glaze does."""
    letters = np.maximum.reduce([np.zeros((H, W)), *blocks])
    line = shade(1.5 - np.abs(Y - LINE_Y), 0.4)
    return (PAPER + (1.0 - (1.0 - letters) * (1.0 - line))).astype(np.float32)


def erased(darkness: NDArray[np.float32]) -> NDArray[np.float32]:
    return erase_lines(darkness, (course(),), INK, PAPER, X_HEIGHT)


def test_the_zone_of_a_line_is_a_little_broader_than_the_line_and_no_longer() -> None:
    zone = line_zone((course(100, 400),), (H, W), X_HEIGHT)
    assert np.flatnonzero(zone.any(axis=0)).tolist() == list(range(100, 400))
    rows = np.flatnonzero(zone.any(axis=1))
    assert LINE_Y - 5.0 < rows[0] < LINE_Y - 2.0
    assert LINE_Y + 2.0 < rows[-1] + 1 < LINE_Y + 5.0


def test_on_bare_paper_a_line_goes() -> None:
    assert erased(drawn()).max() < PAPER + 0.02


def test_without_lines_nothing_changes() -> None:
    darkness = drawn(block(200, 230, 40, 140))
    assert np.array_equal(erase_lines(darkness, (), INK, PAPER, X_HEIGHT), darkness)


def test_where_it_runs_through_a_letter_the_letter_stays() -> None:
    darkness = drawn(block(200, 230, 40, 180))
    left = erased(darkness)
    assert np.array_equal(left[:, 203:227], darkness[:, 203:227])
    assert left[130:150, 240:].max() < PAPER + 0.02


@pytest.mark.parametrize("foot", [139.0, 140.0, 141.0])
def test_a_letter_that_stands_on_the_line_keeps_its_foot(foot: float) -> None:
    """Within half a pixel of where it was drawn, wherever in the line that is."""
    left = erased(drawn(block(200, 230, 40, foot)))
    ink = np.clip((left[:, 205:225].mean(axis=1) - PAPER) / (INK - PAPER), 0.0, 1.0)
    assert 40.0 + ink.sum() == pytest.approx(foot, abs=0.5)


def absorbed(colour: tuple[float, float, float], where: NDArray[np.bool_]) -> NDArray[np.float32]:
    return np.asarray(where[..., None] * np.array(colour), np.float32)


LETTERS = (X > 200) & (X < 230) & (Y > 40) & (Y < 140)
BLUE_LINE = np.abs(Y - 60.0) < 1.5
GREY, RED, BLUE = (0.7, 0.72, 0.7), (0.15, 0.75, 0.7), (0.6, 0.35, 0.05)


def test_beside_grey_letters_a_coloured_line_fades() -> None:
    darkness = pigment_darkness(absorbed(GREY, LETTERS) + absorbed(BLUE, BLUE_LINE & ~LETTERS), ~BLUE_LINE, X_HEIGHT)
    assert darkness[LETTERS] == pytest.approx(np.full(LETTERS.sum(), 0.7), abs=0.01)
    assert darkness[BLUE_LINE & ~LETTERS].max() < 0.06


def test_letters_in_a_coloured_pencil_are_as_dark_as_the_colour() -> None:
    """Not as light as the channel that red hardly darkens."""
    darkness = pigment_darkness(absorbed(RED, LETTERS) + absorbed(BLUE, BLUE_LINE & ~LETTERS), ~BLUE_LINE, X_HEIGHT)
    assert darkness[LETTERS] == pytest.approx(np.full(LETTERS.sum(), 0.75), abs=0.01)
    assert darkness[BLUE_LINE & ~LETTERS].max() < 0.1


def test_a_blank_strip_has_no_colour() -> None:
    assert pigment_darkness(np.zeros((H, W, 3), np.float32), np.ones((H, W), bool), X_HEIGHT).max() == 0.0
