"""The frame of a sheet turned to a drawing that lies askew on it."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.geometry import Affine, Homography, angle_deg
from vectorize.reading.records import Paper, Photo
from vectorize.reading.ruling import find_ruling
from vectorize.reading.turned import turned_by, turned_level

SIZE_PX = (800, 600)


def photo() -> Photo:
    return Photo("x", np.full((700, 900, 3), 250, np.uint8), None, "")


def paper() -> Paper:
    blank = np.zeros((SIZE_PX[1], SIZE_PX[0], 3), np.float32)
    return Paper(Homography.from_affine(Affine.shift(50.0, 60.0)), SIZE_PX, None, None, None, 0.0, blank, 1.0)


@pytest.mark.parametrize("deg", [20.0, -35.0])
def test_rows_run_along_lines_that_rise_by_the_turn(deg: float) -> None:
    turned = turned_by(photo(), paper(), deg)
    (x0, y0), (x1, y1) = turned.to_picture.apply(np.array([(100.0, 300.0), (400.0, 300.0)]))
    assert angle_deg((x0, y0), (x1, y1)) == pytest.approx(deg)
    assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(300.0)


@pytest.mark.parametrize("deg", [20.0, -35.0])
def test_the_whole_sheet_lies_in_the_turned_frame(deg: float) -> None:
    turned = turned_by(photo(), paper(), deg)
    assert turned.before_turn is not None
    to_sheet, sheet_px = turned.before_turn
    assert sheet_px == SIZE_PX
    corners = to_sheet.inverse().apply(np.array([(0.0, 0.0), (800.0, 0.0), (800.0, 600.0), (0.0, 600.0)]))
    assert (corners > -1.0).all()
    assert (corners < np.array(turned.size_px) + 1.0).all()
    assert max(turned.overview.shape) <= 1400


def test_a_sheet_without_a_drawing_stays_as_it_lies() -> None:
    flat = paper()
    ruling = find_ruling(flat)
    assert turned_level(photo(), flat, ruling) == (flat, ruling)
