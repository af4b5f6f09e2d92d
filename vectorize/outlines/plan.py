"""An edge with its corners and straights comes in; which nodes its outline shall have, and what joins them, goes out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.outlines.corners import Corners
from vectorize.outlines.ring import Ring, Turns
from vectorize.outlines.straights import Straight
from vectorize.trade.outlines import EXTREME_TURN

CORNER, EXTREME, SMOOTH = 0, 1, 2
FREE = -1

# Extremes nearer than this to a corner or to a straight's end are not told from the turn there (x-heights).
_CORNER_MARGIN, _JOIN_MARGIN = 0.05, 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """Nodes of one contour in order along its ring, and the pieces between them.

    at: sample indices in rising order, within one round from the first (the first may be any sample).
    kind: CORNER, EXTREME or SMOOTH of each node. line: whether the piece that leaves each node is straight.
    quarter: (m, 2) direction of travel, leaving each node and arriving at the next, where a piece has to leave or
    arrive level or upright: quarter turns (0 right, 1 up, 2 left, 3 down), else FREE.
    angle: (m,) direction in radians, either way round, that each straight piece has to keep; nan where it is free.
    """

    at: NDArray[np.int_]
    kind: NDArray[np.int_]
    quarter: NDArray[np.int_]
    line: NDArray[np.bool_]
    angle: NDArray[np.float64]


def plan_nodes(ring: Ring, corners: Corners, straights: tuple[Straight, ...], along: Turns) -> Plan:
    """Nodes at corners, ends of straights and extremes of the curves between them; where that is not two, three a third apart.

    along: heading in radians at each sample and, last, at the first again.
    """
    n = len(ring.points)
    nodes: dict[int, tuple[int, int]] = {int(i): (CORNER, FREE) for i in corners.at}
    starts: set[int] = set()
    for s in straights:
        starts.add(s.start % n)
        for end in (s.start % n, s.end % n):
            nodes.setdefault(end, (SMOOTH, FREE))
    breaks = sorted(nodes)
    stretches = list(zip(breaks, [*breaks[1:], breaks[0] + n], strict=True)) if breaks else [(0, n)]
    margins = {CORNER: ring.samples(_CORNER_MARGIN), SMOOTH: ring.samples(_JOIN_MARGIN)}
    for a, b in stretches:
        if a not in starts:
            margin = (margins[nodes[a][0]], margins[nodes[b % n][0]]) if breaks else (0, 0)
            for at, q in _extremes(along, a, b, margin, closed=not breaks):
                nodes.setdefault(at % n, (EXTREME, q))
    order = sorted(nodes)
    kind = np.array([nodes[i][0] for i in order], int)
    leaving = np.array([nodes[i][1] for i in order], int)
    quarter = np.stack((leaving, np.roll(leaving, -1)), axis=1)
    line = np.array([i in starts for i in order], bool)
    # A join of two straights is a corner, however blunt.
    kind[(kind == SMOOTH) & line & np.roll(line, 1)] = CORNER
    return _with_enough(Plan(np.array(order, int), kind, quarter, line, np.full(len(order), np.nan)), n)


def _with_enough(plan: Plan, n: int) -> Plan:
    """The plan of a ring of n samples, with smooth nodes at thirds of the way round where it had one node or none."""
    if len(plan.at) >= 2:
        return plan
    first = int(plan.at[0]) if len(plan.at) else 0
    kind = np.array([int(plan.kind[0]) if len(plan.at) else SMOOTH, SMOOTH, SMOOTH])
    at = np.array([first, first + n // 3, first + 2 * n // 3])
    order = np.argsort(at % n)
    return Plan((at % n)[order], kind[order], np.full((3, 2), FREE), np.zeros(3, bool), np.full(3, np.nan))


def _heading_at(along: Turns, k: NDArray[np.int_]) -> Turns:
    n = len(along) - 1
    return np.asarray(along[k % n] + (k // n) * (along[-1] - along[0]))


def _extremes(along: Turns, a: int, b: int, margin: tuple[int, int], *, closed: bool) -> list[tuple[int, int]]:
    """Samples between a and b where the heading passes a quarter turn for good, each with that quarter.

    It has passed for good when it was EXTREME_TURN off on one side before and on the other side after.
    closed: the stretch is a whole ring, looked at one and a half times.
    """
    n = b - a
    k = np.arange(a, b + 1 + (n // 2 if closed else 0))
    theta = _heading_at(along, k) / (np.pi / 2)
    least = np.radians(EXTREME_TURN) / (np.pi / 2)
    low, high = (n // 4, n // 4 + n - 1) if closed else (margin[0], n - margin[1])
    found: list[tuple[int, int]] = []
    for q in range(int(np.floor(theta.min())), int(np.ceil(theta.max())) + 1):
        off = theta - q
        clear = np.flatnonzero(np.abs(off) >= least)
        for i in np.flatnonzero(off[clear[:-1]] * off[clear[1:]] < 0.0):
            first, last = clear[i], clear[i + 1]
            zero = np.flatnonzero(np.diff(np.sign(off[first : last + 1])) != 0)
            at = int(first + round(float(zero.mean())))
            if low <= at <= high:
                found.append((a + at, q % 4))
    return sorted(found)
