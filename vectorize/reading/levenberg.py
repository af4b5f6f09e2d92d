"""A function from a few unknowns to misfits comes in; the unknowns that make the misfits least go out."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from vectorize.geometry import Points

STEPS = 100
SMALL = 1e-7
"""Step of the numerical slopes: about the root of the precision of a float."""
SETTLED = 1e-12
"""Share by which the sum of squares must still fall for another step."""


def least_misfit(misfit: Callable[[Points], Points], start: Points, *, robust: bool = False) -> Points:
    """Unknowns (n,) near `start` (n,) at which the squares of `misfit` (m,), m >= n, sum to least.

    D. Marquardt, An Algorithm for Least-Squares Estimation of Nonlinear Parameters, J. SIAM 11 (1963). robust: misfits
    far above 1 count by their size instead of their square, rho(z) = 2 (sqrt(1 + z) - 1) of the square z, by weights
    that are set anew at each step (B. Triggs et al., Bundle Adjustment - A Modern Synthesis, 2000, 4.3).
    """
    at = np.asarray(start, float)
    off = misfit(at)
    cost, damping = _cost(off, robust=robust), 1e-3
    for _ in range(STEPS):
        weight = (1.0 + off**2) ** -0.5 if robust else np.ones(len(off))
        slopes = np.stack([(misfit(at + SMALL * e) - off) / SMALL for e in np.eye(len(at))], axis=1)
        normal, pull = slopes.T @ (weight[:, None] * slopes), slopes.T @ (weight * off)
        there = at - np.linalg.solve(normal + damping * np.diag(np.diag(normal) + SETTLED), pull)
        off_there = misfit(there)
        cost_there = _cost(off_there, robust=robust)
        if cost_there > cost:
            damping *= 10.0
            if damping > 1.0 / SETTLED:
                break
            continue
        settled = cost - cost_there <= SETTLED * cost
        at, off, cost, damping = there, off_there, cost_there, damping / 10.0
        if settled:
            break
    return at


def _cost(off: Points, *, robust: bool) -> float:
    return float((2.0 * (np.sqrt(1.0 + off**2) - 1.0) if robust else off**2).sum())
