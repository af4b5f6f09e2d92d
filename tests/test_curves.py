"""Cubic Beziers against the literature and against fontTools, shapely and svgpathtools."""

from __future__ import annotations

import math

import numpy as np
import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.statisticsPen import StatisticsPen
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from skimage.measure import approximate_polygon
from svgpathtools import CubicBezier

from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import (
    Contour,
    Cubic,
    Line,
    box,
    evaluate,
    extreme_parameters,
    fewer,
    flatten,
    moved,
    points_of,
    polygon,
    reversed_contour,
    signed_area,
)

point = st.tuples(st.floats(-1000, 1000), st.floats(-1000, 1000))
cubics = st.builds(Cubic, point, point, point, point)


def glyph() -> tuple[Contour, ...]:
    return outline_word(font_path("lora"), "g", 500)[0].contours


def onto(pen: AreaPen | StatisticsPen, contours: tuple[Contour, ...]) -> None:
    for c in contours:
        pen.moveTo(c.segments[0].start)
        for s in c.segments:
            pen.lineTo(s.end) if isinstance(s, Line) else pen.curveTo(*points_of(s)[1:])
        pen.closePath()


def test_a_circle_in_four_cubics_is_off_by_the_published_error():
    # Dokken, Daehlen, Lyche, Morken, Good approximation of circles by curvature-continuous Bezier curves, CAGD 7 (1990):
    # the usual handle 4/3 (sqrt 2 - 1) errs by 2.73e-4 of the radius.
    k = 4 / 3 * (math.sqrt(2) - 1)
    quarter = Cubic((1.0, 0.0), (1.0, k), (k, 1.0), (0.0, 1.0))
    off = np.hypot(*evaluate(quarter, np.linspace(0, 1, 4001)).T) - 1.0
    assert off.max() == pytest.approx(2.73e-4, rel=0.002)
    assert off.min() > -1e-12


def test_areas_agree_with_fonttools_and_shapely():
    pen = AreaPen()
    onto(pen, glyph())
    mine = sum(signed_area(c) for c in glyph())
    assert mine == pytest.approx(pen.value, rel=1e-9)
    assert abs(signed_area(glyph()[0])) == pytest.approx(Polygon(flatten(glyph()[0], 0.01)).area, rel=1e-4)


def test_centroids_of_flattened_contours_agree_with_fonttools():
    pen = StatisticsPen()
    onto(pen, glyph()[:1])
    centre = Polygon(flatten(glyph()[0], 0.01)).centroid
    assert (centre.x, centre.y) == pytest.approx((pen.meanX, pen.meanY), abs=0.05)


@given(cubics, st.floats(0, 1))
def test_places_agree_with_svgpathtools(cubic: Cubic, t: float):
    theirs = CubicBezier(*(complex(*p) for p in points_of(cubic))).point(t)
    assert complex(*evaluate(cubic, np.array([t]))[0]) == pytest.approx(theirs, abs=1e-6)


@given(cubics)
def test_boxes_hold_the_curve_and_touch_it(cubic: Cubic):
    closed = Contour((cubic, Line(cubic.end, cubic.start)))
    b = box([closed])
    p = evaluate(cubic, np.linspace(0, 1, 400))
    assert (p.min(0) >= np.array([b.x0, b.y0]) - 1e-6).all()
    assert (p.max(0) <= np.array([b.x1, b.y1]) + 1e-6).all()
    assert np.allclose(p.min(0), (b.x0, b.y0), atol=0.1)


@given(st.lists(cubics, min_size=1, max_size=3))
def test_extremes_are_upright_and_level(several: list[Cubic]):
    found = extreme_parameters(np.array([points_of(c) for c in several]))
    for k, cubic in enumerate(several):
        curve = CubicBezier(*(complex(*p) for p in points_of(cubic)))
        for t in found[:, k, 0][np.isfinite(found[:, k, 0])]:
            assert abs(curve.derivative(t).real) < 1e-3
        for t in found[:, k, 1][np.isfinite(found[:, k, 1])]:
            assert abs(curve.derivative(t).imag) < 1e-3


def test_a_curve_without_extremes_has_none_and_an_s_two_of_each():
    arch = [(0, 0), (0, 1), (1, 2), (2, 2)]
    s_shape = [(0, 0), (3, 3), (-2, -2), (1, 1)]
    found = extreme_parameters(np.array([arch, s_shape], float))
    assert np.isnan(found[:, 0]).all()
    # Both derivatives are 3 (16 t^2 - 16 t + 3), which is nothing at a quarter and at three quarters.
    assert np.allclose(np.sort(found[:, 1], axis=0), [[0.25, 0.25], [0.75, 0.75]])


@settings(max_examples=30)
@given(cubics, st.sampled_from([0.1, 1.0, 5.0]))
def test_flattening_keeps_its_promise(cubic: Cubic, accuracy: float):
    closed = Contour((cubic, Line(cubic.end, cubic.start)))
    chords = flatten(closed, accuracy)
    a, d = chords, np.roll(chords, -1, axis=0) - chords
    p = evaluate(cubic, np.linspace(0, 1, 200))
    along = np.clip(((p[:, None] - a) * d).sum(2) / np.maximum((d * d).sum(1), 1e-12), 0, 1)
    away = np.hypot(*np.moveaxis(p[:, None] - a - along[..., None] * d, 2, 0)).min(axis=1)
    assert away.max() <= accuracy + 1e-9


def test_moving_and_reversing():
    c = polygon([(0, 0), (10, 0), (10, 5), (0, 5)])
    assert signed_area(c) == 50.0
    assert signed_area(reversed_contour(c)) == -50.0
    assert signed_area(moved(c, 1e3, -7)) == pytest.approx(50.0)
    assert moved(c, 3).nodes[0] == (3.0, 0.0)


@given(st.integers(3, 60), st.booleans(), st.integers(0, 1000))
def test_fewer_points_are_those_that_scikit_image_keeps(count: int, closed: bool, seed: int):  # noqa: FBT001
    rng = np.random.default_rng(seed)
    line = np.cumsum(rng.normal(size=(count, 2)), axis=0) + np.arange(count)[:, None] * (4.0, 0.0)
    if closed:
        line = np.vstack((line, line[:1]))
    assert np.array_equal(fewer(line, 0.7), approximate_polygon(line, 0.7))


def test_fewer_points_of_a_comb_of_any_length():
    # Teeth of one height are parted off one by one, thousands deep.
    comb = np.column_stack((np.arange(4001.0), 10.0 * (np.arange(4001) % 2)))
    assert np.array_equal(fewer(comb, 0.7), comb)
