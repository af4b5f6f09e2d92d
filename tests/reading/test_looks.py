"""What ink looks like, held to letters of open families that the forms were not learnt from."""

from __future__ import annotations

import numpy as np
import pytest

from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import flatten, signed_area
from vectorize.reading.looks import COLUMNS, ROWS, distances, grid, known_forms, rows_of_ink

X_HEIGHT_PX, BASELINE_PX = 60.0, 110.0


def picture(family: str, name: str, weight: int, stretch: float = 1.0) -> np.ndarray:
    """A letter's grid, its dot left out; stretch: of its width."""
    from skimage.draw import polygon2mask

    outline = outline_word(font_path(family), name, weight)[0]
    mask = np.zeros((170, 260), bool)
    for contour in sorted(outline.contours, key=signed_area, reverse=True):
        ring = flatten(contour, 2.0) / 1000.0
        rows = BASELINE_PX - ring[:, 1] * X_HEIGHT_PX
        inside = polygon2mask(mask.shape, np.column_stack((rows, 8 + ring[:, 0] * X_HEIGHT_PX * stretch)))
        mask = mask | inside if signed_area(contour) > 0 else mask & ~inside
    columns = np.flatnonzero(mask.any(axis=0))
    rows = rows_of_ink(mask, 0.0, BASELINE_PX, X_HEIGHT_PX)
    total = np.vstack((np.zeros((1, ROWS), np.float32), np.cumsum(rows.T, axis=0)))
    return grid(total, float(columns[0]), float(columns[-1] + 1))


@pytest.mark.parametrize(("family", "weight"), [("inter", 400), ("lora", 500), ("jost", 600), ("source-serif-4", 400)])
def test_small_letters_of_other_families_are_known_by_their_looks(family: str, weight: int) -> None:
    letters = "abcdefghkmnopqrstuvwxyz"
    far = distances(np.array([picture(family, c, weight) for c in letters]))
    known = known_forms().letters
    right = sum(known[k].lower() == c for k, c in zip(far.argmin(axis=1), letters, strict=True))
    assert right >= 0.85 * len(letters)


def test_two_letters_together_look_like_none() -> None:
    two, one = picture("inter", "n", 400), picture("inter", "o", 400)
    together = np.hstack((two.reshape(ROWS, COLUMNS)[:, ::2], one.reshape(ROWS, COLUMNS)[:, ::2])).ravel()
    assert distances(together[None]).min() > 3 * distances(two[None]).min()


def test_the_width_of_the_letter_does_not_change_its_looks() -> None:
    plain, wide = picture("lora", "e", 400), picture("lora", "e", 400, stretch=1.4)
    assert np.abs(plain - wide).max() < 0.12
    assert distances(wide[None]).argmin() == distances(plain[None]).argmin()


def test_the_grid_holds_the_share_of_ink() -> None:
    mask = np.zeros((170, 40), bool)
    mask[int(BASELINE_PX - X_HEIGHT_PX) : int(BASELINE_PX), 10:20] = True
    rows = rows_of_ink(mask, 0.0, BASELINE_PX, X_HEIGHT_PX)
    total = np.vstack((np.zeros((1, ROWS), np.float32), np.cumsum(rows.T, axis=0)))
    seen = grid(total, 0.0, 40.0).reshape(ROWS, COLUMNS)
    assert seen.sum() / (ROWS * COLUMNS) == pytest.approx(0.25 * X_HEIGHT_PX / (ROWS * 0.15 * X_HEIGHT_PX), rel=1e-4)
    assert seen[6, 3] == pytest.approx(1.0, abs=1e-4)
