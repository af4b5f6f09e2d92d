"""Pieces of contours as arrays of control points (m, 4, 2): places on them, parting, extremes, bounds of handles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.curves import extreme_parameters
from vectorize.geometry import Points
from vectorize.trade.outlines import EXTREME_DEPTH, HANDLE_LEAST, HANDLE_MOST, INFLECTION_BOW

Floats = NDArray[np.float64]

# Inflections nearer than this to an end, in parameter, lie at the end; a bow is looked for at so many places.
_AT_END, _PLACES = 1e-3, 17
# Two tangents meet where the sine of the angle between them is more than _ALIKE, and as shares of the chord beyond _NEAR
# from either end; a handle ends at _SHORT_OF of the way there, so that two never touch.
_ALIKE, _NEAR, _SHORT_OF = 1e-3, 0.02, 0.95
# However a handle lies, it is no shorter than this share of the chord; the shortest is this share of the longest at most.
_NO_SHORTER, _LOW_OF_HIGH = 0.04, 0.9


def evaluate(control: Points, piece: NDArray[np.int_], t: Floats) -> tuple[Points, Points, Points]:
    """Place, first and second derivative at parameter t of the given pieces; each (n, 2)."""
    # As x + iy, whose arrays numpy passes through in one go; coefficients of 1, t, t^2 and t^3.
    p0, p1, p2, p3 = np.ascontiguousarray(control, float).view(complex)[:, :, 0].T
    a, b, c, d = (k[piece] for k in (p0, 3 * (p1 - p0), 3 * (p2 - 2 * p1 + p0), p3 - 3 * p2 + 3 * p1 - p0))
    dt, ct = d * t, c + c
    place = ((dt + c) * t + b) * t + a
    first = (3 * dt + ct) * t + b
    second = 6 * dt + ct
    return _points(place), _points(first), _points(second)


def _points(z: NDArray[np.complex128]) -> Points:
    """(n, 2) of (n,) x + iy."""
    return z.view(float).reshape(-1, 2)


def split(control: Points, t: float) -> tuple[Points, Points]:
    """The two halves of a cubic (4, 2) at t (de Casteljau)."""
    a, b, c, d = control
    ab, bc, cd = a + t * (b - a), b + t * (c - b), c + t * (d - c)
    abc, bcd = ab + t * (bc - ab), bc + t * (cd - bc)
    e = abc + t * (bcd - abc)
    return np.stack((a, ab, abc, e)), np.stack((e, bcd, cd, d))


def interior_extremes(control: Points, line: NDArray[np.bool_]) -> list[tuple[int, float, int]]:
    """(piece, parameter, quarter of travel) of extremes inside cubics that stand out by EXTREME_DEPTH."""
    ts = extreme_parameters(control)
    inside = np.isfinite(ts) & ~line[None, :, None]
    found = []
    for r, j, axis in zip(*np.nonzero(inside), strict=True):
        t = float(ts[r, j, axis])
        place, slope, _ = evaluate(control, np.array([j]), np.array([t]))
        depth = min(abs(place[0, axis] - control[j, 0, axis]), abs(place[0, axis] - control[j, 3, axis]))
        if depth > EXTREME_DEPTH:
            other = slope[0, 1 - axis]
            found.append((int(j), t, (0 if other > 0 else 2) if axis == 1 else (1 if other > 0 else 3)))
    return sorted(set(found))


def inflections(control: Points) -> tuple[float, ...]:
    """Parameters inside a cubic (4, 2) at which its curvature changes its sign, rising; none, one or two."""
    a, b, c = np.diff(control, axis=0)
    ab, ac, bc = (u[0] * v[1] - u[1] * v[0] for u, v in ((a, b), (a, c), (b, c)))
    # Slope and second derivative in Bernstein form; their cross product, less a factor, is this quadratic.
    square, linear = ab - ac + bc, ac - 2 * ab
    under = linear * linear - 4 * square * ab
    if under <= 0.0:
        return ()
    q = -0.5 * (linear + np.copysign(np.sqrt(under), linear))
    ts = [over / by for over, by in ((q, square), (ab, q)) if abs(by) > abs(over)]
    return tuple(sorted(float(t) for t in ts if _AT_END < t < 1.0 - _AT_END))


def bow_beside(control: Points, end: int) -> float:
    """How far a cubic (4, 2) bows from its chord between an end (0 or 1) and the inflection next to it; left turns positive."""
    inside = inflections(control)
    near, far = (0.0, min(inside, default=1.0)) if end == 0 else (max(inside, default=0.0), 1.0)
    place = evaluate(control[None], np.zeros(_PLACES, int), np.linspace(near, far, _PLACES))[0]
    chord = place[-1] - place[0]
    away = ((place - place[0]) @ (chord[1], -chord[0])) / max(float(np.hypot(*chord)), 1e-12)
    return float(away[np.abs(away).argmax()])


def inflects_between(before: Points, after: Points) -> bool:
    """Whether two cubics (4, 2), x-heights, that meet smoothly bow to opposite sides there, by INFLECTION_BOW each."""
    a, b = bow_beside(before, 1), bow_beside(after, 0)
    return a * b < 0.0 and min(abs(a), abs(b)) > INFLECTION_BOW


def handle_bounds(control: Points) -> tuple[Floats, Floats]:
    """Shortest and longest handles of each piece, leaving and arriving; each (m, 2).

    Not shorter than HANDLE_LEAST of the chord seen along the handle; not longer than HANDLE_MOST of the chord, nor
    past the place where the two tangents meet.
    """
    a, b = control[:, 0], control[:, 3]
    chord = b - a
    length = np.maximum(np.hypot(*chord.T), 1e-9)
    units = []
    for end in (0, 1):
        d = control[:, 1] - a if end == 0 else b - control[:, 2]
        units.append(d / np.maximum(np.hypot(*d.T), 1e-12)[:, None])
    cross = units[0][:, 0] * units[1][:, 1] - units[0][:, 1] * units[1][:, 0]
    to_a = chord[:, 0] * units[1][:, 1] - chord[:, 1] * units[1][:, 0]
    to_b = units[0][:, 0] * chord[:, 1] - units[0][:, 1] * chord[:, 0]
    apart = np.abs(cross) > _ALIKE
    safe = np.where(apart, cross, 1.0)
    meet = np.stack((to_a / safe, to_b / safe), axis=1)
    ahead = apart & (meet > _NEAR * length[:, None]).all(axis=1)
    most = HANDLE_MOST * length[:, None]
    high = np.where(ahead[:, None], np.minimum(_SHORT_OF * meet, most), most)
    seen = np.stack([(u * chord).sum(1) for u in units], axis=1)
    low = np.minimum(np.maximum(HANDLE_LEAST * seen, _NO_SHORTER * length[:, None]), _LOW_OF_HIGH * high)
    return low, high
