"""A fitted contour comes in; the same with its inflections between nodes goes out.

Type is drawn with nodes where a curve is level, upright or begins; a curve that bends one way and then the other changes
over inside a cubic, where nothing can be seen of the change.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from vectorize.outlines.fit import Fitted, Samples, fit
from vectorize.outlines.pieces import inflections, inflects_between, interior_extremes
from vectorize.outlines.plan import CORNER, FREE
from vectorize.outlines.tidy import anchored, merged, parted, worst_of
from vectorize.trade.outlines import TREMOR_DEPTH

# Rounds of fitting after a change.
_ROUNDS = 6
# Pieces that were left alone move by less than this when all are fitted again, x-heights.
_SLACK = 0.0005


def without_inflections(fitted: Fitted, samples: Samples) -> Fitted:
    """The contour without nodes at inflections: the curves on both sides made one, else parted in one of the two bends.

    A node stays where no such contour follows the edge within a tremor, or as near as before.
    """
    found = _nodes(fitted)
    while found:
        most = _beyond(fitted, samples) + _SLACK
        others = (f for node in found for f in _others(fitted, samples, node))
        better = (f for f in others if len(_nodes(f)) < len(found) and _beyond(f, samples) <= most and _sound(f))
        following = next(better, None)
        if following is None:
            break
        fitted, found = following, _nodes(following)
    return fitted


def _nodes(fitted: Fitted) -> list[int]:
    plan, control = fitted.plan, fitted.control
    smooth = (plan.kind != CORNER) & ~plan.line & ~np.roll(plan.line, 1)
    return [int(k) for k in np.flatnonzero(smooth) if inflects_between(control[k - 1], control[k])]


def _others(fitted: Fitted, samples: Samples, node: int) -> Iterator[Fitted]:
    """Contours without a node, then those with one half or two thirds into either bend, the nearest to the edge first."""
    if len(fitted.plan.at) <= 2:
        return
    plan, control = merged(replace(fitted.plan, at=anchored(fitted, samples)), fitted.control, node)
    joined = fit(plan, samples, control=control, rounds=_ROUNDS)
    yield joined
    j = (node - 1) % len(plan.at)
    (turn, *_) = inflections(joined.control[j]) or (0.5,)
    places = (turn / 2, (1.0 + turn) / 2, turn / 3, (2.0 + turn) / 3)
    ways = (parted(plan, joined.control, joined, j, t, 1.0, FREE) for t in places)
    again = [fit(p, samples, control=c, rounds=_ROUNDS) for p, c in (w for w in ways if w is not None)]
    yield from sorted(again, key=lambda f: float(worst_of(f, samples).max()))


def _beyond(fitted: Fitted, samples: Samples) -> float:
    """How far the pieces leave the edge by more than a tremor, all together, x-heights."""
    return float(np.maximum(worst_of(fitted, samples) - TREMOR_DEPTH, 0.0).sum())


def _sound(fitted: Fitted) -> bool:
    return not interior_extremes(fitted.control, fitted.plan.line)
