"""The least misfit against scipy.optimize and a published test problem."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from vectorize.reading.levenberg import least_misfit


def rosenbrock(p):
    return np.array([10.0 * (p[1] - p[0] ** 2), 1.0 - p[0]])


def test_rosenbrocks_valley():
    """H. Rosenbrock 1960, as in More, Garbow, Hillstrom 1981, problem 1: the least is at (1, 1)."""
    np.testing.assert_allclose(least_misfit(rosenbrock, np.array([-1.2, 1.0])), (1.0, 1.0), atol=1e-6)


@pytest.mark.parametrize(("robust", "loss"), [(False, "linear"), (True, "soft_l1")])
def test_a_decay_with_outliers_as_scipy_fits_it(robust, loss):
    t = np.linspace(0.0, 4.0, 40)
    seen = 3.0 * np.exp(-0.7 * t) + np.random.default_rng(3).normal(0.0, 0.01, len(t))
    seen[::9] += 2.0

    def misfit(p):
        return (p[0] * np.exp(-p[1] * t) - seen) / 0.05

    expected = least_squares(misfit, (1.0, 1.0), loss=loss, xtol=1e-12, ftol=1e-12).x
    np.testing.assert_allclose(least_misfit(misfit, np.array([1.0, 1.0]), robust=robust), expected, rtol=1e-4)
