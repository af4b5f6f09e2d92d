"""Sheets of known size on desks, seen by known cameras: corners, tilt, true scale, and what is only seen in part."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage
from skimage import data

from tests.specimens.camera import take
from tests.specimens.recipe import Camera, Lines, Recipe
from vectorize.geometry import Affine, Homography
from vectorize.reading.paper import find_paper, overview_grid, sheet_of_size, tilt_deg, view
from vectorize.reading.photo import read_photo
from vectorize.reading.records import Photo
from vectorize.trade.picture import SHEET_SIZES_MM

PICTURE = (675, 900)


def photo_of(rgb: np.ndarray, mm_per_px: float | None = None) -> Photo:
    return Photo("x", np.clip(rgb, 0, 255).astype(np.uint8), mm_per_px, "0" * 64)


def camera(
    sheet_mm=(210.0, 297.0), tilt_deg=(6.0, 4.0), turn_deg=2.0, fill=0.8, size=PICTURE, focal=0.77, shift=(0, 0)
) -> np.ndarray:
    """Sheet mm to picture px of a pinhole camera (Hartley and Zisserman 2004, 6.1), turn positive when the right rises."""
    ax, ay, az = (math.radians(v) for v in (*tilt_deg, -turn_deg))
    rx = np.array([[1, 0, 0], [0, math.cos(ax), -math.sin(ax)], [0, math.sin(ax), math.cos(ax)]])
    ry = np.array([[math.cos(ay), 0, math.sin(ay)], [0, 1, 0], [-math.sin(ay), 0, math.cos(ay)]])
    rz = np.array([[math.cos(az), -math.sin(az), 0], [math.sin(az), math.cos(az), 0], [0, 0, 1]])
    r = rx @ ry @ rz
    f = focal * max(size)
    distance = f / (fill * min(size[0] / sheet_mm[0], size[1] / sheet_mm[1]))
    k = np.array([[f, 0, size[0] / 2 + shift[0]], [0, f, size[1] / 2 + shift[1]], [0, 0, 1]])
    centre = np.array([[1, 0, -sheet_mm[0] / 2], [0, 1, -sheet_mm[1] / 2], [0, 0, 1]])
    m = k @ np.column_stack((r[:, 0], r[:, 1], (0, 0, distance))) @ centre
    return m / m[2, 2]


def desk(kind: str, size=PICTURE) -> np.ndarray:
    y, x = np.mgrid[0 : size[1], 0 : size[0]]
    plane = {
        "dark": np.full(x.shape, 60.0),
        "bright": np.full(x.shape, 205.0),
        "white": np.full(x.shape, 226.0),
        "wood": 120 + 18 * np.sin(y / 7.0 + np.sin(x / 90.0)),
        "checked": np.where(((x // 60) + (y // 60)) % 2, 225.0, 70.0),
        "cloth": np.where(((x // 49) + (y // 49)) % 2, 232.0, 80.0),
    }[kind]
    if kind == "white":
        return np.repeat(plane[:, :, None], 3, axis=2)
    return plane[:, :, None] * np.array([1.0, 0.94, 0.82])


def photographed(matrix: np.ndarray, sheet_mm=(210.0, 297.0), desk_kind="dark", shadow=0.0, size=PICTURE) -> np.ndarray:
    """A white sheet with three lines and five strokes, drawn .7 deg off the sheet's own level."""
    px_per_mm = 4
    page = np.full((round(sheet_mm[1] * px_per_mm), round(sheet_mm[0] * px_per_mm)), 243.0)
    y, x = np.mgrid[0 : page.shape[0], 0 : page.shape[1]] / px_per_mm
    turn = math.radians(0.7)
    u = (x - sheet_mm[0] / 2) * math.cos(turn) - (y - sheet_mm[1] * 0.4) * math.sin(turn)
    v = (x - sheet_mm[0] / 2) * math.sin(turn) + (y - sheet_mm[1] * 0.4) * math.cos(turn)
    for height in (0.0, -20.0, -29.0):
        page[(np.abs(v - height) < 0.25) & (np.abs(u) < 75)] = 130
    for left in (-50, -28, -6, 16, 38):
        page[(u > left) & (u < left + 6) & (v < 0) & (v > -20)] = 70
    inverse = np.diag([px_per_mm, px_per_mm, 1]) @ np.linalg.inv(matrix)
    coefficients = tuple((inverse / inverse[2, 2]).ravel()[:8])

    def warp(plane: np.ndarray) -> np.ndarray:
        image = Image.fromarray(plane.astype(np.uint8))
        return np.asarray(
            image.transform(size, Image.Transform.PERSPECTIVE, coefficients, Image.Resampling.BICUBIC), float
        )

    seen, inside = warp(page), warp(np.full(page.shape, 255.0)) / 255.0
    rgb = desk(desk_kind, size) * (1 - inside[:, :, None]) + seen[:, :, None] * np.array([1.0, 0.99, 0.95])
    yy, xx = np.mgrid[0 : size[1], 0 : size[0]]
    edge = 1 / (1 + np.exp(-(xx + 0.7 * yy - 0.9 * size[0]) / 25))
    rgb *= (1.0 - 0.15 * yy / size[1] - shadow * edge)[:, :, None]
    rgb = ndimage.gaussian_filter(rgb, (0.7, 0.7, 0))
    return rgb + np.random.default_rng(1).normal(0, 1.5, rgb.shape)


