"""Maps of the plane: composition, inverses, sign of angles; boxes and areas."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.affinity import affine_transform
from shapely.algorithms.cga import signed_area
from shapely.geometry import LinearRing
from shapely.geometry import Point as ShapelyPoint

from vectorize.geometry import (
    Affine,
    Box,
    Chain,
    Homography,
    angle_deg,
    box_around,
    chained,
    frozen,
    signed_polygon_area,
)

number = st.floats(-100, 100)
affines = st.builds(Affine, number, number, number, number, number, number)


@given(affines, number, number)
def test_an_affine_map_agrees_with_shapely(a: Affine, x: float, y: float):
    theirs = affine_transform(ShapelyPoint(x, y), [a.xx, a.xy, a.yx, a.yy, a.dx, a.dy])
    assert a.point((x, y)) == pytest.approx((theirs.x, theirs.y), abs=1e-9)
    assert tuple(a.apply(np.array([(x, y)]))[0]) == pytest.approx((theirs.x, theirs.y), abs=1e-9)


@given(affines, affines, number, number)
def test_then_is_one_after_the_other(a: Affine, b: Affine, x: float, y: float):
    assert a.then(b).point((x, y)) == pytest.approx(b.point(a.point((x, y))), rel=1e-9, abs=1e-6)


@given(affines, number, number)
def test_the_inverse_leads_back(a: Affine, x: float, y: float):
    assume(abs(a.determinant) > 1.0)
    assert a.inverse().point(a.point((x, y))) == pytest.approx((x, y), abs=1e-5)


def test_a_flattening_map_has_no_inverse():
    with pytest.raises(ValueError, match="no inverse"):
        Affine(1, 2, 2, 4, 0, 0).inverse()


def test_a_homography_takes_a_square_to_a_quadrilateral_and_back():
    h = Homography(frozen(np.array([(1.1, 0.2, 5), (-0.1, 0.9, 7), (1e-3, -2e-3, 1)])))
    square = np.array([(0, 0), (100, 0), (100, 100), (0, 100)], float)
    assert np.allclose(h.inverse().apply(h.apply(square)), square)
    assert np.allclose(h.then(h.inverse()).apply(square), square)
    shift = Affine.shift(3, 4)
    assert np.allclose(Homography.from_affine(shift).apply(square), shift.apply(square))
    assert np.allclose(Homography.identity().apply(square), square)


@given(st.lists(st.tuples(number, number), min_size=1, max_size=20))
def test_a_box_holds_its_points(points: list[tuple[float, float]]):
    b = box_around(np.array(points))
    assert all(b.x0 <= x <= b.x1 and b.y0 <= y <= b.y1 for x, y in points)
    assert b.joined(b.moved(5)).width == pytest.approx(b.width + 5)
    assert b.grown(2).height == pytest.approx(b.height + 4)
    assert box_around(b.corners) == b


def test_angles_rise_to_the_right_whatever_the_order_of_the_ends():
    # Pixel rows count downwards: a right end with the smaller y is the higher one.
    assert angle_deg((0, 10), (10, 0)) == pytest.approx(45.0)
    assert angle_deg((10, 0), (0, 10)) == pytest.approx(45.0)
    assert angle_deg((0, 0), (10, 10)) == pytest.approx(-45.0)


def test_a_box_knows_its_measures():
    b = Box(1, 2, 4, 8)
    assert (b.width, b.height, b.centre) == (3, 6, (2.5, 5.0))


def test_frozen_arrays_refuse_changes():
    a = frozen(np.zeros(3))
    with pytest.raises(ValueError, match="read-only"):
        a[0] = 1


def test_maps_one_after_the_other_can_be_undone():
    turn = Homography.from_affine(Affine(0.8, -0.6, 0.6, 0.8, 5.0, 7.0))
    lean = Homography(frozen(np.array([(1.0, 0.2, 0.0), (0.0, 1.0, 0.0), (1e-3, 0.0, 1.0)])))
    points = np.array([(0, 0), (100, 0), (30, 60)], float)
    chain = Chain((turn, lean))
    assert np.allclose(chain.apply(points), lean.apply(turn.apply(points)))
    assert np.allclose(chain.inverse().apply(chain.apply(points)), points)
    # Homographies beside each other are one map; with another kind between them they stay apart.
    assert isinstance(chained(turn, lean), Homography)
    assert np.allclose(chained(turn, lean).apply(points), chain.apply(points))
    mixed = chained(turn, Affine.shift(3, 4), Chain((lean, turn)))
    assert isinstance(mixed, Chain)
    assert len(mixed.links) == 3
    assert np.allclose(mixed.apply(points), turn.apply(lean.apply(Affine.shift(3, 4).apply(turn.apply(points)))))


@given(st.lists(st.tuples(number, number), min_size=3, max_size=20))
def test_areas_of_polygons_agree_with_shapely(points: list[tuple[float, float]]):
    ring = np.array(points)
    assert signed_polygon_area(ring) == pytest.approx(signed_area(LinearRing(points)), abs=1e-6)


def test_a_polygon_counter_clockwise_with_y_up_has_a_positive_area():
    square = np.array([(0, 0), (2, 0), (2, 3), (0, 3)], float)
    assert signed_polygon_area(square) == 6.0
    assert signed_polygon_area(square[::-1]) == -6.0
