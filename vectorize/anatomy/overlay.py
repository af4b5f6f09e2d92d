"""Two outlines of one letter come in; out goes the one laid over the other, how far apart their edges run, and where."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.edges import even_ring
from vectorize.geometry import Point, Points
from vectorize.outlines.outline import Outline
from vectorize.outlines.polylines import holds
from vectorize.raster import ring_mean

# Letter units between compared points, and the length over which a departure must last: a nick is no departure.
STEP_U = 12.0
LASTING_U = 110.0
# Rounds of moving the one onto the other; each halves what is left and more.
ROUNDS = 12


@dataclass(frozen=True, slots=True)
class Overlay:
    """The second letter moved by `move_u` lies best over the first.

    rms_u: root mean square distance of the edges; greatest_u: the greatest lasting one, at `at_u` on the first letter's
    edge (or beside it); outside: whether the first letter's ink goes beyond the second's there.
    """

    move_u: Point
    rms_u: float
    greatest_u: float
    at_u: Point
    outside: bool


def lay_over(first: Outline, second: Outline, *, upright_too: bool = True) -> Overlay:
    """Lay the second letter over the first, moved along x and, with `upright_too`, along y; nothing is scaled.

    The move minimises the squared distances between the edges both ways (iterated closest points, translation only:
    Besl & McKay, IEEE PAMI 14, 1992).
    """
    a, b = _points(first), _points(second)
    box_a, box_b = first.box_u, second.box_u
    move = np.array((box_a.centre[0] - box_b.centre[0], (box_a.y0 - box_b.y0) if upright_too else 0.0))
    # Where it lies best shows as well from every other point; how far the edges then are apart takes all of them.
    fixed, loose = np.concatenate(a)[::2], np.concatenate(b)[::2]
    for _ in range(ROUNDS):
        moved = loose + move
        apart = _squares(fixed, moved)
        to_a = fixed[apart.argmin(axis=0)] - moved
        from_a = fixed - moved[apart.argmin(axis=1)]
        step = (to_a.mean(axis=0) + from_a.mean(axis=0)) / 2.0
        move = move + step * ((1.0, 1.0) if upright_too else (1.0, 0.0))
        if np.abs(step).max() < 0.1:
            break
    return _overlay(a, [r + move for r in b], (float(move[0]), float(move[1])))


def _points(outline: Outline) -> list[Points]:
    return [even_ring(c, STEP_U) for c in outline.contours]


def _overlay(a: list[Points], b: list[Points], move: Point) -> Overlay:
    """Distances both ways, evened along the edges."""
    rings = [*a, *b]
    places = np.concatenate(rings)
    apart = _squares(np.concatenate(a), np.concatenate(b))
    plain = np.sqrt(np.concatenate((apart.min(axis=1), apart.min(axis=0))))
    ends = np.cumsum([len(r) for r in rings])[:-1]
    lasting = np.concatenate([_lasting(d) for d in np.split(plain, ends)])
    i = int(np.argmax(lasting))
    at = places[i]
    on_first = i < sum(len(r) for r in a)
    inside_other = _inside(at, b if on_first else a)
    outside = (not inside_other) if on_first else inside_other
    return Overlay(
        move, float(np.sqrt(np.mean(plain**2))), float(lasting[i]), (float(at[0]), float(at[1])), bool(outside)
    )


def _squares(p: Points, q: Points) -> Points:
    """Squared distance of each of some hundred points from each other one, shape (len(p), len(q))."""
    squares: Points = (p**2).sum(axis=1)[:, None] + (q**2).sum(axis=1) - 2.0 * (p @ q.T)
    return np.maximum(squares, 0.0)


def _lasting(distance: NDArray[np.float64]) -> NDArray[np.float64]:
    size = max(3, min(len(distance), round(LASTING_U / STEP_U)))
    return ring_mean(distance, size)


def _inside(point: Point, rings: list[Points]) -> bool:
    """Whether a point lies in the ink of closed rings (even-odd rule)."""
    return sum(holds(ring, point) for ring in rings) % 2 == 1
