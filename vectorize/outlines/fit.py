"""A plan of nodes and the edge it belongs to come in; the lines and cubics that follow the edge best go out.

One Gauss-Newton least-squares problem per contour over node places, handle lengths and free tangent angles: the
distance of every point of the edge from its foot on the curve, feet renewed each round (Hoschek 1988, intrinsic
parametrization), outliers weighed down after Huber. Tangents are level or upright at extremes, along the line at its
ends, and one shared angle at other smooth nodes.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.outlines.frame import Frame, controls, frame_of, jacobian
from vectorize.outlines.pieces import evaluate, handle_bounds
from vectorize.outlines.plan import CORNER, EXTREME, Plan

Floats = NDArray[np.float64]

# Rounds of a first fit: more of them bring the mean distance down no further. Each is damped by this share of
# the diagonal (Marquardt 1963), without which tangents at hidden corners swing to and fro.
ROUNDS, _DAMPING = 8, 0.06
# Standard deviations of the priors, in x-heights: where a corner lies, an extreme along its tangent, a join along its.
_CORNER_PLACE, _EXTREME_PLACE, _SMOOTH_PLACE, _ACROSS = 0.03, 0.05, 0.12, 0.03
# Handles: expected share of the chord and its standard deviation.
_SHARE, _SHARE_OFF = 0.40, 0.10
# Points of the edge that count as independent lie this far apart (x-heights).
_INDEPENDENT = 0.012
# A step of the fit may turn a free tangent by this much (radians) at most.
_TURN_STEP = 0.2
# ... and stretch or shorten a handle by this share of it.
_STRETCH = 0.4
# A foot moves by this parameter at most; where the second derivative by Newton falls under this share of the first's
# square, as far off on the inside of a bend, by Gauss and Newton without it.
_FOOT_STEP, _CONVEX = 0.25, 0.3
# A node that is no corner may slide this far from where it was planned, x-heights.
_SLIDE = 0.15
# Standard deviation of the ends of a piece about the angle it is held to, x-heights.
_HELD = 1e-6
# Standard deviation of a free tangent about the direction it begins with, radians.
_ANGLE_OFF = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """Pieces of one contour: control points (m, 4, 2) in x-heights, those of a line at its thirds; plan: which are lines.

    off: signed distance in x-heights of each sample from its foot, positive to the left; piece, t: the piece and the
    parameter of that foot.
    """

    control: Points
    plan: Plan
    off: Floats
    piece: NDArray[np.int_]
    t: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """The points a fit follows, `step` apart, with their unit tangents and weights; lengths in x-heights.

    weight: nought where the blur hides the edge. sigma: standard deviation of the points about the true edge.
    corner_reach: how far from each point a corner planned there may lie.
    """

    points: Points
    tangents: NDArray[np.complex128]
    weight: Floats
    sigma: float
    step: float
    corner_reach: Floats


def fit(plan: Plan, samples: Samples, *, control: Points | None = None, rounds: int = ROUNDS) -> Fitted:
    """The least-squares contour; goes on from `control` (m, 4, 2) where an earlier fit left off."""
    piece, t = _start_feet(plan, len(samples.points))
    frame = frame_of(plan)
    start = frame.start(samples.points, plan, samples.tangents, piece, t) if control is None else frame.again(control)
    x = start
    for _ in range(rounds):
        now = controls(frame, x)
        piece, t = feet(now, samples.points, piece, t, moves=2)
        x = _clamped(frame, _step(frame, x, start, now, samples, plan, piece, t), samples, plan)
    now = controls(frame, x)
    piece, t = feet(now, samples.points, piece, t, moves=2)
    return Fitted(now, plan, residuals(now, samples.points, piece, t)[0], piece, t)


def _start_feet(plan: Plan, n: int) -> tuple[NDArray[np.int_], Floats]:
    """Each sample's piece and its share of the way along it."""
    k = np.arange(n)
    piece = (np.searchsorted(plan.at, k, side="right") - 1) % len(plan.at)
    begin = plan.at[piece]
    length = (np.roll(plan.at, -1) - plan.at) % n
    length[length == 0] = n
    return piece, ((k - begin) % n) / length[piece]


def feet(
    control: Points, points: Points, piece: NDArray[np.int_], t: Floats, *, moves: int
) -> tuple[NDArray[np.int_], Floats]:
    """Renewed feet of points on the contour by Newton steps from the old ones; a foot may pass to the next piece."""
    m = len(control)
    for _ in range(moves):
        place, first, second = evaluate(control, piece, t)
        off = place - points
        slope = _dot(first, first)
        curve = slope + _dot(off, second)
        curve = np.where(curve > _CONVEX * slope, curve, slope)
        t = t - np.clip(_dot(off, first) / np.maximum(curve, 1e-12), -_FOOT_STEP, _FOOT_STEP)
    over, under = t > 1.0, t < 0.0
    piece = (piece + over - under) % m
    return piece, np.clip(t - over + under, 0.0, 1.0)


