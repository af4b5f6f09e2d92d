"""Punched holes are no drawing, whatever side they are on; letters, dots and rows of o are."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.geometry import Affine, Homography
from vectorize.reading.holes import keep_off, without_holes
from vectorize.reading.records import Paper

PX_PER_MM = 4.0
SCALE = 0.5


def sheet(discs_mm, *, turns: int = 0) -> Paper:
    """An A4 sheet whose overview shows dark discs (x, y, diameter in mm), turned by quarters."""
    h, w = round(297 * PX_PER_MM), round(210 * PX_PER_MM)
    y, x = (np.mgrid[0:h, 0:w] + 0.5) / PX_PER_MM
    dark = np.full((h, w), 0.02, np.float32)
    for cx, cy, d in discs_mm:
        dark[(x - cx) ** 2 + (y - cy) ** 2 < (d / 2) ** 2] = 0.6
    dark[(x > 60) & (x < 66) & (y > 120) & (y < 140)] = 0.7
    overview = np.rot90(np.repeat(dark[:, :, None], 3, axis=2), turns)
    size = round(overview.shape[1] / SCALE), round(overview.shape[0] / SCALE)
    return Paper(Homography.identity(), size, "A4", 210 / size[0], "page", 0.0, overview, SCALE)


SPIRAL = [(6.5, 8 + 8.47 * k, 5.0) for k in range(34)]
BINDER = [(12.0, 148.5 + 80 * k, 6.0) for k in (-1.5, -0.5, 0.5, 1.5)]
"""ISO 838: holes of 6 mm, 80 mm apart, their middles 12 mm from the side."""


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("holes", [SPIRAL, BINDER], ids=["spiral", "binder"])
def test_holes_are_taken_out_on_every_side(holes, turns):
    paper = without_holes(sheet(holes, turns=turns))
    assert len(paper.holes) == len(holes)
    dark = paper.overview.min(axis=2) > 0.2
    assert dark.sum() == pytest.approx(6 * 20 * PX_PER_MM**2)
    assert not paper.overview.flags.writeable


def test_holes_of_a_sheet_that_lies_a_little_askew():
    leaning = [(x + 0.02 * y, y, d) for x, y, d in SPIRAL]
    assert len(without_holes(sheet(leaning)).holes) == len(SPIRAL)


@pytest.mark.parametrize(
    "marks",
    [
        [(6.5, 40.0, 5.0), (6.5, 90.0, 5.0), (6.5, 200.0, 5.0)],
        [(40 + 20 * k, 148.0, 8.0) for k in range(7)],
        [(6.5 + 5 * (k % 3), 20 + 37.0 * k, 3.0 + k) for k in range(7)],
        [(6.5, 20 + 8.0 * k * k, 5.0) for k in range(6)],
        [(6.5, 120 + 8.0 * k, 5.0) for k in range(6)],
    ],
    ids=["three", "a row of filled letters", "of all sizes", "no pitch", "a short row"],
)
def test_what_is_no_row_of_holes_stays(marks):
    paper = sheet(marks)
    assert without_holes(paper) is paper


def test_regions_keep_off_the_holes():
    paper = without_holes(sheet(BINDER))
    to_sheet = Homography.from_affine(Affine.scale(2.0))
    size = (round(paper.size_px[0] / 2), round(paper.size_px[1] / 2))
    within = keep_off(None, paper.holes, to_sheet, size)
    assert within is not None
    k = size[0] / 210.0
    for x, y, _ in BINDER:
        assert not within[int((y - 3) * k) : int((y + 3) * k), int((x - 3) * k) : int((x + 3) * k)].any()
    assert within[:, int(25 * k) :].all()
    assert keep_off(None, (), to_sheet, size) is None
