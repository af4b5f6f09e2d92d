"""A fitted contour comes in, the contour in letter units goes out: exact tangents, start node at the lower left."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.curves import Contour, Cubic, Line, Segment
from vectorize.geometry import Point, Points
from vectorize.outlines.fit import Fitted
from vectorize.outlines.pieces import handle_bounds, interior_extremes, split
from vectorize.outlines.plan import FREE

UNITS = 1000.0


def finished(fitted: Fitted) -> Contour:
    """The contour of a fit, in letter units."""
    control, line, quarter = fitted.control, fitted.plan.line, fitted.plan.quarter
    for j, t, q in sorted(interior_extremes(control, line), reverse=True):
        first, second = split(control[j], t)
        control = np.insert(np.concatenate((control[:j], first[None], control[j + 1 :])), j + 1, second, axis=0)
        ends = quarter[j].copy()
        quarter = np.insert(quarter, j + 1, (q, ends[1]), axis=0)
        quarter[j] = (ends[0], q)
        line = np.insert(line, j + 1, False)
    return started(Contour(_segments(_exact(control, quarter, line) * UNITS, line)))


def _exact(control: Points, quarter: NDArray[np.int_], line: NDArray[np.bool_]) -> Points:
    """Handles within their bounds, and at level and upright ends exactly so, to the last bit."""
    exact = control.copy()
    ends = ((0, 0, 1), (1, 3, 2))
    for end, node, handle in ends:
        for axis in (0, 1):
            held = (quarter[:, end] != FREE) & (quarter[:, end] % 2 != axis)
            exact[held, handle, axis] = exact[held, node, axis]
    # The bounds hang on the directions, so these come first; stretching along an axis leaves the other coordinate alone.
    low, high = handle_bounds(exact)
    for end, node, handle in ends:
        arm = exact[:, handle] - exact[:, node]
        size = np.maximum(np.hypot(*arm.T), 1e-12)
        share = np.where(line, 1.0, np.clip(size, low[:, end], high[:, end]) / size)
        exact[:, handle] = exact[:, node] + arm * share[:, None]
    return exact


def _segments(control: Points, line: NDArray[np.bool_]) -> tuple[Segment, ...]:
    made: list[Segment] = []
    starts = [_point(p[0]) for p in control]
    for j, p in enumerate(control):
        a, b = starts[j], starts[(j + 1) % len(starts)]
        made.append(Line(a, b) if line[j] else Cubic(a, _point(p[1]), _point(p[2]), b))
    return tuple(made)


def _point(p: Points) -> Point:
    return float(p[0]), float(p[1])


def start_index(contour: Contour) -> int:
    """The node furthest to the lower left: least x + y, of equal ones the lower."""
    nodes = contour.nodes
    return min(range(len(nodes)), key=lambda i: (sum(nodes[i]), nodes[i][1]))


def started(contour: Contour) -> Contour:
    """The contour begun at its lower left node."""
    i = start_index(contour)
    return Contour(contour.segments[i:] + contour.segments[:i])
