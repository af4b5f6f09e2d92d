"""The free numbers of a contour's fit, and how the control points hang on them.

The unknowns stand in one vector x: the nodes (x, y of each), two handle lengths a piece (leaving, arriving),
then the free tangent angles.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.outlines.plan import CORNER, FREE, Plan

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """How the ends of the pieces get their tangents; arrays (m, 2) hold the leaving and the arriving end of each.

    angle: column of the free angle in x, or -1. along: the straight piece whose direction is taken, or -1.
    fixed: the direction in radians where neither. angle_from: the first column of the angles. unmoved: what of the
    derivatives (m, 4, 2, size) is the same for every x.
    """

    kind: Ints
    line: NDArray[np.bool_]
    angle: Ints
    along: Ints
    fixed: Floats
    angle_from: int
    size: int
    unmoved: Floats

    def start(self, points: Points, plan: Plan, tangents: NDArray[np.complex128], piece: Ints, t: Floats) -> Floats:
        """Where a fit begins: nodes on the edge, tangents from it, handles by Schneider's least squares."""
        m = len(plan.at)
        x = np.zeros(self.size)
        x[: 2 * m] = points[plan.at].reshape(-1)
        for j, end in zip(*np.nonzero(self.angle >= 0), strict=True):
            x[self.angle[j, end]] = _start_angle(points, plan, tangents, int(j), int(end))
        x[2 * m : 4 * m] = _start_lengths(self, x, points, piece, t)
        return x

    def again(self, control: Points) -> Floats:
        """Where a fit begins that goes on from the control points (m, 4, 2) of an earlier one."""
        m = len(control)
        x = np.zeros(self.size)
        x[: 2 * m] = control[:, 0].reshape(-1)
        handles = np.stack((control[:, 1] - control[:, 0], control[:, 3] - control[:, 2]), axis=1)
        free = self.angle >= 0
        x[self.angle[free]] = np.arctan2(handles[free][:, 1], handles[free][:, 0])
        x[2 * m : 4 * m] = np.hypot(handles[..., 0], handles[..., 1]).reshape(-1)
        return x