def residuals(control: Points, points: Points, piece: NDArray[np.int_], t: Floats) -> tuple[Floats, Points]:
    """Signed distances along the curve's normals, positive to the left, and those normals."""
    place, first, _ = evaluate(control, piece, t)
    normal = np.column_stack((-first[:, 1], first[:, 0])) / np.maximum(np.hypot(*first.T), 1e-12)[:, None]
    return _dot(points - place, normal), normal


def _dot(a: Points, b: Points) -> Floats:
    """Products of vectors (n, 2), row by row."""
    return np.asarray(a[:, 0] * b[:, 0] + a[:, 1] * b[:, 1])


def _step(
    frame: Frame,
    x: Floats,
    start: Floats,
    control: Points,
    samples: Samples,
    plan: Plan,
    piece: NDArray[np.int_],
    t: Floats,
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
    weighed = rows * weight[:, None]
    for k, (begin, end) in enumerate(pairwise(np.searchsorted(piece, np.arange(m + 1)).tolist())):
        hess[k] = weighed[begin:end].T @ rows[begin:end]
        grad[k] = off[begin:end] @ weighed[begin:end]
    j = jacobian(frame, x)
    flat = j.reshape(8 * m, -1)
    h = flat.T @ (hess @ j).reshape(8 * m, -1)
    g = flat.T @ grad.reshape(-1)
    _add_priors(frame, x, start, control, samples, plan, h, g)
    low, high = handle_bounds(control)
    lengths = x[2 * m : 4 * m].reshape(m, 2)
    pull = g[2 * m : 4 * m].reshape(m, 2)
    held = 2 * m + np.flatnonzero((((lengths <= low) & (pull < 0)) | ((lengths >= high) & (pull > 0))).reshape(-1))
    g[held] = 0.0
    h[held, held] += 1e12
    h[np.diag_indices_from(h)] *= 1.0 + _DAMPING
    _hold_angles(x, plan.angle, h, g)
    move = np.linalg.solve(h, g)
    return _limited(frame, x, np.asarray(move, float))


def _hold_angles(x: Floats, angles: Floats, h: Floats, g: Floats) -> None:
    """Adds to the normal equations that the ends of a piece lie along its angle, to _HELD."""
    m = len(angles)
    for j in np.flatnonzero(np.isfinite(angles)):
        a, b = 2 * j, 2 * ((j + 1) % m)
        columns = np.array((a, a + 1, b, b + 1))
        across = np.array((-np.sin(angles[j]), np.cos(angles[j])))
        row = np.concatenate((-across, across)) / _HELD
        h[np.ix_(columns, columns)] += np.outer(row, row)
        g[columns] -= row * (row @ x[columns])


def _limited(frame: Frame, x: Floats, move: Floats) -> Floats:
    """The unknowns after a step, no angle turned and no handle stretched by more than a round may."""
    m = len(frame.kind)
    move = move.copy()
    move[frame.angle_from :] = np.clip(move[frame.angle_from :], -_TURN_STEP, _TURN_STEP)
    handles = slice(2 * m, 4 * m)
    move[handles] = np.clip(move[handles], -_STRETCH * x[handles], _STRETCH * x[handles])
    return np.asarray(x + move)


def _add_priors(
    frame: Frame,
    x: Floats,
    start: Floats,
    control: Points,
    samples: Samples,
    plan: Plan,
    h: Floats,
    g: Floats,
) -> None:
    """Adds to the normal equations what is expected of nodes and handles, so that nothing runs away."""
    m = len(plan.at)
    place = x[: 2 * m].reshape(m, 2)
    home, sideways = samples.points[plan.at], samples.tangents[plan.at]
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
    h[free, free] += 1.0 / _ANGLE_OFF**2
    g[free] += (start[free] - x[free]) / _ANGLE_OFF**2


def _clamped(frame: Frame, x: Floats, samples: Samples, plan: Plan) -> Floats:
    """Nodes within their reach of the edge, handles within their bounds."""
    m = len(plan.at)
    x = x.copy()
    home = samples.points[plan.at]
    away = x[: 2 * m].reshape(m, 2) - home
    far = np.maximum(np.hypot(*away.T), 1e-12)
    limit = np.where(frame.kind == CORNER, samples.corner_reach[plan.at], _SLIDE)
    x[: 2 * m] = (home + away * np.minimum(1.0, limit / far)[:, None]).reshape(-1)
    low, high = handle_bounds(controls(frame, x))
    x[2 * m : 4 * m] = np.clip(x[2 * m : 4 * m], low.reshape(-1), high.reshape(-1))
    return x
