"""The bend of a lens, measured by how it bows the straight sides of a sheet, and undone around a word."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.specimens.camera import take
from tests.specimens.recipe import Camera, Recipe
from vectorize.reading.lens import Lens, lens_of
from vectorize.reading.paper import find_paper
from vectorize.reading.photo import read_photo
from vectorize.reading.sides import Side, robust_arc, side_between

SIZE = (2250, 3000)
MIDDLE = np.array(SIZE) / 2.0

BARREL = Recipe(
    "barrel", "nalip", "source-sans-3", x_height_mm=22.0, camera=Camera("photo", size_px=(1500, 2000), tilt_x_deg=6)
)


def bowed(lens: Lens, p: tuple[float, float], q: tuple[float, float]) -> Side:
    """The straight side from p to q as the lens shows it: its chord and the middle of its arc."""
    a, b, middle = lens.bent(np.array([p, q, np.add(p, q) / 2.0]))
    chord = side_between(a, b, MIDDLE)
    return side_between(a, b, MIDDLE, bow_px=float(chord.distance(middle[None, :])[0]))


def sheet(lens: Lens) -> tuple[Side, ...]:
    corners = [(260.0, 240.0), (2010.0, 190.0), (2030.0, 2760.0), (240.0, 2700.0)]
    return tuple(bowed(lens, p, q) for p, q in zip(corners, corners[1:] + corners[:1], strict=True))


@pytest.mark.parametrize("bend", [-0.05, -0.02, 0.02, 0.05])
def test_the_bend_is_read_off_the_sides(bend):
    found = lens_of(sheet(Lens(MIDDLE, 1500.0, bend)), SIZE)
    assert found is not None
    assert found.bend == pytest.approx(bend, rel=0.02)


def test_straight_sides_and_a_curled_sheet_show_no_lens():
    straight = sheet(Lens(MIDDLE, 1500.0, 0.0))
    assert lens_of(straight, SIZE) is None
    bows = (15.0, 0.0, -15.0, 0.0)
    curled = tuple(Side(s.normal, s.offset, s.ends, 1.0, b) for s, b in zip(straight, bows, strict=True))
    assert lens_of(curled, SIZE) is None


@pytest.mark.parametrize("bend", [-0.05, 0.05])
def test_bending_and_straightening_undo_each_other(bend):
    lens = Lens(MIDDLE, 1500.0, bend)
    points = np.array([(0.0, 0.0), (2250.0, 0.0), (1125.0, 1500.0), (300.0, 2900.0)])
    assert np.abs(lens.straightened(lens.bent(points)) - points).max() < 1e-3


def test_as_a_map_it_leads_into_the_picture_and_back():
    lens = Lens(MIDDLE, 1500.0, 0.03)
    points = np.array([(0.0, 0.0), (2250.0, 0.0), (1125.0, 1500.0), (300.0, 2900.0)])
    np.testing.assert_array_equal(lens.apply(points), lens.bent(points))
    np.testing.assert_allclose(lens.inverse().apply(lens.apply(points)), points, atol=1e-3)
    np.testing.assert_array_equal(lens.inverse().inverse().apply(points), lens.apply(points))


@pytest.mark.parametrize("bend", [-0.03, 0.03])
def test_a_sheet_seen_through_a_bending_lens_has_its_true_frame(bend):
    """A lens of .03 carries points of the sheet off by up to a centimetre; found again, they lie within .6 mm."""
    specimen = take(replace(BARREL, camera=replace(BARREL.camera, lens=bend)))
    paper = find_paper(read_photo(specimen.data, "bent.jpg", 1))
    assert any("the way a lens bends them" in r.text for r in paper.remarks)
    grid = np.array([(x, y) for x in (10.0, 60.0, 105.0, 160.0, 200.0) for y in (10.0, 80.0, 148.0, 220.0, 287.0)])
    found = paper.to_picture.inverse().apply(specimen.picture_points(grid)) * 210.0 / paper.size_px[0]
    assert np.abs(found - grid).max() < 0.6


def test_an_arc_is_followed_despite_what_lies_on_it():
    x = np.linspace(-1, 1, 160)
    y = 4.0 - 2.0 * x + 12.0 * x * x + np.random.default_rng(2).normal(0, 0.3, 160)
    y[40:80] += 30
    (a, b, c), seen = robust_arc(x, y, 1.5, 60.0)
    assert (a, b, c) == pytest.approx((4.0, -2.0, 12.0), abs=0.3)
    assert seen == pytest.approx(0.75, abs=0.03)
