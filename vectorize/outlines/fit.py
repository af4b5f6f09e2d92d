"""A plan of nodes and the edge it belongs to come in; the lines and cubics that follow the edge best go out.

One Gauss-Newton least-squares problem per contour over node places, handle lengths and free tangent angles: the
distance of every point of the edge from its foot on the curve, feet renewed each round (Hoschek 1988, intrinsic
parametrization), outliers weighed down after Huber. Tangents are level or upright at extremes, along the line at its
ends, and one shared angle at other smooth nodes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.outlines.frame import Frame, controls, frame_of, jacobian
from vectorize.outlines.plan import CORNER, EXTREME, Plan
from vectorize.trade.outlines import HANDLE_LEAST, HANDLE_MOST

Floats = NDArray[np.float64]

ROUNDS = 7
# Standard deviations of the priors, in x-heights: where a corner lies, an extreme along its tangent, a join along its.
_CORNER_PLACE, _EXTREME_PLACE, _SMOOTH_PLACE, _ACROSS = 0.03, 0.05, 0.12, 0.03
# Handles: expected share of the chord and its standard deviation.
_SHARE, _SHARE_OFF = 0.40, 0.10
# Points of the edge that count as independent lie this far apart (x-heights).
_INDEPENDENT = 0.012
# A step of the fit may turn a free tangent by this much (radians) at most.
_TURN_STEP = 0.35


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """Pieces of one contour: control points (m, 4, 2) in x-heights (of a line at its thirds), and which are lines.

    off: signed distance of each ring sample from its foot. piece: index of the piece it belongs to.
    """

    control: Points
    plan: Plan
    off: Floats
    piece: NDArray[np.int_]


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """The points a fit follows, their weights and standard deviation (x-heights)."""

    points: Points
    weight: Floats
    sigma: float
    step: float


def fit(plan: Plan, samples: Samples, tangents: NDArray[np.complex128], corner_reach: Floats) -> Fitted:
    """The least-squares contour.

    tangents: unit tangents at the samples. corner_reach: how far each node may move from the edge, x-heights.
    """
    n = len(samples.points)
    piece, t = _start_feet(plan, n)
    frame = frame_of(plan)
    x = frame.start(samples.points, plan, tangents, piece, t)
    home = samples.points[plan.at % n]
    sideways = tangents[plan.at % n]
    for k in range(ROUNDS):
        control = controls(frame, x)
        piece, t = feet(control, samples.points, piece, t, moves=2 if k else 3)
        x = _step(frame, x, control, samples, piece, t, home, sideways)
        x = _clamped(frame, x, home, corner_reach)
    control = controls(frame, x)
    piece, t = feet(control, samples.points, piece, t, moves=2)
    off = residuals(control, samples.points, piece, t)[0]
    return Fitted(control, plan, off, piece)


def _start_feet(plan: Plan, n: int) -> tuple[NDArray[np.int_], Floats]:
    """Each sample's piece and its share of the way along it."""
    k = np.arange(n)
    piece = (np.searchsorted(plan.at, k, side="right") - 1) % len(plan.at)
    begin = plan.at[piece]
    length = (np.roll(plan.at, -1) - plan.at) % n
    length[length == 0] = n
    return piece, ((k - begin) % n) / length[piece]


def evaluate(control: Points, piece: NDArray[np.int_], t: Floats) -> tuple[Points, Points, Points]:
    """Place, first and second derivative at parameter t of the given pieces; each (n, 2)."""
    p = control[piece]
    u, v = (1.0 - t)[:, None], t[:, None]
    a, b, c = p[:, 1] - p[:, 0], p[:, 2] - p[:, 1], p[:, 3] - p[:, 2]
    place = u**3 * p[:, 0] + 3 * u * u * v * p[:, 1] + 3 * u * v * v * p[:, 2] + v**3 * p[:, 3]
    return place, 3 * (u * u * a + 2 * u * v * b + v * v * c), 6 * (u * (b - a) + v * (c - b))


def feet(
    control: Points, points: Points, piece: NDArray[np.int_], t: Floats, *, moves: int
) -> tuple[NDArray[np.int_], Floats]:
    """Renewed feet of points on the contour by Newton steps from the old ones; a foot may pass to the next piece."""
    m = len(control)
    for _ in range(moves):
        place, first, second = evaluate(control, piece, t)
        off = place - points
        slope = (first * first).sum(1)
        curve = slope + (off * second).sum(1)
        curve = np.where(curve > 0.3 * slope, curve, slope)
        t = t - np.clip((off * first).sum(1) / np.maximum(curve, 1e-12), -0.25, 0.25)
    over, under = t > 1.0, t < 0.0
    piece = (piece + over - under) % m
    return piece, np.clip(t - over + under, 0.0, 1.0)