def corners_px(matrix: np.ndarray, sheet_mm=(210.0, 297.0)) -> np.ndarray:
    w, h = sheet_mm
    return Homography(matrix).apply(np.array([(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]))


def found_corners(paper) -> np.ndarray:
    w, h = paper.size_px
    return paper.to_picture.apply(np.array([(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]))


@pytest.mark.parametrize(
    ("desk_kind", "shadow"),
    [("white", 0.0), *((kind, s) for kind in ("dark", "wood", "bright", "checked", "cloth") for s in (0.0, 0.45))],
)
def test_the_corners_are_found_on_any_desk(desk_kind, shadow):
    matrix = camera()
    paper = find_paper(photo_of(photographed(matrix, desk_kind=desk_kind, shadow=shadow)))
    assert np.linalg.norm(found_corners(paper) - corners_px(matrix), axis=1).max() < 3.0
    assert paper.sheet_name == "A4"
    assert paper.mm_source == "page"
    assert paper.remarks == ()


@pytest.mark.parametrize("name", ["A4", "Letter", "Legal"])
@pytest.mark.parametrize("landscape", [False, True])
def test_the_format_follows_from_the_aspect(name, landscape):
    """A4 is 210 x 297 mm (ISO 216); Letter 8.5 x 11 in, as ANSI/ASME Y14.1 has it."""
    sheet = tuple(float(v) for v in SHEET_SIZES_MM[name])
    size = PICTURE
    if landscape:
        sheet, size = sheet[::-1], PICTURE[::-1]
    matrix = camera(sheet, tilt_deg=(9.0, -7.0), size=size)
    paper = find_paper(photo_of(photographed(matrix, sheet, size=size)))
    assert paper.sheet_name == name
    assert paper.mm_per_px is not None
    assert paper.size_px[0] * paper.mm_per_px == pytest.approx(sheet[0], rel=1e-3)
    assert paper.size_px[1] * paper.mm_per_px == pytest.approx(sheet[1], rel=5e-3)


@pytest.mark.parametrize("tilt", [(0.0, 0.0), (8.0, 0.0), (-6.0, 9.0), (14.0, -10.0)])
def test_what_is_drawn_level_on_the_sheet_stays_level(tilt):
    matrix = camera(tilt_deg=tilt, turn_deg=-3.0)
    paper = find_paper(photo_of(photographed(matrix)))
    ends = Homography(matrix).apply(np.array([(40.0, 120.0), (170.0, 120.0)]))
    p, q = paper.to_picture.inverse().apply(ends)
    assert math.degrees(math.atan2(p[1] - q[1], q[0] - p[0])) == pytest.approx(0.0, abs=0.06)


def test_the_tilt_of_the_sheet_is_told_where_it_is_asked_for():
    matrix = camera(tilt_deg=(10.0, 6.0), turn_deg=4.0)
    paper = find_paper(photo_of(photographed(matrix)))
    for y_mm in (60.0, 220.0):
        a, b = Homography(matrix).apply(np.array([(104.0, y_mm), (106.0, y_mm)]))
        wanted = math.degrees(math.atan2(a[1] - b[1], b[0] - a[0]))
        at = paper.to_picture.inverse().apply(Homography(matrix).apply(np.array([(105.0, y_mm)])))[0]
        assert tilt_deg(paper.to_picture, tuple(at)) == pytest.approx(wanted, abs=0.06)
    assert paper.camera_deg == pytest.approx(4.0, abs=1.5)


def test_a_hidden_corner_is_found_from_its_sides():
    matrix = camera()
    rgb = photographed(matrix)
    x, y = corners_px(matrix)[2]
    yy, xx = np.mgrid[0 : rgb.shape[0], 0 : rgb.shape[1]]
    rgb[(xx - x) ** 2 + (yy - y) ** 2 < 95**2] = (190, 130, 105)
    paper = find_paper(photo_of(rgb))
    assert np.linalg.norm(found_corners(paper) - corners_px(matrix), axis=1).max() < 3.0
    (remark,) = paper.remarks
    assert (remark.measured, remark.limit, remark.unit) == (3.0, 4.0, "corners")
    assert remark.text.startswith("One corner of the sheet is covered")


def test_a_box_drawn_on_the_paper_is_no_sheet():
    rgb = np.full((900, 675, 3), 240.0) * np.linspace(1.0, 0.8, 900)[:, None, None]
    for inset in (90, 120):
        for width in (2, 5):
            drawn = rgb.copy()
            box = np.s_[inset : 900 - inset, inset : 675 - inset]
            inside = drawn[box].copy()
            drawn[inset - width : 900 - inset + width, inset - width : 675 - inset + width] *= 0.4
            drawn[box] = inside
            paper = find_paper(photo_of(drawn))
            assert np.array_equal(paper.to_picture.matrix, np.eye(3))
            assert paper.camera_deg is None


def test_a_letter_in_a_close_crop_is_no_sheet():
    """Grey as white paper is, closed by straight stems, and as large a share of the crop as a sheet may be."""
    word = Recipe("marple", "marple", "source-sans-3", 500, x_height_mm=18.2, lines=Lines(overrun_mm=10.0), seed=6)
    specimen = take(replace(word, camera=Camera("crop", px_per_mm=7.0, turn_deg=0.4)))
    paper = find_paper(read_photo(specimen.data, "crop.jpg", 1))
    assert np.array_equal(paper.to_picture.matrix, np.eye(3))
    assert paper.camera_deg is None


def test_the_desk_is_blank_in_the_overview():
    paper = find_paper(photo_of(photographed(camera(), desk_kind="wood")))
    dark = paper.overview.min(axis=2) > 0.2
    rim = np.ones(dark.shape, bool)
    rim[30:-30, 30:-30] = False
    assert not dark[rim].any()
    assert 0.01 < dark.mean() < 0.05
    assert not paper.overview.flags.writeable


@pytest.mark.parametrize(
    ("slide_mm", "size", "fill", "sides"),
    [
        ((0.0, 90.0), PICTURE, 0.8, 3),
        ((60.0, 0.0), PICTURE, 0.8, 3),
        ((60.0, 90.0), PICTURE, 0.8, 2),
        ((0.0, 30.0), PICTURE[::-1], 1.3, 2),
    ],
    ids=["foot cut", "right cut", "corner cut", "only left and right"],
)
def test_a_sheet_seen_in_part_is_squared_as_far_as_it_shows(slide_mm, size, fill, sides):
    """Without the fourth side the camera is taken for a usual phone; the drawing's parallels stand in for a third."""
    matrix = camera(tilt_deg=(7.0, 5.0), fill=fill, size=size)
    matrix = matrix @ np.array([[1, 0, slide_mm[0]], [0, 1, slide_mm[1]], [0, 0, 1.0]])
    matrix = matrix / matrix[2, 2]
    paper = find_paper(photo_of(photographed(matrix, size=size)))
    assert "part of the sheet" in paper.remarks[0].text
    assert paper.remarks[0].measured == sides
    assert paper.mm_per_px is None
    back = paper.to_picture.inverse()
    box = back.apply(Homography(matrix).apply(np.array([(60.0, 80.0), (150.0, 80.0), (150.0, 120.0), (60.0, 120.0)])))
    top, right, low, left = (float(np.linalg.norm(v)) for v in np.roll(box, -1, axis=0) - box)
    assert top / low == pytest.approx(1.0, abs=0.02)
    assert left / right == pytest.approx(1.0, abs=0.02)
    assert (top + low) / (left + right) == pytest.approx(90 / 40, rel=0.02)


def test_a_scan_is_its_own_sheet():
    rgb = np.full((1169, 827, 3), 244.0)
    rgb[300:340, 200:600] = 60
    paper = find_paper(photo_of(rgb, mm_per_px=25.4 / 100))
    assert np.array_equal(paper.to_picture.matrix, np.eye(3))
    assert paper.camera_deg is None
    assert (paper.sheet_name, paper.mm_source) == ("A4", "resolution")
    assert paper.size_px == (827, 1169)


@pytest.mark.parametrize(
    ("size_mm", "name"), [((210, 297), "A4"), ((297, 210), "A4"), ((215.9, 279.4), "Letter"), ((213, 297), None)]
)
def test_a_sheet_is_named_by_its_true_size(size_mm, name):
    """ISO 216 and ANSI; 3 mm is more than any sheet is cut off by."""
    assert sheet_of_size(tuple(round(v * 8) for v in size_mm), 1 / 8) == name


def test_an_overview_is_never_larger_than_its_sheet():
    assert overview_grid((2800, 1000)) == (0.5, (1400, 500))
    assert overview_grid((700, 300)) == (1.0, (700, 300))
    assert overview_grid((100000, 10))[1] == (1400, 1)


@pytest.mark.parametrize("size", [(64, 64), (400, 70), (900, 700)])
@pytest.mark.parametrize("value", [0, 128, 255])
def test_blank_pictures_have_no_sheet(size, value):
    paper = find_paper(photo_of(np.full((size[1], size[0], 3), value)))
    assert paper.camera_deg is None
    assert np.isfinite(paper.overview).all()


def test_real_photographs_are_taken_without_harm():
    """scikit-image data.page() and data.text(): small real photographs without any sheet edge to trust."""
    for picture in (data.page(), data.text()):
        paper = find_paper(photo_of(np.repeat(picture[:, :, None], 3, axis=2)))
        assert paper.overview.shape[2] == 3


@pytest.mark.parametrize("scale", [0.4, 1.0, 2.0, 3.0])
def test_pixel_centres_lie_at_one_half(scale):
    """A steep ramp resampled shows at each pixel the place its centre maps to, whatever the scale."""
    steep = 3.0
    y, x = np.mgrid[0:70, 0:80]
    photo = photo_of(np.stack((steep * x, steep * y, 0 * x), axis=2))
    flat = find_paper(photo_of(np.full((70, 80, 3), 240.0)))
    to_sheet = Homography.from_affine(Affine(scale, 0.0, 0.0, scale, 6.0, 4.0))
    size = int(66 / scale), int(60 / scale)
    seen = view(photo, flat, to_sheet, size).rgb
    for channel, offset, shown in ((0, 6.0, seen[5:-5, 5:-5, 0]), (1, 4.0, seen[5:-5, 5:-5, 1].T)):
        place = offset + scale * (np.arange(5, size[channel] - 5) + 0.5) - 0.5
        off = (shown - steep * place[None, :]) / steep
        # Grey levels are cut to whole ones twice at most, each a third of a pixel here.
        assert off.min() > -0.67
        assert off.max() < 0.34
        assert abs(off.mean()) < 0.34


def test_shrinking_averages_instead_of_skipping():
    x = np.mgrid[0:400, 0:400][1]
    stripes = np.repeat(np.where(x % 2, 255.0, 0.0)[:, :, None], 3, axis=2)
    photo = photo_of(stripes)
    seen = view(photo, find_paper(photo), Homography.from_affine(Affine.scale(4.0)), (100, 100)).rgb
    assert np.abs(seen[5:-5, 5:-5].astype(float) - 127.5).max() < 3


def test_beyond_the_picture_is_white_paper():
    photo = photo_of(np.full((100, 100, 3), 200.0))
    seen = view(photo, find_paper(photo), Homography.from_affine(Affine.shift(500.0)), (40, 30))
    assert (seen.rgb == 255).all()
    assert (seen.absorbance == 0).all()
