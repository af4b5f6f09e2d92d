"""A fitted contour comes in; the same with nodes added where the edge or the trade asks for them goes out.

A curve that leaves the edge by more than a tremor is parted; an extreme inside a curve gets a node of its own, or,
close to the curve's end, becomes that end's tangent; a straight that the edge does not bear out becomes a curve.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.outlines.fit import Fitted, Samples, fit
from vectorize.outlines.pieces import evaluate, interior_extremes, split
from vectorize.outlines.plan import CORNER, EXTREME, FREE, SMOOTH, Plan
from vectorize.outlines.ring import smoothed, turning
from vectorize.trade.outlines import TREMOR_DEPTH, TREMOR_LENGTH

# Rounds of amending, and of fitting after each.
_PASSES, _ROUNDS = 3, 4
# An extreme nearer than this to a corner or a free node (x-heights) is taken as that end's tangent.
_AT_END = 0.035
# A corner at which the fit turns by less than this many degrees was none.
_BLUNT_DEG = 12.0
# Parameters nearer than this to an end, or samples nearer than this to a node, part no piece.
_T_MARGIN, _SAMPLE_MARGIN = 0.02, 3
# A curve shorter than this between a corner and a smooth node is a stub (x-heights).
_STUB = 0.035
# A curve is parted in the middle of its turning, within these parameters.
_MIDDLE = (0.25, 0.75)
# Handles grow with the curve when two are made one, by this factor at most: the fit goes on from there.
_GROW_MOST = 3.0
# A node is looked for this many samples to either side of where it was planned.
_WANDER = 25


def tidied(fitted: Fitted, samples: Samples) -> Fitted:
    """The contour after at most a few rounds of amending and fitting again."""
    for _ in range(_PASSES):
        amended = _amended(fitted, samples)
        if amended is None:
            return fitted
        plan, control = amended
        fitted = fit(plan, samples, control=control, rounds=_ROUNDS)
    return fitted


def _amended(fitted: Fitted, samples: Samples) -> tuple[Plan, Points] | None:
    """The plan and control points with what has to change, None where nothing has."""
    plan, control = fitted.plan, fitted.control
    line, kind, quarter = plan.line.copy(), plan.kind.copy(), plan.quarter.copy()
    worst = worst_of(fitted, samples)
    bent = line & (_scatter(fitted, samples) > TREMOR_DEPTH)
    line[bent] = False
    changed = bool(bent.any()) | _made_smooth(control, kind, quarter, line)
    parts: list[tuple[int, float, int]] = []
    for j, t, q in interior_extremes(control, line):
        end = _held_end(control[j], kind, line, j, t)
        if end is None:
            parts.append((j, t, q))
        elif quarter[j, end] == FREE:
            _hold(kind, quarter, j, end, q)
            changed = True
    taken = {j for j, _, _ in parts}
    for far in np.flatnonzero(~line & (worst > TREMOR_DEPTH)):
        middle = None if int(far) in taken else _middle_of_turning(fitted, samples, int(far))
        if middle is not None:
            parts.append((int(far), middle, FREE))
    amended = Plan(anchored(fitted, samples), kind, quarter, line, np.where(line, plan.angle, np.nan))
    last, left = -1, 1.0
    for j, t, q in sorted(parts, reverse=True):
        left = left if j == last else 1.0
        done = parted(amended, control, fitted, j, t, left, q)
        if done is not None:
            amended, control = done
            last, left = j, t
            changed = True
    amended, control = _without_stubs(amended, control)
    return (amended, control) if changed or len(amended.at) < len(plan.at) else None


def _made_smooth(control: Points, kind: NDArray[np.int_], quarter: NDArray[np.int_], line: NDArray[np.bool_]) -> bool:
    """Makes corners smooth at which the fit hardly turns; True where there were any."""
    into, out = np.roll(control[:, 3] - control[:, 2], 1, axis=0), control[:, 1] - control[:, 0]
    cross, dot = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0], (into * out).sum(1)
    blunt = (kind == CORNER) & (np.abs(np.arctan2(cross, dot)) < np.radians(_BLUNT_DEG)) & ~(line & np.roll(line, 1))
    for node in np.flatnonzero(blunt):
        joins = line[node] or line[node - 1]
        q = FREE if joins else max(int(quarter[node, 0]), int(quarter[node - 1, 1]))
        kind[node] = SMOOTH if q == FREE else EXTREME
        quarter[node, 0] = quarter[node - 1, 1] = q
    return bool(blunt.any())


def anchored(fitted: Fitted, samples: Samples) -> NDArray[np.int_]:
    """Samples nearest to where the nodes have gone, corners at theirs; as planned where that would upset the order."""
    plan, n = fitted.plan, len(samples.points)
    reach = np.arange(-_WANDER, _WANDER + 1)
    near = (plan.at[:, None] + reach) % n
    away = np.hypot(*np.moveaxis(samples.points[near] - fitted.control[:, :1], 2, 0))
    moved = plan.at + np.where(plan.kind == CORNER, 0, reach[away.argmin(axis=1)])
    if moved[0] < 0 or moved[-1] >= n or (np.diff(moved) < _SAMPLE_MARGIN).any():
        return plan.at
    return np.asarray(moved)


def _without_stubs(plan: Plan, control: Points) -> tuple[Plan, Points]:
    """The plan without smooth nodes that stand next to a corner for no more than a stub of a curve."""
    while True:
        m = len(plan.at)
        size = np.hypot(*(control[:, 3] - control[:, 0]).T)
        after = np.roll(np.arange(m), -1)
        corner = plan.kind == CORNER
        stub = (size < _STUB) & ~plan.line & (corner != corner[after])
        # The piece on the other side of the smooth node has to be a curve too.
        smooth = np.where(corner, after, np.arange(m))
        other = np.where(corner, after, np.arange(m) - 1)
        drop = np.flatnonzero(stub & ~plan.line[other])
        if not len(drop) or m <= 2:
            return plan, control
        j = int(drop[0])
        plan, control = merged(plan, control, int(smooth[j]))


def merged(plan: Plan, control: Points, node: int) -> tuple[Plan, Points]:
    """The plan without a node, the curves on both sides of it made one."""
    m = len(plan.at)
    before = (node - 1) % m
    a, b = control[before], control[node]
    size = np.array([np.hypot(*(a[3] - a[0])), np.hypot(*(b[3] - b[0]))])
    grow = size.sum() / np.maximum(size, 1e-6)
    out, into = (h * min(float(g), _GROW_MOST) for h, g in zip((a[1] - a[0], b[2] - b[3]), grow, strict=True))
    joined = np.stack((a[0], a[0] + out, b[3] + into, b[3]))
    control, quarter = control.copy(), plan.quarter.copy()
    control[before] = joined
    quarter[before, 1] = plan.quarter[node, 1]
    keep = np.arange(m) != node
    return Plan(plan.at[keep], plan.kind[keep], quarter[keep], plan.line[keep], plan.angle[keep]), control[keep]


def worst_of(fitted: Fitted, samples: Samples) -> NDArray[np.float64]:
    """Greatest distance of each piece from the edge smoothed over a tremor's length, x-heights."""
    counts = samples.weight > 0
    off = np.abs(smoothed(fitted.off * counts, float(TREMOR_LENGTH), samples.step)) * counts
    worst = np.zeros(len(fitted.control))
    np.maximum.at(worst, fitted.piece, off)
    return worst


