"""Lines through points with outliers, and the level of a word by its heads and feet alone; all points are made here."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.reading.straight import huber_fit, huber_weights, level_of, robust_sigma

ALONG = np.linspace(40.0, 1460.0, 60)


@pytest.mark.parametrize("truth", [(0.02, 300.0), (-4e-5, 0.06, 280.0)])
def test_a_fifth_of_strays_does_not_move_the_line(truth: tuple[float, ...]) -> None:
    y = np.polyval(truth, ALONG)
    y[::5] += 60.0
    fit = huber_fit(ALONG, y, np.ones_like(ALONG), len(truth) - 1)
    assert np.abs(np.polyval(fit, ALONG) - np.polyval(truth, ALONG)).max() < 0.1


def test_what_weighs_nothing_is_not_asked() -> None:
    y, weight = 0.01 * ALONG + 200.0, np.ones_like(ALONG)
    y[:30], weight[:30] = 900.0, 0.0
    assert huber_fit(ALONG, y, weight, 1) == pytest.approx((0.01, 200.0))


def test_few_places_tell_no_bow_and_one_tells_no_slope() -> None:
    two, one = np.array([10.0, 10.0, 30.0]), np.array([10.0, 10.0])
    assert huber_fit(two, np.array([5.0, 5.0, 9.0]), np.ones(3), 2) == pytest.approx((0.2, 3.0))
    assert huber_fit(one, np.array([4.0, 6.0]), np.ones(2), 2) == pytest.approx((5.0,))


def test_weights_fall_with_the_size_of_what_is_not_explained() -> None:
    """P. Huber, Annals of Mathematical Statistics 35, 1964: squares up to a multiple of sigma, sizes beyond."""
    misfit = np.array([0.0, -1.0, 1.5, -3.0, 30.0])
    assert huber_weights(misfit, 1.0) == pytest.approx((1.0, 1.0, 1.0, 0.5, 0.05))
    assert huber_weights(2.0 * misfit, 2.0) == pytest.approx(huber_weights(misfit, 1.0))


def test_strays_hardly_widen_a_standard_deviation() -> None:
    misfit = np.random.default_rng(8).normal(0.0, 0.4, 2001)
    assert robust_sigma(misfit, 0.01) == pytest.approx(0.4, rel=0.05)
    misfit[:100] += 50.0
    assert robust_sigma(misfit, 0.01) == pytest.approx(0.4, rel=0.1)
    assert robust_sigma(np.zeros(3), 0.01) == 0.01


@pytest.mark.parametrize("deg", [-8.0, -0.5, 0.0, 3.0])
def test_a_word_is_levelled_by_the_feet_it_stands_on(deg: float) -> None:
    """Ten letters 70 px wide and 100 px high, one of them with a tail; the right end of the word is higher by `deg`."""
    x = np.arange(1000) + 0.5
    lettered = x % 100 < 70
    slope = -np.tan(np.deg2rad(deg))
    foot = 400.0 + slope * (x - 500.0)
    feet = np.where(x // 100 == 6, foot + 45.0, foot)[lettered]
    found, height = level_of(x[lettered], np.rint(foot - 100.0)[lettered], np.rint(feet), 100.0)
    assert np.rad2deg(np.arctan(-found)) == pytest.approx(deg, abs=0.02)
    middle = (x[lettered][0] + x[lettered][-1]) / 2.0
    assert height == pytest.approx(400.0 + slope * (middle - 500.0), abs=0.2)


def test_a_word_of_ts_stands_on_its_stems_not_on_its_arms() -> None:
    """Four of five columns end at the lower edge of an arm, a sixth of the height below the top."""
    x = np.arange(600) + 0.5
    feet = np.where(x % 100 // 10 == 4, 400.0, 320.0)
    assert level_of(x, np.full(600, 300.0), feet, 100.0) == pytest.approx((0.0, 400.0), abs=0.2)


@pytest.mark.parametrize("count", [2, 600])
def test_feet_that_all_end_in_one_row_are_level(count: int) -> None:
    """Drawn by a program or scanned dead level; what rounding leaves of their heights is no range to divide."""
    x = np.arange(count) + 0.5
    assert level_of(x, np.full(count, 300.0), np.full(count, 400.0), 100.0) == pytest.approx((0.0, 400.0), abs=1e-4)


def test_points_of_no_weight_tell_no_line() -> None:
    x = np.arange(5.0)
    assert np.isfinite(huber_fit(x, x, np.zeros(5), 1)).all()