def residuals(control: Points, points: Points, piece: NDArray[np.int_], t: Floats) -> tuple[Floats, Points]:
    """Signed distances along the curve's normals, positive to the left, and those normals."""
    place, first, _ = evaluate(control, piece, t)
    normal = np.column_stack((-first[:, 1], first[:, 0])) / np.maximum(np.hypot(*first.T), 1e-12)[:, None]
    return ((points - place) * normal).sum(1), normal


def _step(
    frame: Frame,
    x: Floats,
    control: Points,
    samples: Samples,
    piece: NDArray[np.int_],
    t: Floats,
    home: Points,
    sideways: NDArray[np.complex128],
) -> Floats:
    off, normal = residuals(control, samples.points, piece, t)
    huber = np.minimum(1.0, 2.0 * samples.sigma / np.maximum(np.abs(off), 1e-12))
    weight = samples.weight * huber * (samples.step / _INDEPENDENT) / samples.sigma**2
    u = 1.0 - t
    bernstein = np.stack((u**3, 3 * u * u * t, 3 * u * t * t, t**3), axis=1)
    rows = (bernstein[:, :, None] * normal[:, None, :]).reshape(-1, 8)
    order = np.argsort(piece, kind="stable")
    rows, weight, off, piece = rows[order], weight[order], off[order], piece[order]
    m = len(control)
    hess, grad = np.zeros((m, 8, 8)), np.zeros((m, 8))
    first = np.flatnonzero(np.diff(piece, prepend=-1))
    hess[piece[first]] = np.add.reduceat((rows[:, :, None] * rows[:, None, :]) * weight[:, None, None], first)
    grad[piece[first]] = np.add.reduceat(rows * (weight * off)[:, None], first)
    j = jacobian(frame, x)
    flat = j.reshape(8 * m, -1)
    h = flat.T @ (hess @ j).reshape(8 * m, -1)
    g = flat.T @ grad.reshape(-1)
    _add_priors(frame, x, control, home, sideways, h, g)
    move = np.linalg.solve(h + 1e-9 * np.trace(h) / len(h) * np.eye(len(h)), g)
    angles = slice(frame.angle_from, None)
    move[angles] = np.clip(move[angles], -_TURN_STEP, _TURN_STEP)
    return np.asarray(x + move)


def _add_priors(
    frame: Frame, x: Floats, control: Points, home: Points, sideways: NDArray[np.complex128], h: Floats, g: Floats
) -> None:
    """Adds to the normal equations what is expected of nodes and handles, so that nothing runs away."""
    m = len(home)
    place = x[: 2 * m].reshape(m, 2)
    tang = np.column_stack((sideways.real, sideways.imag))
    along = np.where(
        frame.kind == CORNER, _CORNER_PLACE, np.where(frame.kind == EXTREME, _EXTREME_PLACE, _SMOOTH_PLACE)
    )
    across = np.where(frame.kind == CORNER, _CORNER_PLACE, _ACROSS)
    w = tang[:, :, None] * tang[:, None, :] / along[:, None, None] ** 2
    w += (np.eye(2) - tang[:, :, None] * tang[:, None, :]) / across[:, None, None] ** 2
    pull = np.einsum("kij,kj->ki", w, home - place)
    for i in range(2):
        g[i : 2 * m : 2] += pull[:, i]
        for k in range(2):
            h[np.arange(i, 2 * m, 2), np.arange(k, 2 * m, 2)] += w[:, i, k]
    lengths = slice(2 * m, 4 * m)
    chord = np.repeat(np.maximum(np.hypot(*(control[:, 3] - control[:, 0]).T), 1e-4), 2)
    strength = 1.0 / (_SHARE_OFF * chord) ** 2
    h[np.arange(2 * m, 4 * m), np.arange(2 * m, 4 * m)] += strength
    g[lengths] += strength * (_SHARE * chord - x[lengths])
    free = np.arange(frame.angle_from, len(x))
    h[free, free] += 1e-3


def _clamped(frame: Frame, x: Floats, home: Points, reach: Floats) -> Floats:
    """Nodes within their reach of the edge, handles within their share of the chord."""
    m = len(home)
    x = x.copy()
    place = x[: 2 * m].reshape(m, 2)
    away = place - home
    far = np.hypot(*away.T)
    limit = np.where(frame.kind == CORNER, reach, np.maximum(reach, 0.15))
    x[: 2 * m] = (home + away * np.minimum(1.0, limit / np.maximum(far, 1e-12))[:, None]).reshape(-1)
    control = controls(frame, x)
    chord = control[:, 3] - control[:, 0]
    length = np.hypot(*chord.T)
    for end in (0, 1):
        handle = (control[:, 1] - control[:, 0]) if end == 0 else (control[:, 3] - control[:, 2])
        size = np.maximum(np.hypot(*handle.T), 1e-12)
        along = np.maximum((handle * chord).sum(1) / size, 0.12 * length)
        low, high = (HANDLE_LEAST + 0.005) * along, (HANDLE_MOST - 0.005) * along
        x[2 * m + end : 4 * m : 2] = np.clip(x[2 * m + end : 4 * m : 2], low, high)
    return x
