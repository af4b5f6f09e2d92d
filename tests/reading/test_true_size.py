"""The true size of a sheet: by its shape, by the resolution a scanner wrote, by the pitch of its printed lines."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.geometry import Affine, Homography
from vectorize.reading.records import Paper, Photo, Ruling
from vectorize.reading.true_size import truly_sized
from vectorize.reading.turned import turned_by

SIZES_MM = {
    "A2": (420, 594),
    "A3": (297, 420),
    "A4": (210, 297),
    "A5": (148, 210),
    "Letter": (215.9, 279.4),
    "B5": (176, 250),
}
"""ISO 216 (A and B series); ANSI/ASME Y14.1 (Letter)."""


def sheet(shape: str = "A4", *, width_px: int = 1500, tilt: float = 0.0, place=(40.0, 60.0)) -> Paper:
    """A sheet that was told by its shape alone: of the A series it is the usual one."""
    short, long = SIZES_MM[shape]
    size = (width_px, round(width_px * long / short))
    matrix = np.array([(1.0, 0.0, place[0]), (0.0, 1.0, place[1]), (tilt / size[0], 0.0, 1.0)])
    usual = "Letter" if shape == "Letter" else "A4"
    mm = SIZES_MM[usual][0] / width_px
    return Paper(Homography(matrix), size, usual, mm, "page", 0.0, np.zeros((9, 9, 3), np.float32), 0.1)


def lines(pitch_px: float | None = None) -> Ruling:
    return Ruling((), pitch_px, None)


def picture(mm_per_px: float | None = None) -> Photo:
    return Photo("x", np.zeros((3000, 2000, 3), np.uint8), mm_per_px, "0" * 64)


@pytest.mark.parametrize("name", ["A2", "A3", "A4", "A5", "Letter"])
def test_a_scanner_tells_which_sheet_it_is(name):
    true = SIZES_MM[name][0] / 1500
    paper = truly_sized(sheet(name), lines(), picture(true))
    assert (paper.sheet_name, paper.mm_source, paper.size_doubt) == (name, "resolution", "")
    assert paper.size_px[0] * paper.mm_per_px == pytest.approx(SIZES_MM[name][0], rel=1e-6)


def test_a_scanned_sheet_keeps_its_name_where_the_drawing_lies_askew_on_it():
    """The frame is then turned and larger than the sheet."""
    photo = picture(210 / 1500)
    paper = truly_sized(turned_by(photo, sheet(), 20.0), lines(), photo)
    assert (paper.sheet_name, paper.mm_source) == ("A4", "resolution")
    assert paper.mm_per_px == pytest.approx(210 / 1500)


def test_a_scanned_sheet_of_no_known_size_has_the_scanners_scale():
    paper = truly_sized(sheet("B5"), lines(), picture(176 / 1500))
    assert (paper.sheet_name, paper.mm_source) == (None, "resolution")
    assert paper.size_px[1] * paper.mm_per_px == pytest.approx(250, rel=1e-3)


def test_a_resolution_means_nothing_where_a_camera_looked_aslant():
    paper = truly_sized(sheet(tilt=0.02), lines(), picture(25.4 / 300))
    assert (paper.sheet_name, paper.mm_source) == ("A4", "page")
    assert paper.size_px[0] * paper.mm_per_px == pytest.approx(210)


def test_sheets_of_one_shape_are_told_of():
    """ISO 216: A3, A4 and A5 are similar rectangles. Letter has a shape of its own."""
    doubt = truly_sized(sheet(), lines(), picture()).size_doubt
    assert "A3" in doubt
    assert "A5" in doubt
    assert "--x-height" in doubt
    assert truly_sized(sheet("Letter"), lines(), picture()).size_doubt == ""


@pytest.mark.parametrize("pitch_mm", [8.0, 8.73])
@pytest.mark.parametrize("name", ["A3", "A4", "A5"])
def test_printed_lines_tell_which_sheet_it_is(name, pitch_mm):
    """8 mm and 11/32 inch are pitches of ruled paper; on the other sheets they would be none."""
    width = SIZES_MM[name][0]
    paper = truly_sized(sheet(name), lines(pitch_mm * 1500 / width * 1.004), picture())
    assert paper.sheet_name == name
    assert paper.mm_source == "page"
    assert paper.size_px[0] * paper.mm_per_px == pytest.approx(width, rel=1e-6)
    assert bool(paper.size_doubt) == (name != "A4")


@pytest.mark.parametrize("pitch_mm", [5.0, 7.0, 10.0, 14.0, 16.0])
def test_printed_lines_that_fit_several_sheets_leave_the_usual_one(pitch_mm):
    """5 mm squares of A4 are nearly 7 mm lines of A3; a pitch of 10 or 16 may be 5 or 8 with every second line seen."""
    paper = truly_sized(sheet(), lines(pitch_mm * 1500 / 210), picture())
    assert paper.sheet_name == "A4"
    assert "A5" in paper.size_doubt


def test_a_picture_without_a_sheet_stays_as_it_is():
    whole = Paper(Homography.identity(), (90, 90), None, 0.1, "resolution", None, np.zeros((9, 9, 3), np.float32), 1.0)
    assert truly_sized(whole, lines(40.0), picture(0.1)) is whole


def test_a_sheet_seen_in_part_has_the_scanners_scale():
    part = sheet()
    part = Paper(
        Homography.from_affine(Affine.shift(5.0, 9.0)), part.size_px, None, None, None, 0.0, part.overview, 0.1
    )
    paper = truly_sized(part, lines(), picture(0.1))
    assert (paper.mm_per_px, paper.mm_source, paper.sheet_name) == (pytest.approx(0.1), "resolution", None)
