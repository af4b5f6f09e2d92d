"""The checker sees each fault it speaks of, and none where there is none."""

from __future__ import annotations

import math

import pytest

from vectorize.curves import Contour, Cubic, Line, polygon, reversed_contour, transformed
from vectorize.geometry import Affine
from vectorize.outlines.check import faults
from vectorize.outlines.finish import started

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
