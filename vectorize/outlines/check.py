"""Contours of a letter come in, what is not drawn the way type is drawn goes out, one line of words a fault."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from vectorize.curves import Contour, Cubic, Line, Segment, flatten, points_of, signed_area
from vectorize.geometry import Point
from vectorize.outlines.finish import start_index
from vectorize.outlines.pieces import evaluate, handle_bounds, inflects_between, interior_extremes
from vectorize.outlines.polylines import crossing, holds

# Letter units. Pieces shorter than this are nothing; curves are looked at for crossings as chords this near to them.
_NOTHING, _ACCURACY = 0.01, 0.25
# Handles may pass their bounds by this share: the bounds move a little when a contour is scaled or rounded.
_SLACK = 0.02
# A node beside a curve that turns by less than this many degrees is no corner; a smooth one is exact within _EXACT_DEG (binary
# fractions).
_SMOOTH_DEG, _EXACT_DEG = 8.0, 1e-6
# A curve that slows to this share of its mean speed has a cusp.
_CUSP = 0.01


def faults(contours: Sequence[Contour]) -> tuple[str, ...]:
    """What is wrong with an outline in letter units; empty when it is drawn the way type is drawn.

    Looked at: extremes without a node or with a tangent that is not exactly level or upright, nodes that are neither
    smooth nor corners, inflections at nodes, handles too short, too long or crossing, loops and cusps, pieces without length, crossings, the
    way contours and counters run, start nodes.
    """
    found: list[str] = []
    for i, contour in enumerate(contours, start=1):
        for j, segment in enumerate(contour.segments, start=1):
            found += [f"contour {i}, piece {j}: {fault}" for fault in _of_piece(segment)]
        for j, (before, after) in enumerate(_pairs(contour), start=1):
            found += [f"contour {i}, node {j}: {fault}" for fault in _of_node(before, after)]
        if start_index(contour) != 0:
            found.append(f"contour {i}: does not start at its lower left node")
    return (*found, *_of_rings(contours))


def _pairs(contour: Contour) -> Iterator[tuple[Segment, Segment]]:
    s = contour.segments
    return zip((s[-1], *s[:-1]), s, strict=True)


def _of_piece(segment: Segment) -> Iterator[str]:
    p = points_of(segment)
    if math.dist(p[0], p[-1]) < _NOTHING:
        yield "has no length"
        return
    if isinstance(segment, Line):
        return
    control = np.array([p])
    if interior_extremes(control / 1000.0, np.zeros(1, bool)):
        yield "has an extreme without a node"
    low, high = handle_bounds(control)
    lengths = np.array([[math.dist(p[0], p[1]), math.dist(p[2], p[3])]])
    if (lengths < low * (1.0 - _SLACK)).any():
        yield "has a handle that is too short"
    if (lengths > high * (1.0 + _SLACK)).any():
        yield "has a handle that is too long or crosses the other"
    t = np.linspace(0.0, 1.0, 33)
    speed = np.hypot(*evaluate(control, np.zeros(33, int), t)[1].T)
    if speed.min() < _CUSP * speed.mean():
        yield "has a cusp"


def _of_node(before: Segment, after: Segment) -> Iterator[str]:
    if math.dist(before.end, after.start) > _NOTHING:
        yield "the pieces do not meet"
    if isinstance(before, Line) and isinstance(after, Line):
        return
    u, v = _direction(points_of(before)[-2:]), _direction(points_of(after)[:2])
    turn = math.degrees(abs(math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])))
    curves = isinstance(before, Cubic) and isinstance(after, Cubic)
    if curves and turn < _SMOOTH_DEG and inflects_between(*(np.array(points_of(s)) / 1000.0 for s in (before, after))):
        yield "has an inflection, which belongs between nodes"
    if not _EXACT_DEG < turn < _SMOOTH_DEG:
        return
    if u[0] * v[0] < 0.0 or u[1] * v[1] < 0.0:
        yield "is an extreme whose tangent is not exactly level or upright"
    else:
        yield "is neither smooth nor a corner"


def _direction(ends: tuple[Point, ...]) -> Point:
    (x0, y0), (x1, y1) = ends
    length = math.hypot(x1 - x0, y1 - y0) or 1.0
    return (x1 - x0) / length, (y1 - y0) / length


def _of_rings(contours: Sequence[Contour]) -> Iterator[str]:
    rings = [flatten(c, _ACCURACY) for c in contours]
    at = crossing(rings)
    if at is not None:
        yield f"the outline crosses itself near ({at[0]:.0f}, {at[1]:.0f})"
    for i, contour in enumerate(contours):
        depth = sum(holds(r, contour.segments[0].start) for k, r in enumerate(rings) if k != i)
        if (signed_area(contour) > 0.0) != (depth % 2 == 0):
            yield f"contour {i + 1}: runs the wrong way round"
