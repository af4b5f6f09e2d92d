"""The closed edge of one patch of ink as evenly spaced points, with its direction and smoothing along it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points, frozen, signed_polygon_area
from vectorize.raster import ring_blurred, ring_slope

Turns = NDArray[np.float64]
Directions = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A closed edge, outer ones counter-clockwise, counters clockwise (y up).

    points: (n, 2) in x-heights, `step` apart along the edge, the first not repeated.
    """

    points: Points
    step: float

    def samples(self, length: float) -> int:
        """How many steps a length in x-heights is, at least one."""
        return max(1, round(length / self.step))

    @property
    def area(self) -> float:
        """Enclosed area in x-heights squared, negative for a counter."""
        return signed_polygon_area(self.points)


def smoothed(values: Points, sigma: float, step: float) -> Points:
    """Values along a ring (n,) or (n, k) under a Gaussian of `sigma` x-heights that runs round the ring."""
    if sigma <= 0.0:
        return np.asarray(values, float)
    return ring_blurred(values, sigma / step, truncate=3.0)


def directions(ring: Ring, sigma: float) -> Directions:
    """Unit tangents x + iy at the points of the ring, smoothed by `sigma` x-heights; shape (n,)."""
    z = as_complex(ring_slope(ring.points, max(sigma / ring.step, 0.5), truncate=3.0))
    return np.asarray(z / np.maximum(np.abs(z), 1e-12))


def turning(tangents: Directions) -> Turns:
    """Turn in radians from each point to the next, left positive; shape (n,)."""
    return np.asarray(np.angle(np.roll(tangents, -1) * np.conj(tangents)))


def heading(tangents: Directions) -> Turns:
    """Unwrapped direction in radians at each point and, last, at the first point again; shape (n + 1,)."""
    start = float(np.angle(tangents[0]))
    return np.concatenate(((start,), start + np.cumsum(turning(tangents))))


def as_complex(points: Points) -> NDArray[np.complex128]:
    """Points (..., 2) as x + iy."""
    return np.asarray(points[..., 0] + 1j * points[..., 1])


def best_line(points: Points) -> tuple[complex, complex]:
    """A place on the line nearest to points (n, 2) and its direction of length 1, both x + iy; either way round.

    The direction is half of the mean angle of the squares: squared, the points on both sides of the middle agree.
    """
    z = as_complex(points)
    middle = z.mean()
    return complex(middle), complex(np.exp(0.5j * np.angle(((z - middle) ** 2).sum())))


def resampled(points: Points, step: float) -> Ring:
    """A closed polyline as a ring of evenly spaced points, about `step` apart; at least eight of them."""
    closed = np.vstack((points, points[:1]))
    along = np.concatenate(((0.0,), np.cumsum(np.hypot(*np.diff(closed, axis=0).T))))
    n = max(8, round(float(along[-1]) / step))
    at = np.arange(n) * (along[-1] / n)
    even = np.column_stack([np.interp(at, along, closed[:, k]) for k in (0, 1)])
    return Ring(frozen(even), float(along[-1]) / n)
