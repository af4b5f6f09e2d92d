"""Points come in, the line that most of them lie on goes out; heads and feet, the level of a word that no drawn line tells.

Lines are fitted by iterated least squares with Huber's weights (Huber, Annals of Mathematical Statistics 35, 1964).
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

# Heights that differ by less than this share of the row crowd onto one level, or by less than so many px.
CROWDED, CROWDED_PX = 0.012, 0.5
# Feet nearer than this share of the row to where they crowd most stand on the line; so few of them tell no slope.
STANDS_ON, FEWEST_FEET = 0.05, 4
# Their heights are counted in so many steps at least; where all end in one row, over this extent.
FEWEST_BINS, LEAST_EXTENT_PX = 8, 1e-6
# No letter reaches further below its baseline than above it: lower edges above this share of the row's height, as of a
# T's arms, are no feet.
UPPER_HALF = 0.5

# Misfits beyond so many standard deviations count by their size instead of their square. Standard deviation of what is
# normally strewn to the median of its sizes.
HUBER_SIGMAS, SIGMA_OF_MEDIAN = 1.5, 1.4826
# A fit whose coefficients move by less than this is settled. Share of the mean weight that keeps a slope from running off.
SETTLED_PX, SINGULAR = 1e-5, 1e-12
# Smaller misfits are none.
NO_MISFIT = 1e-12


def huber_weights(misfit: NDArray[np.float64], sigma: float) -> NDArray[np.float64]:
    """Weights (n,) of the squares of misfits (n,) in a robust fit: 1 for those that a standard deviation `sigma` explains."""
    return np.asarray(np.minimum(1.0, HUBER_SIGMAS * sigma / np.maximum(np.abs(misfit), NO_MISFIT)))


def robust_sigma(misfit: NDArray[np.float64], least: float) -> float:
    """Standard deviation about nought of misfits (n,), n >= 1, their strays apart; no less than `least`."""
    return max(SIGMA_OF_MEDIAN * float(np.median(np.abs(misfit))), least)


def huber_fit(
    x: NDArray[np.float64], y: NDArray[np.float64], weight: NDArray[np.float64], degree: int, rounds: int = 12
) -> NDArray[np.float64]:
    """Polynomial coefficients (highest first, numpy order) of a robust fit; of a lower degree where so few points tell no more.

    x, y, weight: (n,), n >= 1.
    """
    degree = min(degree, max(0, len(np.unique(x)) - 1))
    middle, reach = float(x.mean()), max(float(np.ptp(x)) / 2.0, 1.0)
    powers = np.vander((x - middle) / reach, degree + 1)
    robust = np.ones_like(y)
    fit: NDArray[Any] = np.zeros(degree + 1)
    before = np.full(degree + 1, np.inf)
    for _ in range(rounds):
        weighed = powers * (weight * robust)[:, None]
        normal = weighed.T @ powers
        # Points nearly above each other tell no slope: the least one is taken.
        normal.flat[:: degree + 2] += max(SINGULAR * normal.trace(), np.finfo(float).tiny)
        fit = np.linalg.solve(normal, weighed.T @ y)
        if np.abs(fit - before).max() < SETTLED_PX:
            break
        before = fit
        off = np.abs(y - powers @ fit)
        robust = huber_weights(off, max(SIGMA_OF_MEDIAN * _median(off), 1e-6))
    return _unscaled(fit, middle, reach)


def _median(values: NDArray[np.float64]) -> float:
    """The median of some hundred values, the upper of two in the middle; numpy's own checks take longer than its work."""
    half = len(values) // 2
    return float(np.partition(values, half)[half])


def _unscaled(fit: NDArray[np.float64], middle: float, reach: float) -> NDArray[np.float64]:
    """Coefficients over x of a polynomial that is given over (x - middle) / reach."""
    plain = fit[:1]
    for c in fit[1:]:
        plain = np.convolve(plain, (1.0 / reach, -middle / reach))
        plain[-1] += c
    return np.asarray(plain)


def level_of(
    columns: NDArray[np.float64], heads: NDArray[np.float64], feet: NDArray[np.float64], row_px: float
) -> tuple[float, float]:
    """(slope px down per px, y at the middle column) of the line the feet stand on.

    columns, heads, feet: (n,) px, each inked column's x and its topmost and lowest ink; row_px: the row's height.
    The angle is the one at which heads and feet crowd most sharply onto levels; then a robust fit to the feet there.
    """
    middle = float((columns.min() + columns.max()) / 2)
    x = columns - middle
    bin_px = max(CROWDED * row_px, CROWDED_PX)

    def sharpness(slope: float) -> float:
        total = 0.0
        for values in (heads, feet):
            places = ((values - slope * x) / bin_px).astype(int)
            counts = np.bincount(places - places.min()).astype(float)
            total += float((np.convolve(counts, (0.5, 1.0, 0.5), "same") ** 2).sum())
        return total

    slopes = np.tan(np.deg2rad(np.arange(-10, 10.01, 0.1)))
    slope = float(max(slopes, key=sharpness))
    foot = feet - slope * x
    lowest, extent_px = float(foot.min()), max(float(np.ptp(foot)), LEAST_EXTENT_PX)
    bins = max(FEWEST_BINS, int(extent_px / bin_px))
    counts, edges = np.histogram(foot, bins, (lowest, lowest + extent_px))
    smooth = np.convolve(counts, np.ones(3), "same")
    smooth[edges[:-1] < np.quantile(heads - slope * x, 0.05) + UPPER_HALF * row_px] = 0.0
    centre = float(edges[int(smooth.argmax())] + (edges[1] - edges[0]) / 2)
    near = np.abs(foot - centre) < STANDS_ON * row_px
    if near.sum() < FEWEST_FEET:
        return slope, centre
    a, b = huber_fit(x[near], feet[near], np.ones(int(near.sum())), 1)
    return float(a), float(b)
