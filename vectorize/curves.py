"""Closed contours of straight lines and cubic Beziers, and what can be asked of them.

A contour runs through its segments in order; each segment starts where the one before it ended and the
last ends where the first began. Areas come from Green's theorem in closed form,
flattening from Wang's bound on the second differences.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Affine, Box, Point, Points


@dataclass(frozen=True, slots=True)
class Line:
    """A straight segment."""

    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Cubic:
    """A cubic Bezier segment: start, the handle leaving it, the handle arriving at the end, end."""

    start: Point
    leaving: Point
    arriving: Point
    end: Point


Segment: TypeAlias = Line | Cubic


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed path; `segments` is never empty. Outer contours run counter-clockwise in a y-up frame,
    counters clockwise."""

    segments: tuple[Segment, ...]

    @property
    def nodes(self) -> tuple[Point, ...]:
        """The on-curve points, the closing point once."""
        return tuple(s.start for s in self.segments)


def points_of(segment: Segment) -> tuple[Point, ...]:
    """The two or four control points of a segment."""
    if isinstance(segment, Line):
        return segment.start, segment.end
    return segment.start, segment.leaving, segment.arriving, segment.end


def polygon(points: Iterable[Point]) -> Contour:
    """A closed contour of straight lines through at least two points."""
    ring = [(float(x), float(y)) for x, y in points]
    return Contour(tuple(Line(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)))


def transformed(contour: Contour, affine: Affine) -> Contour:
    """The contour mapped by an affine map."""
    at = affine.point
    return Contour(
        tuple(
            Line(at(s.start), at(s.end))
            if isinstance(s, Line)
            else Cubic(at(s.start), at(s.leaving), at(s.arriving), at(s.end))
            for s in contour.segments
        )
    )


def moved(contour: Contour, dx: float, dy: float = 0.0) -> Contour:
    """The contour moved by (dx, dy)."""
    return transformed(contour, Affine.shift(dx, dy))


def reversed_contour(contour: Contour) -> Contour:
    """The same path run the other way round."""
    return Contour(tuple(type(s)(*points_of(s)[::-1]) for s in reversed(contour.segments)))


def evaluate(segment: Segment, t: Points) -> Points:
    """Points at parameters `t` (shape (n,), 0 to 1) of a segment; shape (n, 2)."""
    t = np.asarray(t, float)[:, None]
    p = [np.array(q) for q in points_of(segment)]
    u = 1.0 - t
    weights = (u, t) if len(p) == 2 else (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
    return np.asarray(sum(w * q for w, q in zip(weights, p, strict=True)))


def fewer(polyline: Points, tolerance: float) -> Points:
    """Those points of an open or closed polyline (n, 2) that it stays within `tolerance` of: Douglas and Peucker, The
    Canadian Cartographer 10, 1973. Both ends are kept; a closed one has its first point at its end again.
    """
    kept = np.zeros(len(polyline), bool)
    kept[[0, -1]] = True
    # Not by recursion: the teeth of a comb, all of one height, are parted off one by one.
    stretches = [(0, len(polyline) - 1)]
    while stretches:
        first, last = stretches.pop()
        off = _off_chord(polyline[first : last + 1])
        k = int(off.argmax())
        if off[k] > tolerance:
            kept[first + k] = True
            stretches += [(first, first + k), (first + k, last)]
    return polyline[kept]


def _off_chord(polyline: Points) -> NDArray[np.float64]:
    """Distance of each point from the line through both ends, from the ends where they are one."""
    p, q = polyline[0], polyline[-1]
    length = math.dist(p, q)
    apart = polyline - p
    if length > 0.0:
        return np.asarray(np.abs(apart[:, 0] * (q[1] - p[1]) - apart[:, 1] * (q[0] - p[0])) / length)
    return np.asarray(np.hypot(apart[:, 0], apart[:, 1]))


def _pieces(segment: Segment, accuracy: float) -> int:
    """How many chords keep within `accuracy` (Wang's bound: L = max second difference, n = sqrt(6 L / 8 eps))."""
    if isinstance(segment, Line):
        return 1
    p = np.array(points_of(segment))
    bend = float(np.hypot(*np.diff(p, 2, axis=0).T).max())
    return max(1, math.ceil(math.sqrt(6.0 * bend / (8.0 * accuracy))))


def flatten(contour: Contour, accuracy: float) -> Points:
    """A closed polyline within `accuracy` of the contour, the first point not repeated; shape (n, 2)."""
    parts = []
    for s in contour.segments:
        n = _pieces(s, accuracy)
        parts.append(evaluate(s, np.arange(n) / n))
    return np.concatenate(parts)


def box(contours: Iterable[Contour]) -> Box:
    """The exact box around contours, curves' extremes included; at least one contour."""
    segments = [s for c in contours for s in c.segments]
    (x0, x1), (y0, y1) = ((min(lows), max(highs)) for lows, highs in (_spans(segments, axis) for axis in (0, 1)))
    return Box(x0, y0, x1, y1)


def _spans(segments: Iterable[Segment], axis: int) -> tuple[list[float], list[float]]:
    """Least and greatest coordinate of each segment along one axis."""
    lows, highs = [], []
    for s in segments:
        values = [float(s.start[axis]), float(s.end[axis])]
        low, high = min(values), max(values)
        # A curve stays within its control points: only a handle that sticks out can push it beyond its ends.
        if isinstance(s, Cubic) and not (low <= s.leaving[axis] <= high and low <= s.arriving[axis] <= high):
            t = extreme_parameters(np.array([points_of(s)]))[:, 0, axis]
            values += evaluate(s, t[np.isfinite(t)])[:, axis].tolist()
        lows.append(min(values))
        highs.append(max(values))
    return lows, highs


def extreme_parameters(cubics: Points) -> Points:
    """Parameters inside cubics (m, 4, 2) at which they are upright, x being extreme, or level, y being extreme.

    Shape (2, m, 2), the last axis that of x and y: each has two at most, NaN for those it has not.
    """
    p0, p1, p2, p3 = cubics.transpose(1, 0, 2)
    a, b, c = p3 - 3 * p2 + 3 * p1 - p0, 2 * (p2 - 2 * p1 + p0), p1 - p0
    with np.errstate(all="ignore"):
        # Both roots without cancellation: Press and others, Numerical Recipes, 5.6. One that is not there is no number
        # or lies far outside.
        q = -0.5 * (b + np.copysign(np.sqrt(b * b - 4 * a * c), b))
        t = np.stack((q / a, c / q))
    return np.where((t > 0.0) & (t < 1.0), t, np.nan)


def signed_area(contour: Contour) -> float:
    """Exact enclosed area; positive when the contour runs counter-clockwise in a y-up frame."""
    total = 0.0
    for s in contour.segments:
        p = points_of(s)
        if len(p) == 2:
            total += 0.5 * _cross(p[0], p[1])
        else:
            a, b, c, d = p
            total += (
                6 * _cross(a, b)
                + 3 * _cross(a, c)
                + _cross(a, d)
                + 3 * _cross(b, c)
                + 3 * _cross(b, d)
                + 6 * _cross(c, d)
            ) / 20.0
    return total


def _cross(p: Point, q: Point) -> float:
    return p[0] * q[1] - p[1] * q[0]
