"""Labels kept apart, and hatching that stays inside its shape."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from shapely.geometry import LineString, Polygon

from vectorize.sheets.columns import spread
from vectorize.sheets.hatch import level_hatch, upright_hatch

centres = st.lists(st.floats(0.0, 100.0), min_size=1, max_size=14).map(sorted)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(centres, st.floats(0.1, 20.0))
def test_labels_keep_their_order_and_their_distance(wanted, width):
    at = spread(wanted, [width] * len(wanted))
    assert all(b - a >= width - 1e-9 for a, b in pairwise(at))


def test_labels_with_room_stay_where_they_want_to_stand():
    assert spread([0.0, 10.0, 30.0], [4.0, 4.0, 4.0]) == (0.0, 10.0, 30.0)
    assert spread([], []) == ()


def test_the_moves_are_the_smallest_that_do():
    # Against SciPy's SLSQP on the same least-squares problem.
    wanted, widths = np.array([0.0, 1.0, 1.5, 9.0]), np.array([2.0, 3.0, 2.0, 4.0])
    apart = [
        {"type": "ineq", "fun": lambda p, i=i: p[i + 1] - p[i] - (widths[i] + widths[i + 1]) / 2.0} for i in range(3)
    ]
    best = minimize(lambda p: ((p - wanted) ** 2).sum(), wanted, constraints=apart, method="SLSQP")
    assert spread(list(wanted), list(widths)) == pytest.approx(best.x, abs=1e-4)


@pytest.mark.parametrize("hatch", [level_hatch, upright_hatch])
def test_hatching_covers_the_shape_and_stays_inside(hatch):
    ring = [(0.0, 0.0), (10.0, 0.0), (6.0, 5.0), (10.0, 10.0), (0.0, 10.0), (3.0, 4.0)]
    shape = Polygon(ring)
    lines = hatch(ring, 0.1)
    assert all(shape.buffer(1e-9).covers(LineString(line)) for line in lines)
    # Strokes a tenth apart sum up to ten times the area (Cavalieri).
    assert sum(LineString(line).length for line in lines) * 0.1 == pytest.approx(shape.area, rel=0.01)
