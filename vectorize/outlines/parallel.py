"""The fitted contours of one letter come in; edges of strokes that were meant parallel go out at one angle.

Two straight edges with ink between them bound a stroke. Where their angles differ by no more than a pencil's scatter
they share the mean of them, weighed by length; so do the strokes of one letter among each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from vectorize.geometry import Points
from vectorize.outlines.fit import Fitted, Samples, fit
from vectorize.outlines.inflections import without_inflections
from vectorize.outlines.tidy import tidied
from vectorize.trade.outlines import PARALLEL_MOVE, PARALLEL_STEMS, PARALLEL_STROKES, STRAIGHT_SHORTEST, STROKE_BROADEST
from vectorize.trade.spacing import UPRIGHT_WITHIN

# Rounds of fitting with the angles held.
_ROUNDS = 3
# Edges face each other along this share of the shorter one.
_SHARED = 0.4


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """A straight piece: which of which contour, from where to where (x-heights); ink lies to its left."""

    contour: int
    piece: int
    start: Points
    end: Points

    @property
    def length(self) -> float:
        """Length in x-heights."""
        return float(np.hypot(*(self.end - self.start)))

    @property
    def axis_deg(self) -> float:
        """Angle from 0 to 180, whichever way the edge runs."""
        d = self.end - self.start
        return float(np.degrees(np.arctan2(d[1], d[0])) % 180.0)


def made_parallel(fits: Sequence[tuple[Fitted, Samples]]) -> list[Fitted]:
    """The contours of a letter, fitted again with one angle for the edges that were meant parallel."""
    held = [np.full(len(f.plan.at), np.nan) for f, _ in fits]
    for group in groups([e for k, (f, _) in enumerate(fits) for e in _edges(k, f)]):
        angle = np.radians(mean_deg(group))
        for e in group:
            held[e.contour][e.piece] = angle
    return [
        without_inflections(tidied(fit(replace(f.plan, angle=angle), s, control=f.control, rounds=_ROUNDS), s), s)
        if np.isfinite(angle).any()
        else f
        for (f, s), angle in zip(fits, held, strict=True)
    ]


def _edges(contour: int, fitted: Fitted) -> list[Edge]:
    found = [
        Edge(contour, int(j), fitted.control[j, 0], fitted.control[j, 3]) for j in np.flatnonzero(fitted.plan.line)
    ]
    return [e for e in found if e.length >= STRAIGHT_SHORTEST]


def groups(edges: Sequence[Edge]) -> list[list[Edge]]:
    """Edges that share one angle: those of a stroke first, then strokes among each other."""
    mine = {i: [e] for i, e in enumerate(edges)}
    pairs = [(apart_deg([a], [b]), i, j) for (i, a), (j, b) in combinations(enumerate(edges), 2) if facing(a, b)]
    for apart, i, j in sorted(pairs):
        if mine[i] is not mine[j] and apart <= _limit(mine[i] + mine[j]):
            _joined(mine, mine[i], mine[j])
    while True:
        strokes = list({id(g): g for g in mine.values() if len(g) > 1}.values())
        near = [(apart_deg(a, b), i, j) for (i, a), (j, b) in combinations(enumerate(strokes), 2)]
        near = [n for n in sorted(near) if n[0] <= _limit(strokes[n[1]] + strokes[n[2]])]
        if not any(_joined(mine, strokes[i], strokes[j]) for _, i, j in near):
            return strokes


def _limit(edges: Sequence[Edge]) -> float:
    upright = all(abs(e.axis_deg - 90.0) < UPRIGHT_WITHIN for e in edges)
    return PARALLEL_STEMS if upright else PARALLEL_STROKES


def _joined(mine: dict[int, list[Edge]], a: list[Edge], b: list[Edge]) -> bool:
    """Makes two groups one where no edge of theirs is moved further than a pencil's grain by it."""
    both = a + b
    angle = mean_deg(both)
    if any(abs(np.radians(_turn_deg(e.axis_deg, angle))) * e.length / 2.0 > PARALLEL_MOVE for e in both):
        return False
    for i, g in mine.items():
        if g is a or g is b:
            mine[i] = both
    return True


def mean_deg(edges: Sequence[Edge]) -> float:
    """Mean of the edges' angles weighed by their lengths, 0 to 180."""
    z = sum(e.length * np.exp(2j * np.radians(e.axis_deg)) for e in edges)
    return float(np.degrees(np.angle(z)) / 2.0 % 180.0)


def _turn_deg(a: float, b: float) -> float:
    return (b - a + 90.0) % 180.0 - 90.0


def apart_deg(a: Sequence[Edge], b: Sequence[Edge]) -> float:
    """By how much the mean angles of two lots of edges differ, 0 to 90."""
    return abs(_turn_deg(mean_deg(a), mean_deg(b)))


def facing(a: Edge, b: Edge) -> bool:
    """Whether two edges run against each other with a stroke's breadth of ink between them."""
    d = (a.end - a.start) / a.length
    if (b.end - b.start) @ d > 0.0:
        return False
    u = np.sort([(p - a.start) @ d for p in (b.start, b.end)])
    v = [(p - a.start) @ np.array((-d[1], d[0])) for p in (b.start, b.end)]
    shared = min(a.length, u[1]) - max(0.0, u[0])
    return bool(shared > _SHARED * min(a.length, b.length) and min(v) > 0.0 and max(v) < STROKE_BROADEST)
