"""Cubics as arrays of control points, against svgpathtools and by what the words mean."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays
from svgpathtools import CubicBezier

from vectorize.outlines.pieces import evaluate, handle_bounds, interior_extremes, split

CONTROL = arrays.arrays(np.float64, (4, 2), elements=st.floats(-1, 1))


@given(CONTROL, st.floats(0, 1))
def test_places_and_derivatives_agree_with_svgpathtools(control: np.ndarray, t: float):
    theirs = CubicBezier(*(complex(*p) for p in control))
    found = evaluate(np.array([control]), np.array([0]), np.array([t]))
    for (mine,), other in zip(found, (theirs.point(t), theirs.derivative(t), theirs.derivative(t, 2)), strict=True):
        assert np.allclose(mine, (other.real, other.imag), atol=1e-9)


@given(CONTROL, st.floats(0, 1))
def test_a_curve_in_two_parts_is_the_same_curve(control: np.ndarray, t: float):
    u = np.linspace(0, 1, 9)
    parts = np.stack(split(control, t))
    for k, at in enumerate((u * t, t + u * (1 - t))):
        mine = evaluate(parts, np.full(9, k), u)[0]
        assert np.allclose(mine, evaluate(control[None], np.zeros(9, int), at)[0], atol=1e-12)


def test_extremes_are_told_with_the_quarter_in_which_the_curve_runs_there():
    # An arch from left to right is level at its top, a bowl from its top to its foot upright at its side.
    arch = np.array([(0, 0), (0, 1), (2, 1), (2, 0)], float)
    bowl = np.array([(0, 1), (-1, 1), (-1, 0), (0, 0)], float)
    both = np.stack((arch, bowl, arch))
    assert interior_extremes(both, np.array([False, False, True])) == [(0, 0.5, 0), (1, 0.5, 3)]
    assert interior_extremes(both[:, ::-1], np.array([False, False, True])) == [(0, 0.5, 2), (1, 0.5, 1)]
    # One that stands out by three quarters of a thousandth of the x-height is no shape.
    flat = arch * (1.0, 0.001)
    assert interior_extremes(flat[None], np.array([False])) == []


def test_no_handle_may_reach_the_place_where_both_meet():
    quarter = np.array([[(1, 0), (1, 0.5), (0.5, 1), (0, 1)]], float)
    low, high = handle_bounds(quarter)
    assert (high < 1.0).all()
    assert (high > 4 / 3 * (np.sqrt(2) - 1)).all()
    assert (low < 4 / 3 * (np.sqrt(2) - 1)).all()
    assert (low > 0.0).all()
