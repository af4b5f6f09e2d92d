"""Connected parts of masks drawn by hand: what joins, what is enclosed, what a margin takes in."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from vectorize.reading.blobs import blobs_of, half_width_px, has_island, holes_of, letters_in, mean_stroke_px


def mask_of(*rows: str) -> NDArray[np.bool_]:
    return np.array([[c == "#" for c in row] for row in rows])


def test_corners_join_pixels_unless_only_sides_do() -> None:
    mask = mask_of("#..", ".##", "...")
    assert [(b.area_px, b.box.width, b.box.height) for b in blobs_of(mask)] == [(3.0, 3.0, 2.0)]
    assert [b.area_px for b in blobs_of(mask, eight=False)] == [1.0, 2.0]
    assert blobs_of(np.zeros((3, 3), bool)) == ()


def test_a_margin_ends_with_the_plane_and_holds_no_other_part() -> None:
    mask = mask_of("##..#", ".....", "....#", ".....")
    first = blobs_of(mask)[0]
    window, own = first.with_margin(2, mask.shape)
    assert window == (slice(0, 3), slice(0, 4))
    assert (own == mask_of("##..", "....", "....")).all()
    window, own = first.with_margin(9, mask.shape)
    assert own.shape == mask.shape
    assert own.sum() == first.area_px


@pytest.mark.parametrize("width", [6, 12, 24])
def test_a_bars_stroke_is_its_width(width: int) -> None:
    """To a pixel: the ends of a bar ten times as long as broad take a little away."""
    for bar in (np.ones((10 * width, width), bool), np.ones((width, 10 * width), bool)):
        assert mean_stroke_px(bar) == pytest.approx(width, abs=1.0)
    assert mean_stroke_px(np.zeros((5, 5), bool)) == 0.0


def test_a_hole_is_closed_all_round() -> None:
    mask = mask_of("###.#", "#.#.#", "#####", "#.###")
    (hole,) = holes_of(mask)
    assert (hole.box.x0, hole.box.y0, hole.area_px) == (1.0, 1.0, 1.0)


def test_an_island_is_told_from_a_fleck() -> None:
    square = np.ones((12, 12), bool)
    fleck, island = square.copy(), square.copy()
    fleck[3, 3] = island[3:9, 3:9] = False
    assert [has_island(m) for m in (square, fleck, island)] == [False, False, True]


def test_dots_are_no_letters() -> None:
    mask = np.zeros((60, 60), bool)
    mask[10:50, 5:12] = mask[10:18, 30:38] = True
    assert [b.box.x0 for b in letters_in(mask, 40.0)] == [5.0]


def test_a_bar_is_as_broad_as_its_largest_disc() -> None:
    assert half_width_px(np.ones((7, 40), bool)) == pytest.approx(3.5, abs=0.5)
