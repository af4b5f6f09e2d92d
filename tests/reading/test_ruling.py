"""Lines found in a darkness map: drawn, faint, bowed, dashed; printed ruling told apart. All maps are made here."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from skimage import data

from vectorize.geometry import Homography, angle_deg
from vectorize.reading.courses import follow_all
from vectorize.reading.ink import ink_of
from vectorize.reading.lines import find_lines, ridge_points
from vectorize.reading.orientation import turned_deg
from vectorize.reading.paper import find_paper
from vectorize.reading.printed import printed_ruling
from vectorize.reading.records import Paper, Photo
from vectorize.reading.ruling import darkest, find_ruling, lettering, without
from vectorize.reading.turned import turned_level

W, H = 900, 500
NOTHING_SOLID = np.zeros((H, W), bool)


def paper_map(grain: float = 0.008, seed: int = 3) -> NDArray[np.float32]:
    noise = np.random.default_rng(seed).normal(0.0, grain, (H, W))
    return np.clip(noise, 0.0, 1.0).astype(np.float32)


def draw(
    d: NDArray[np.float32],
    y0: float,
    *,
    deg: float = 0.0,
    dark: float = 0.3,
    width: float = 2.0,
    span: tuple[int, int] = (40, 860),
    sag: float = 0.0,
    dashed: bool = False,
) -> None:
    """A line through (W / 2, y0), its right end higher by `deg`, its middle lower by `sag` than the chord."""
    x = np.arange(*span)
    t = (x - span[0]) / (span[1] - span[0])
    middle = y0 - np.tan(np.deg2rad(deg)) * (x + 0.5 - W / 2) + sag * (4 * t * (1 - t) - 2 / 3)
    rows = np.arange(H)[:, None] + 0.5
    line = dark * np.clip(width / 2 + 0.5 - np.abs(rows - middle[None, :]), 0.0, 1.0)
    if dashed:
        line[:, (x // 12) % 5 >= 3] = 0.0
    d[:, x] = 1.0 - (1.0 - d[:, x]) * (1.0 - line)


def as_paper(d: NDArray[np.float32]) -> Paper:
    return Paper(Homography.identity(), (W, H), None, None, None, None, np.repeat(d[..., None], 3, axis=2), 1.0)


@pytest.mark.parametrize("deg", [0.0, 0.3, 0.6, 1.2, -4.0])
def test_a_line_is_measured_to_a_hundredth_of_a_degree(deg: float) -> None:
    """Finer than .6 deg, the threshold of a look (Vision Research 30, 1990, 1429), and than the skew contest's .07 deg
    (DISEC'13, from memory)."""
    d = paper_map()
    draw(d, 240.3, deg=deg)
    (line,) = find_lines(d, NOTHING_SOLID)
    assert np.rad2deg(np.arctan(-line.slope)) == pytest.approx(deg, abs=0.01)
    assert line.at(np.array([W / 2]))[0] == pytest.approx(240.3, abs=0.15)


@pytest.mark.parametrize("dark", [0.03, 0.8])
def test_faint_and_heavy_lines_are_found(dark: float) -> None:
    d = paper_map()
    draw(d, 200.0, dark=dark, width=2.0 if dark < 0.1 else 6.0)
    (line,) = find_lines(d, NOTHING_SOLID)
    assert line.darkness == pytest.approx(dark, rel=0.3)


def test_grain_alone_holds_no_line() -> None:
    assert find_lines(paper_map(grain=0.03), NOTHING_SOLID) == ()


def test_a_gradient_holds_no_line() -> None:
    d = np.tile(np.linspace(0.0, 0.5, H, dtype=np.float32)[:, None], (1, W))
    assert find_lines(d, NOTHING_SOLID) == ()


@pytest.mark.parametrize("shape", [(9, 1400), (18, 1400), (400, 39), (1, 1)])
def test_a_map_too_small_for_a_line_holds_none(shape: tuple[int, int]) -> None:
    d = np.zeros(shape, np.float32)
    d[len(d) // 2] = 0.5
    assert find_lines(d, np.zeros(shape, bool)) == ()
    assert len(ridge_points(d, np.zeros(shape, bool)).x) == 0


def test_a_bowed_line_is_one_line_with_its_bow() -> None:
    d = paper_map()
    draw(d, 220.0, sag=8.0)
    (line,) = find_lines(d, NOTHING_SOLID)
    x = np.array([60.0, W / 2, 840.0])
    t = (x - 40.0) / 820.0
    assert line.at(x) == pytest.approx(220.0 + 8.0 * (4 * t * (1 - t) - 2 / 3), abs=0.3)
    assert line.end[0] - line.start[0] > 780


def test_a_dashed_line_is_one_line() -> None:
    d = paper_map()
    draw(d, 220.0, dashed=True)
    (line,) = find_lines(d, NOTHING_SOLID)
    assert line.end[0] - line.start[0] > 760
    assert 0.45 < line.cover < 0.85


def test_lines_that_are_not_parallel_keep_their_angles() -> None:
    d = paper_map()
    draw(d, 150.0, deg=0.8)
    draw(d, 300.0, deg=-0.7)
    angles = sorted(np.rad2deg(np.arctan(-x.slope)) for x in find_lines(d, NOTHING_SOLID))
    assert angles == pytest.approx([-0.7, 0.8], abs=0.01)


def test_letters_do_not_break_a_line() -> None:
    d = paper_map()
    draw(d, 300.0)
    solid = NOTHING_SOLID.copy()
    solid[180:305, 250:650] = True
    d[solid] = 0.7
    (line,) = [x for x in find_lines(d, solid) if abs(x.start[1] - 300) < 3]
    assert line.start[0] < 60
    assert line.end[0] > 840


def squared(d: NDArray[np.float32], pitch: float = 24.0) -> None:
    for y in np.arange(14.0, H - 6.0, pitch):
        draw(d, float(y), deg=0.2, dark=0.1, width=1.4, span=(0, W))


def test_printed_ruling_is_told_by_its_pitch() -> None:
    d = paper_map()
    squared(d)
    printed, pitch = printed_ruling(find_lines(d, NOTHING_SOLID))
    assert pitch == pytest.approx(24.0, abs=0.05)
    assert len(printed) == 20
    assert all(x.printed for x in printed)


def test_four_guidelines_on_one_pitch_are_not_printed() -> None:
    d = paper_map()
    for y in (150.0, 220.0, 290.0, 360.0):
        draw(d, y)
    assert printed_ruling(find_lines(d, NOTHING_SOLID)) == ((), None)


@pytest.mark.parametrize("deg", [0.2, 0.7, -0.5])
def test_guidelines_are_found_among_printed_lines(deg: float) -> None:
    """One that runs along a printed line, and ones that cross several at a small angle."""
    d = paper_map()
    squared(d)
    truth = (158.0, 236.5, 360.0)
    for y in truth:
        draw(d, y, deg=deg, dark=0.25, span=(120, 780))
    drawn = sorted((x for x in find_ruling(as_paper(d)).lines if not x.printed), key=lambda x: x.start[1])
    assert [x.at(np.array([W / 2]))[0] for x in drawn] == pytest.approx(truth, abs=0.4)
    assert [np.rad2deg(np.arctan(-x.slope)) for x in drawn] == pytest.approx([deg] * 3, abs=0.03)


def test_printed_ruling_tells_the_cameras_tilt() -> None:
    d = paper_map()
    squared(d)
    assert find_ruling(as_paper(d)).camera_deg == pytest.approx(0.2, abs=0.01)


def test_lines_taken_off_leave_paper() -> None:
    d = paper_map()
    squared(d)
    lines = find_lines(d, NOTHING_SOLID)
    assert d.max() > 0.09
    assert np.quantile(without(d, lines), 0.999) < 0.06


def cross(d: NDArray[np.float32], pitch: float = 24.0, dark: float = 0.1) -> None:
    """Squared paper: level and upright lines."""
    squared(d, pitch)
    for x in np.arange(10.0, W - 6.0, pitch):
        d[:, int(x) : int(x) + 2] = 1.0 - (1.0 - d[:, int(x) : int(x) + 2]) * (1.0 - dark)


def test_squared_paper_has_uprights_and_ruled_paper_has_none() -> None:
    ruled, both = paper_map(), paper_map()
    squared(ruled)
    cross(both)
    assert find_ruling(as_paper(ruled)).uprights == ()
    uprights = find_ruling(as_paper(both)).uprights
    assert [x.at(np.array([H / 2]))[0] for x in uprights] == pytest.approx(np.arange(11.0, W - 6.0, 24.0), abs=0.4)


def test_ruling_that_the_picture_cuts_off_askew_is_all_printed() -> None:
    d = paper_map()
    for y in np.arange(14.0, H - 6.0, 24.0):
        left = max(0, round(1.6 * (260 - y)))
        draw(d, float(y), dark=0.1, width=1.4, span=(left, W))
    printed, _ = printed_ruling(find_lines(d, NOTHING_SOLID))
    assert len(printed) == 20
    assert printed[0].printed


def test_dark_squares_are_no_lettering() -> None:
    """Uprights darker than the limit for letters would join all letters to one; a stem stays."""
    d = paper_map()
    cross(d, dark=0.6)
    d[150:260, 400:420] = 0.8
    paper = as_paper(d)
    stem = np.zeros_like(NOTHING_SOLID)
    stem[150:260, 400:420] = True
    found = lettering(paper, find_ruling(paper))
    assert found[stem].mean() > 0.9
    assert found[~stem].mean() < 0.01


def test_stems_are_no_squares() -> None:
    """Upright strokes at an even pitch, as in a word like minimum, stand on ruled paper."""
    d = paper_map()
    squared(d)
    for x in range(200, 500, 24):
        d[180:260, x : x + 6] = 0.7
    assert find_ruling(as_paper(d)).uprights == ()


@pytest.mark.parametrize("deg", [14.0, 20.0, -31.0])
def test_steep_lines_tell_how_the_drawing_is_turned(deg: float) -> None:
    d = paper_map()
    for y in (180.0, 250.0, 320.0):
        draw(d, y, deg=deg, span=(250, 650))
    d[240:252, 440:460] = 0.8
    assert turned_deg(as_paper(d).overview, (), 1.0) == pytest.approx(deg, abs=1.0)


def test_letters_line_up_without_lines() -> None:
    d = paper_map()
    for k in range(6):
        x, y = 250 + 70 * k, 330 - round(70 * k * np.tan(np.deg2rad(22.0)))
        d[y - 60 : y, x : x + 18] = 0.8
        d[y - 60 : y - 44, x : x + 45] = 0.8
    assert turned_deg(as_paper(d).overview, (), 1.0) == pytest.approx(22.0, abs=3.0)


@pytest.mark.parametrize("lean", [-0.2, 0.0, 0.2])
def test_a_stem_that_stands_alone_is_not_laid_down(lean: float) -> None:
    """Ink lines up best along a stem; at no angle that is tried does it line up better than at the next."""
    d = paper_map()
    for y in range(120, 380):
        x = 450 + round(lean * (250 - y))
        d[y, x - 15 : x + 15] = 0.8
    assert turned_deg(as_paper(d).overview, (), 1.0) == 0.0


def test_a_level_drawing_is_not_turned() -> None:
    """Nor are diagonals of letters taken for lines."""
    d = paper_map()
    for k in range(5):
        for i in range(60):
            d[220 + i, 200 + 90 * k + i : 216 + 90 * k + i] = 0.8
            d[220 + i, 290 + 90 * k - i : 306 + 90 * k - i] = 0.8
    assert turned_deg(as_paper(d).overview, (), 1.0) == 0.0
    for y in (180.0, 285.0):
        draw(d, y)
    paper = as_paper(d)
    assert turned_deg(paper.overview, find_ruling(paper).lines, 1.0) == 0.0


def test_real_ruling_in_perspective_is_found_and_gone_from_the_ink() -> None:
    """scikit-image's data.text(), a photograph of handwriting on ruled paper; a line segment detector (LSD) finds its
    ruling at -18.2 to -21.3 degrees. Further lines lie steeper towards the left."""
    photo = Photo("text.png", np.repeat(data.text()[..., None], 3, axis=2), None, "")
    flat = find_paper(photo)
    paper, ruling = turned_level(photo, flat, find_ruling(flat))
    ends = [paper.to_picture.apply(np.array([x.start, x.end])) for x in ruling.lines]
    angles = sorted(angle_deg(tuple(p), tuple(q)) for p, q in ends)
    assert angles[-1] == pytest.approx(-18.2, abs=0.6)
    assert any(a == pytest.approx(-21.3, abs=0.6) for a in angles)
    courses = follow_all(darkest(paper.overview), ruling.lines, 20.0)
    left, before = (ink_of(paper.overview, taken, 20.0).coverage > 0.5 for taken in (courses, ()))
    on = np.zeros(left.shape, bool)
    for c in courses:
        x = np.flatnonzero(np.isfinite(c.middle_px))
        on[np.clip(c.middle_px[x].astype(int), 0, len(on) - 1), x] = True
    assert before[on].mean() > 0.5
    assert left[on].mean() < 0.2
