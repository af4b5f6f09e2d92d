"""What the stages of an outline hand on to each other, by its meaning."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from tests.outlines.glyphs import inked, letter_ink
from vectorize.curves import Line
from vectorize.geometry import Affine
from vectorize.outlines.bevels import drawn_back
from vectorize.outlines.corners import Corners, find_corners
from vectorize.outlines.draw import draw_outline
from vectorize.outlines.edge import roughness, without_blur
from vectorize.outlines.frame import controls, frame_of, jacobian
from vectorize.outlines.plan import CORNER, EXTREME, FREE, SMOOTH, Plan, plan_nodes
from vectorize.outlines.polylines import crossing, holds
from vectorize.outlines.ring import Ring, best_line, directions, heading, resampled
from vectorize.outlines.straights import find_straights
from vectorize.outlines.trace import edges_of

STEP = 0.006


def blot(seed: int) -> list[Ring]:
    """The edges of a blot of any shape, .6 x-heights across."""
    field = gaussian_filter(np.random.default_rng(seed).normal(size=(120, 120)), 5)
    ink = (field > 0.3 * field.std()).astype(np.float32)
    return edges_of(ink, Affine(0.005, 0.0, 0.0, -0.005, 0.0, 0.0), 2.0, 0.06, STEP)


def broad_bowl(hump: float) -> np.ndarray:
    """A bowl of letter units with level sides a thousand long, each raised by so much where it is furthest out."""
    t = np.linspace(-np.pi / 2, np.pi / 2, 200)
    right = np.column_stack((500 + 500 * np.cos(t), 500 * np.sin(t)))
    x = np.linspace(500, -500, 301)
    top = np.column_stack((x, 500 + hump * np.exp(-((x / 150) ** 2))))
    return np.vstack((right, top, -right, -top))


@pytest.mark.parametrize("seed", [1, 2, 3, 20, 67, 104])
def test_a_mirrored_edge_has_the_mirrored_corners(seed: int):
    for ring in blot(seed):
        mirrored = Ring((ring.points * (-1.0, 1.0))[::-1], ring.step)
        found = len(ring.points) - 1 - find_corners(mirrored, 0.012).at[::-1]
        assert found.tolist() == find_corners(ring, 0.012).at.tolist()


@pytest.mark.parametrize("share", [0.0, 0.2, 0.375, 0.5, 0.8])
def test_a_straight_is_whole_wherever_the_ring_begins(share: float):
    points = resampled(broad_bowl(0.0) / 1000.0, STEP).points
    ring = Ring(np.roll(points, -round(share * len(points)), axis=0), STEP)
    found = find_straights(ring, np.zeros(0, int), 0.005, roughness(ring))
    ends = sorted((ring.points[s.start % len(points)][0], ring.points[s.end % len(points)][0]) for s in found)
    assert ends == [pytest.approx((-0.5, 0.5), abs=0.2), pytest.approx((0.5, -0.5), abs=0.2)]


@pytest.mark.parametrize("x_height_px", [200.0, 400.0, 600.0])
def test_both_level_sides_of_a_broad_bowl_are_one_line(x_height_px: float):
    cover, to_units = inked([broad_bowl(5.0)], x_height_px)
    (contour,) = draw_outline(letter_ink(cover), to_units, 0.85).contours
    assert sum(isinstance(s, Line) for s in contour.segments) == 2
    assert len(contour.segments) == 6


def test_the_tip_of_a_right_angle_draws_back_as_the_normal_distribution_says():
    # A right angle blurred by sigma: along its diagonal the coverage is the square of the normal distribution, which is
    # one half where each factor is .7071, at .5450 sigma in from both sides (tables of the normal distribution).
    assert drawn_back(np.array(np.pi / 2)) == pytest.approx(0.5450 * np.sqrt(2.0), abs=0.04)


def test_the_shift_that_a_blur_gives_a_round_edge_is_undone():
    # A disc blurred by sigma shrinks by sigma^2 / (2 r) to first order; drawn so, it has its radius again.
    radius, sigma = 0.25, 0.03
    t = np.linspace(0.0, 2.0 * np.pi, 300, endpoint=False)
    shrunk = (radius - sigma**2 / (2 * radius)) * np.column_stack((np.cos(t), np.sin(t)))
    none = Corners(np.zeros(0, int), np.zeros(0))
    edge = without_blur(resampled(shrunk, STEP), none, sigma)
    assert np.hypot(*edge.points.T) == pytest.approx(radius, abs=1e-4)


def test_the_best_line_is_that_of_the_greatest_spread():
    rng = np.random.default_rng(3)
    points = rng.normal(size=(200, 2)) * (3.0, 0.1) @ np.array([(0.8, 0.6), (-0.6, 0.8)]) + (5.0, 7.0)
    middle, way = best_line(points)
    _, _, axes = np.linalg.svd(points - points.mean(axis=0))
    assert (middle.real, middle.imag) == pytest.approx(tuple(points.mean(axis=0)))
    assert abs(way) == pytest.approx(1.0)
    assert abs(np.dot((way.real, way.imag), axes[0])) == pytest.approx(1.0)


def test_the_heading_of_a_ring_turns_once_round():
    t = np.linspace(0.0, 2.0 * np.pi, 200, endpoint=False)
    ring = resampled(np.column_stack((np.cos(t), np.sin(t))), 0.02)
    along = heading(directions(ring, 0.0))
    assert along[0] == pytest.approx(np.pi / 2, abs=0.02)
    assert along[-1] - along[0] == pytest.approx(2.0 * np.pi)
    assert ring.area == pytest.approx(np.pi, rel=1e-3)
    assert ring.step == pytest.approx(0.02, rel=0.01)


def test_the_derivatives_of_a_fit_agree_with_differences():
    quarter = np.array([(0, FREE), (FREE, FREE), (FREE, 3), (3, 0)])
    kind = np.array([EXTREME, CORNER, SMOOTH, EXTREME])
    line = np.array([False, True, False, False])
    frame = frame_of(Plan(np.array([0, 20, 40, 60]), kind, quarter, line, np.full(4, np.nan)))
    rng = np.random.default_rng(7)
    x = rng.normal(size=frame.size)
    by_differences = [
        (controls(frame, x + step) - controls(frame, x - step)).reshape(4, 8) / 2e-6
        for step in 1e-6 * np.eye(frame.size)
    ]
    assert np.allclose(jacobian(frame, x), np.stack(by_differences, axis=2), atol=1e-6)


def test_chords_that_cross_are_told_from_those_that_touch():
    square = np.array([(0, 0), (10, 0), (10, 10), (0, 10)], float)
    assert crossing([]) is None
    assert crossing([square]) is None
    assert crossing([square, square + np.array((10.0, 0.0))]) is None
    assert crossing([square, square + np.array((5.0, 5.0))]) is not None
    assert crossing([square[[0, 2, 1, 3]]]) is not None


def test_a_place_inside_a_ring_is_told_from_one_outside():
    bowl = np.array([(0, 0), (10, 0), (10, 10), (8, 10), (8, 2), (2, 2), (2, 10), (0, 10)], float)
    assert holds(bowl, (1.0, 5.0))
    assert holds(bowl, (5.0, 1.0))
    assert not holds(bowl, (5.0, 5.0))
    assert not holds(bowl, (-1.0, 5.0))


@pytest.mark.parametrize("corners", [[], [50]])
def test_a_ring_without_a_corner_or_with_one_gets_nodes_enough_for_a_fit(corners: list[int]):
    # By the headings handed in nothing turns, so that no extreme is seen either.
    t = np.linspace(0.0, 2.0 * np.pi, 150, endpoint=False)
    ring = resampled(np.column_stack((np.cos(t), np.sin(t))) * 0.1, STEP)
    level = np.zeros(len(ring.points) + 1)
    plan = plan_nodes(ring, Corners(np.array(corners, int), np.full(len(corners), 1.5)), (), level)
    assert len(plan.at) == 3
    assert (np.diff(plan.at) > len(ring.points) // 4).all()
    assert (plan.kind == CORNER).sum() == len(corners)
