"""A traced edge and its corners come in, the edge as it was before the blur goes out, and what of it a fit may trust."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import frozen
from vectorize.outlines.bevels import drawn_back, wedge_slope
from vectorize.outlines.corners import Corners
from vectorize.outlines.fit import Samples
from vectorize.outlines.plan import CORNER, Plan
from vectorize.outlines.ring import Ring, directions, smoothed, turning

Floats = NDArray[np.float64]

FORM = 0.028
"""Smoothing in x-heights under which the edge shows its form, directions and curvature, and no longer its grain."""

# Roughness is the scatter of the edge about itself smoothed by _ROUGH (x-heights); 1.48 MAD is a Gaussian's sigma.
_ROUGH = 0.02
# An edge is not known better than this, x-heights: a quarter pixel at an x-height of 200 px.
_LEAST_SIGMA = 0.0012
# In sigmas of the blur: the reach of a corner's own rounding on a straight edge, where the blur is not undone;
# how much of a corner's arms it hides at least and at most, and at the share of the wedge's slope.
_ROUNDED, _HIDDEN, _HIDDEN_MOST, _HIDDEN_SLOPE = 3.0, 2.0, 6.0, 1.2
# A corner may lie beyond the edge by this many sigmas of the blur, or by this factor of what its wedge draws back,
# and by _BEYOND x-heights more. Its hidden part ends before this share of the way to the next node.
_CORNER_SIGMAS, _CORNER_FACTOR, _BEYOND, _MOST_HIDDEN = 2.6, 1.5, 0.008, 0.35


def roughness(ring: Ring) -> float:
    """Scatter of an edge about itself smoothed, x-heights."""
    off = np.hypot(*(ring.points - smoothed(ring.points, _ROUGH, ring.step)).T)
    return 1.48 * float(np.median(off))


def without_blur(ring: Ring, corners: Corners, blur: float) -> Ring:
    """The ring with the shift undone that a blur gives a curved edge: sigma^2 kappa / 2 towards the inside of the curve.

    Left alone near corners, where that first-order formula does not hold. blur: sigma in x-heights.
    """
    tangents = directions(ring, FORM)
    curvature = turning(tangents) / ring.step
    n = len(ring.points)
    if len(corners.at):
        away = np.abs((np.arange(n)[:, None] - corners.at + n // 2) % n - n // 2).min(axis=1)
        curvature = curvature * (away * ring.step > _ROUNDED * blur)
    outward = np.column_stack((tangents.imag, -tangents.real))
    return Ring(frozen(ring.points + outward * (0.5 * blur**2 * curvature)[:, None]), ring.step)


def samples_of(edge: Ring, corners: Corners, plan: Plan, blur: float, rough: float) -> Samples:
    """The points of an edge for a fit: none trusted where the blur has rounded a corner off."""
    n = len(edge.points)
    hidden, reach = np.zeros(n), np.full(n, _CORNER_SIGMAS * blur + _BEYOND)
    hidden[corners.at] = np.clip(_HIDDEN_SLOPE / wedge_slope(corners.turn), _HIDDEN, _HIDDEN_MOST) * blur
    reach[corners.at] = np.maximum(_CORNER_SIGMAS, _CORNER_FACTOR * drawn_back(corners.turn)) * blur + _BEYOND
    weight = np.ones(n)
    m = len(plan.at)
    for j in np.flatnonzero(plan.kind == CORNER):
        at = int(plan.at[j])
        for sign, other in ((1, plan.at[(j + 1) % m]), (-1, plan.at[j - 1])):
            gap = int(sign * (other - at)) % n or n
            cut = min(round(float(hidden[at]) / edge.step), int(_MOST_HIDDEN * gap))
            weight[(at + sign * np.arange(cut + 1)) % n] = 0.0
    sigma = max(rough, _LEAST_SIGMA)
    return Samples(edge.points, directions(edge, FORM), weight, sigma, edge.step, reach)