def _start_angle(points: Points, plan: Plan, tangents: NDArray[np.complex128], j: int, end: int) -> float:
    m, n = len(plan.at), len(points)
    node = (j + end) % m
    if plan.kind[node] != CORNER:
        return float(np.angle(tangents[plan.at[node]]))
    span = (plan.at[(j + 1) % m] - plan.at[j]) % n or n
    near, far = max(1, min(5, span // 4)), max(2, min(13, span // 2))
    k = plan.at[node] + (np.array([near, far]) if end == 0 else np.array([-far, -near]))
    d = points[k[1] % n] - points[k[0] % n]
    return float(np.arctan2(d[1], d[0]))


def _start_lengths(frame: Frame, x: Floats, points: Points, piece: Ints, t: Floats) -> Floats:
    """Handle lengths by least squares at fixed tangents and feet (P. Schneider, Graphics Gems, 1990)."""
    m = len(frame.kind)
    nodes = x[: 2 * m].reshape(m, 2)
    a, b = nodes, np.roll(nodes, -1, axis=0)
    theta = end_angles(frame, x)
    d1 = np.stack((np.cos(theta[:, 0]), np.sin(theta[:, 0])), 1)
    d2 = -np.stack((np.cos(theta[:, 1]), np.sin(theta[:, 1])), 1)
    u = 1.0 - t
    b1, b2 = 3 * u * u * t, 3 * u * t * t
    rest = points - ((u**3 + b1)[:, None] * a[piece] + (b2 + t**3)[:, None] * b[piece])
    c11, c22 = _totals(piece, b1 * b1, m), _totals(piece, b2 * b2, m)
    c12 = _totals(piece, b1 * b2, m) * (d1 * d2).sum(1)
    y1, y2 = _totals(piece, b1 * (rest * d1[piece]).sum(1), m), _totals(piece, b2 * (rest * d2[piece]).sum(1), m)
    chord = np.maximum(np.hypot(*(b - a).T), 1e-6)
    det = c11 * c22 - c12**2
    safe = np.where(det > 1e-9, det, 1.0)
    h1, h2 = (y1 * c22 - y2 * c12) / safe, (y2 * c11 - y1 * c12) / safe
    good = (det > 1e-9) & (np.minimum(h1, h2) > 0.1 * chord) & (np.maximum(h1, h2) < chord)
    return np.asarray(np.where(good, np.stack((h1, h2)), chord / 3.0).T.reshape(-1))


def _totals(piece: Ints, values: Floats, m: int) -> Floats:
    return np.asarray(np.bincount(piece, values, m))


def frame_of(plan: Plan) -> Frame:
    """Which tangents of a plan are free, shared, fixed, or along a line."""
    m = len(plan.at)
    angle, along, fixed = np.full((m, 2), -1), np.full((m, 2), -1), np.zeros((m, 2))
    column = 4 * m
    for node in range(m):
        before, after = (node - 1) % m, node
        ends = [(before, 1)] * (not plan.line[before]) + [(after, 0)] * (not plan.line[after])
        joins_line = plan.kind[node] != CORNER and (plan.line[before] or plan.line[after])
        for e in ends:
            if joins_line:
                along[e] = before if plan.line[before] else after
            elif plan.quarter[e] != FREE:
                fixed[e] = plan.quarter[e] * (np.pi / 2)
            else:
                angle[e] = column
                column += plan.kind[node] == CORNER
        column += plan.kind[node] != CORNER
    return Frame(plan.kind, plan.line, angle, along, fixed, 4 * m, column, _unmoved(plan.kind, plan.line, column))


def end_angles(frame: Frame, x: Floats) -> Floats:
    """Direction of travel at the leaving and the arriving end of each piece, radians; shape (m, 2)."""
    m = len(frame.kind)
    nodes = x[: 2 * m].reshape(m, 2)
    d = np.roll(nodes, -1, axis=0) - nodes
    lines = np.arctan2(d[:, 1], d[:, 0])
    return np.where(frame.angle >= 0, x[frame.angle], np.where(frame.along >= 0, lines[frame.along], frame.fixed))


def controls(frame: Frame, x: Floats) -> Points:
    """Control points of all pieces, lines with theirs at the thirds; shape (m, 4, 2)."""
    m = len(frame.kind)
    a = x[: 2 * m].reshape(m, 2)
    b = np.roll(a, -1, axis=0)
    theta, length = end_angles(frame, x), x[2 * m : 4 * m].reshape(m, 2)
    step = np.stack((np.cos(theta), np.sin(theta)), axis=2) * length[:, :, None]
    third = (b - a) / 3.0
    is_line = frame.line[:, None]
    p1, p2 = np.where(is_line, a + third, a + step[:, 0]), np.where(is_line, b - third, b - step[:, 1])
    return np.stack((a, p1, p2, b), axis=1)


def _unmoved(kind: Ints, line: NDArray[np.bool_], size: int) -> Floats:
    """What of the derivatives is the same for every x, (m, 4, 2, size): nodes, and the thirds of lines."""
    m = len(kind)
    j = np.zeros((m, 4, 2, size))
    piece = np.arange(m)
    after = (piece + 1) % m
    lines, curves = np.flatnonzero(line), np.flatnonzero(~line)
    for axis in (0, 1):
        j[piece, 0, axis, 2 * piece + axis] = 1.0
        j[piece, 3, axis, 2 * after + axis] = 1.0
        for k, share in ((1, 1 / 3), (2, 2 / 3)):
            j[lines, k, axis, 2 * lines + axis] += 1.0 - share
            j[lines, k, axis, 2 * after[lines] + axis] += share
        j[curves, 1, axis, 2 * curves + axis] += 1.0
        j[curves, 2, axis, 2 * after[curves] + axis] += 1.0
    return j


def jacobian(frame: Frame, x: Floats) -> Floats:
    """Derivatives of the control points by x; shape (m, 8, len(x)), rows x0 y0 x1 y1 x2 y2 x3 y3."""
    m = len(frame.kind)
    j = frame.unmoved.copy()
    curves = np.flatnonzero(~frame.line)
    theta, length = end_angles(frame, x), x[2 * m : 4 * m].reshape(m, 2)
    nodes = x[: 2 * m].reshape(m, 2)
    d = np.roll(nodes, -1, axis=0) - nodes
    size2 = np.maximum((d * d).sum(1), 1e-12)
    axes = np.arange(2)
    for end, k, sign in ((0, 1, 1.0), (1, 2, -1.0)):
        unit = sign * np.stack((np.cos(theta[:, end]), np.sin(theta[:, end])), 1)
        side = length[:, end, None] * np.stack((-unit[:, 1], unit[:, 0]), 1)
        free = np.flatnonzero((frame.angle[:, end] >= 0) & ~frame.line)
        held = np.flatnonzero((frame.along[:, end] >= 0) & ~frame.line)
        w = frame.along[held, end]
        j[curves[:, None], k, axes, 2 * m + 2 * curves[:, None] + end] += unit[curves]
        j[free[:, None], k, axes, frame.angle[free, end][:, None]] += side[free]
        for other, by in ((0, -d[w, 1]), (1, d[w, 0])):
            change = side[held] * (by / size2[w])[:, None]
            j[held[:, None], k, axes, (2 * ((w + 1) % m) + other)[:, None]] += change
            j[held[:, None], k, axes, (2 * w + other)[:, None]] -= change
    return j.reshape(m, 8, frame.size)
