"""What the stages of an outline hand on to each other, by its meaning."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from tests.outlines.glyphs import inked, letter_ink
from vectorize.curves import Line
from vectorize.geometry import Affine
from vectorize.outlines.corners import find_corners
from vectorize.outlines.draw import draw_outline
from vectorize.outlines.edge import roughness
from vectorize.outlines.ring import Ring, resampled
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