def _scatter(fitted: Fitted, samples: Samples) -> NDArray[np.float64]:
    """Root mean square distance of each piece from its own part of the edge, x-heights."""
    m = len(fitted.control)
    count = np.bincount(fitted.piece, samples.weight, m)
    return np.asarray(np.sqrt(np.bincount(fitted.piece, samples.weight * fitted.off**2, m) / np.maximum(count, 1e-9)))


def _held_end(control: Points, kind: NDArray[np.int_], line: NDArray[np.bool_], j: int, t: float) -> int | None:
    """The end (0 or 1) whose tangent the extreme becomes, None where it gets a node of its own."""
    m = len(kind)
    place = evaluate(control[None], np.array([0]), np.array([t]))[0][0]
    end = 0 if t < 0.5 else 1
    node = (j + end) % m
    if np.hypot(*(place - control[3 * end])) > _AT_END:
        return None
    joined = line[(j - 1) % m] if end == 0 else line[(j + 1) % m]
    if kind[node] == EXTREME or (kind[node] == SMOOTH and joined):
        return None
    return end


def _hold(kind: NDArray[np.int_], quarter: NDArray[np.int_], j: int, end: int, q: int) -> None:
    """Sets an end's tangent level or upright, at a smooth node on both of its sides."""
    m = len(kind)
    quarter[j, end] = q
    node = (j + end) % m
    if kind[node] != CORNER:
        kind[node] = EXTREME
        quarter[node, 0] = quarter[(node - 1) % m, 1] = q


def _middle_of_turning(fitted: Fitted, samples: Samples, j: int) -> float | None:
    mine = np.flatnonzero(fitted.piece == j)
    if len(mine) < 4 * _SAMPLE_MARGIN:
        return None
    mine = mine[np.argsort(fitted.t[mine], kind="stable")]
    turned = np.cumsum(np.abs(turning(samples.tangents))[mine])
    k = int(np.searchsorted(turned, turned[-1] / 2))
    return float(np.clip(fitted.t[mine[min(k, len(mine) - 1)]], *_MIDDLE))


def parted(
    plan: Plan, control: Points, fitted: Fitted, j: int, t: float, left: float, q: int
) -> tuple[Plan, Points] | None:
    """Plan and control points with piece j parted at t; None where its nodes stand too close for that.

    left: how much of the fitted piece is still piece j, after it was parted further on.
    """
    n, m = len(fitted.off), len(plan.at)
    if not _T_MARGIN < t < left - _T_MARGIN:
        return None
    mine = np.flatnonzero(fitted.piece == j)
    if not len(mine):
        return None
    at = int(mine[np.argmin(np.abs(fitted.t[mine] - t))])
    gaps = ((at - plan.at[j]) % n, (plan.at[(j + 1) % m] - at) % n)
    if min(gaps) < _SAMPLE_MARGIN or sum(gaps) != (plan.at[(j + 1) % m] - plan.at[j]) % n:
        return None
    where = int(np.searchsorted(plan.at, at))
    first, second = split(control[j], t / left)
    control = np.insert(np.concatenate((control[:j], first[None], control[j + 1 :])), j + 1, second, axis=0)
    old = plan.quarter.copy()
    arriving = int(old[j, 1])
    old[j, 1] = q
    quarter = np.insert(old, j + 1, (q, arriving), axis=0)
    kind = np.insert(plan.kind, j + 1, SMOOTH if q == FREE else EXTREME)
    line = np.insert(plan.line, j + 1, False)
    ats = np.insert(plan.at, j + 1, at)
    angle = np.insert(plan.angle, j + 1, np.nan)
    if where == 0 and j == m - 1:
        # The new node comes before the first: start the round there.
        ats, kind, line, angle = np.roll(ats, 1), np.roll(kind, 1), np.roll(line, 1), np.roll(angle, 1)
        quarter, control = np.roll(quarter, 1, axis=0), np.roll(control, 1, axis=0)
    return Plan(ats, kind, quarter, line, angle), control
