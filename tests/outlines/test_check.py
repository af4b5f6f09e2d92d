"""The checker sees each fault it speaks of, and none where there is none."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from vectorize.curves import Contour, Cubic, Line, points_of, polygon, reversed_contour, transformed
from vectorize.geometry import Affine
from vectorize.outlines.check import faults
from vectorize.outlines.finish import started
from vectorize.outlines.pieces import evaluate, inflections, split

K = 4 / 3 * (math.sqrt(2) - 1)


def circle(radius: float, x: float = 0.0, y: float = 0.0) -> Contour:
    """Four cubics with nodes at the extremes, counter-clockwise."""
    k = K * radius
    e, n, w, s = (radius, 0.0), (0.0, radius), (-radius, 0.0), (0.0, -radius)
    quarters = (
        Cubic(e, (radius, k), (k, radius), n),
        Cubic(n, (-k, radius), (-radius, k), w),
        Cubic(w, (-radius, -k), (-k, -radius), s),
        Cubic(s, (k, -radius), (radius, -k), e),
    )
    return started(transformed(Contour(quarters), Affine.shift(x, y)))


def said(*contours: Contour) -> str:
    return " | ".join(faults(contours))


def test_a_circle_and_a_square_with_a_counter_have_no_faults():
    square = polygon([(-600, -600), (600, -600), (600, 600), (-600, 600)])
    assert faults([square, reversed_started(circle(400))]) == ()
    assert faults([circle(500)]) == ()
    assert faults([]) == ()


def reversed_started(contour: Contour) -> Contour:
    return started(reversed_contour(contour))


def test_a_turned_circle_lacks_its_extremes():
    turned = started(transformed(circle(500), Affine(0.8, -0.6, 0.6, 0.8, 0, 0)))
    assert said(turned).count("extreme without a node") == 4


def test_each_fault_is_told():
    assert "runs the wrong way" in said(reversed_started(circle(500)))
    assert "runs the wrong way" in said(circle(500), circle(200))
    round_ = circle(500)
    assert "does not start" in said(Contour(round_.segments[1:] + round_.segments[:1]))
    assert "no length" in said(polygon([(0, 0), (0, 0.001), (500, 0), (500, 500)]))
    assert "crosses itself" in said(started(polygon([(0, 0), (500, 500), (500, 0), (0, 400)])))
    assert "do not meet" in said(Contour((Line((0, 0), (5, 0)), Cubic((9, 9), (6, 9), (3, 6), (0, 0)))))


@pytest.mark.parametrize(("share", "fault"), [(0.05, "too short"), (1.2, "too long or crosses")])
def test_handles_out_of_bounds_are_told(share: float, fault: str):
    k = 500.0 * share
    quarter = Cubic((500, 0), (500, k), (k, 500), (0, 500))
    assert fault in said(started(Contour((quarter, Line((0, 500), (0, 0)), Line((0, 0), (500, 0))))))


def test_an_extreme_a_little_off_level_is_told():
    # The tangents at the top rise on one side and fall on the other, by half a degree each: a dent, not an extreme.
    top = (0.0, 500.0)
    dented = Contour(
        (
            Cubic((500, 0), (500, 270), (270, 497.5), top),
            Cubic(top, (-270, 497.5), (-500, 270), (-500, 0)),
            Line((-500, 0), (500, 0)),
        )
    )
    assert "not exactly level" in said(started(dented))


def test_a_node_that_is_neither_smooth_nor_a_corner_is_told():
    # On the right shoulder of a bowl, turned by three degrees: a designer has a corner there or none.
    k = math.radians(3.0)
    shoulder, along = (300.0, 400.0), (-0.8, 0.6)
    bent = (along[0] * math.cos(k) - along[1] * math.sin(k), along[0] * math.sin(k) + along[1] * math.cos(k))
    kinked = Contour(
        (
            Cubic((500, 0), (500, 160), (shoulder[0] - 100 * along[0], shoulder[1] - 100 * along[1]), shoulder),
            Cubic(shoulder, (shoulder[0] + 100 * bent[0], shoulder[1] + 100 * bent[1]), (100, 500), (0, 500)),
            Line((0, 500), (0, 0)),
            Line((0, 0), (500, 0)),
        )
    )
    assert "neither smooth nor a corner" in said(started(kinked))


def wave(*upper: Cubic) -> Contour:
    """A wavy edge from (1000, 400) to (0, 0) as the top of a closed shape with straight sides."""
    return started(
        Contour((*upper, Line((0, 0), (0, -500)), Line((0, -500), (1000, -500)), Line((1000, -500), (1000, 400))))
    )


def halves(cubic: Cubic, t: float) -> list[Cubic]:
    both = split(np.array(points_of(cubic), float), t)
    return [Cubic(*((float(x), float(y)) for x, y in half)) for half in both]


S_SHAPE = Cubic((1000, 400), (600, 400), (400, 0), (0, 0))


def test_an_s_with_its_middle_node_at_the_inflection_is_told_and_without_it_is_not():
    # The same curve, parted exactly where its curvature passes through nothing, and in one of its bends.
    assert faults([wave(S_SHAPE)]) == ()
    assert "has an inflection" in said(wave(*halves(S_SHAPE, 0.5)))
    assert "inflection" not in said(wave(*halves(S_SHAPE, 0.3)))


@pytest.mark.parametrize(("bow", "told"), [(0.5, False), (1.5, False), (3.0, True), (30.0, True)])
def test_only_a_bow_that_can_be_seen_makes_an_inflection(bow: float, told: bool):  # noqa: FBT001
    # A cubic whose inner control points lie d off its chord bows by three quarters of d. Here it turns to the right, then
    # the next one goes on in its direction and turns to the left.
    d = 4 / 3 * bow
    first = Cubic((1000, 400), (900, 400 - d), (800, 400 - d), (700, 400))
    second = Cubic((700, 400), (600, 400 + d), (100, 200), (0, 0))
    assert ("inflection" in said(wave(first, second))) is told
    straight = Cubic((1000, 400 - 3 * d), (900, 400 - 2 * d), (800, 400 - d), (700, 400))
    assert "inflection" not in said(wave(straight, second))


def test_a_straight_beside_a_curve_makes_no_inflection():
    assert "inflection" not in said(
        wave(S_SHAPE, Line((0, 0), (-300, 0)), Cubic((-300, 0), (-200, 0), (-100, 0), (0, 0)))
    )


@given(arrays.arrays(np.float64, (4, 2), elements=st.floats(-1, 1)))
def test_the_curvature_changes_its_sign_at_inflections_and_nowhere_else(control: np.ndarray):
    t = np.linspace(0.002, 0.998, 400)
    _, slope, second = evaluate(control[None], np.zeros(400, int), t)
    bend = slope[:, 0] * second[:, 1] - slope[:, 1] * second[:, 0]
    clear = np.abs(bend) > 1e-6
    changes = np.flatnonzero(np.diff(np.sign(bend[clear])))
    found = inflections(control)
    between = [(t[clear][k], t[clear][k + 1]) for k in changes]
    assert all(any(a <= x <= b for x in found) for a, b in between)
    assert len(between) <= len(found) <= 2
