"""Type designers' own outlines as the truth: how near a drawn outline is to them, and how like type it is drawn.

Lengths in letter units (thousandths of the x-height). Distances by shapely, to the edge that was inked; nodes, corners
and stems are the font's own. Where corners end and stems begin is our own: no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import potrace
import shapely
from shapely.geometry import MultiLineString

from vectorize.curves import (
    Contour,
    Cubic,
    Line,
    Segment,
    evaluate,
    extreme_parameters,
    flatten,
    points_of,
    transformed,
)
from vectorize.geometry import Affine
from vectorize.outlines.check import faults

# A node that turns by CORNER degrees is a corner and has to be met by one that turns by WEAK within NEAR.
CORNER, WEAK, NEAR = 40.0, 25.0, 50.0
# A straight edge this long is an edge of a stroke; so upright it is a stem's. Edges that face each other this near are a pair.
LONG, UPRIGHT, STROKE = 400.0, 20.0, 350.0
PARALLEL = 0.05
"""Edges whose angles differ by less than this many degrees are parallel."""


@dataclass(frozen=True, slots=True)
class Likeness:
    """A drawn letter held against its designer's.

    mean_u, p95_u, most_u: distance between the two, both ways. nodes: of ours and of the designer.
    corners_found: of theirs; corners_true: of ours. extremes: with a node, and all. stems: that are one line, and all.
    pairs: opposite edges parallel in both, and all that are parallel in the designer's and straight in ours.
    faultless: whether the checker of outlines has nothing to say.
    """

    mean_u: float
    p95_u: float
    most_u: float
    nodes: tuple[int, int]
    corners_found: tuple[int, int]
    corners_true: tuple[int, int]
    extremes: tuple[int, int]
    stems: tuple[int, int]
    pairs: tuple[int, int]
    faultless: bool


def likeness(drawn: Sequence[Contour], designer: Sequence[Contour], rings: Sequence[np.ndarray]) -> Likeness:
    """Our contours, the designer's, and the rings that were inked, all in letter units."""
    off = distances(drawn, rings)
    edge = _edge([flatten(c, 0.2) for c in designer])
    near = lambda p, q: math.dist(p, q) < NEAR  # noqa: E731
    theirs = [p for p in corners(designer, CORNER) if shapely.distance(shapely.Point(p), _edge(rings)) < NEAR / 2]
    found = [any(near(p, q) for q in corners(drawn, WEAK)) for p in theirs]
    true = [any(near(p, q) for q in corners(designer, WEAK)) or _bend(edge, p) > WEAK for p in corners(drawn, CORNER)]
    lines = [s for c in drawn for s in c.segments if isinstance(s, Line)]
    stems = [s for s in straight_edges(designer) if _off_upright(s) < UPRIGHT]
    matched = {s: _matched(s, lines) for s in straight_edges(designer)}
    both = [(matched[a], matched[b]) for a, b in parallel_pairs(designer)]
    drawn_pairs = [(a, b) for a, b in both if a is not None and b is not None]
    return Likeness(
        float(off.mean()),
        float(np.quantile(off, 0.95)),
        float(off.max()),
        (sum(len(c.segments) for c in drawn), sum(meant(x, y) for c in designer for x, y in _joints(c))),
        (sum(found), len(found)),
        (sum(true), len(true)),
        extremes(drawn),
        (sum(matched[s] is not None for s in stems), len(stems)),
        (sum(_apart_deg(a, b) < PARALLEL for a, b in drawn_pairs), len(drawn_pairs)),
        not faults(drawn),
    )


def _edge(rings: Sequence[np.ndarray]) -> MultiLineString:
    return MultiLineString([np.vstack((r, r[:1])) for r in rings])


def distances(drawn: Sequence[Contour], rings: Sequence[np.ndarray]) -> np.ndarray:
    """Distances of points every 5 units along either edge from the other."""
    one, other = _edge([flatten(c, 0.05) for c in drawn]), _edge(rings)
    parts = []
    for a, b in ((one, other), (other, one)):
        points = [line.interpolate(np.arange(0.0, line.length, 5.0)) for line in a.geoms]
        parts.append(shapely.distance(np.concatenate(points), b))
    return np.concatenate(parts)


def corners(contours: Sequence[Contour], least_deg: float) -> list[tuple[float, float]]:
    """Nodes where the tangent turns by that much."""
    joints = [j for c in contours for j in _joints(c)]
    return [after.start for before, after in joints if _turn(_heading(before, -1), _heading(after, 0)) >= least_deg]


def _joints(contour: Contour) -> Iterator[tuple[Segment, Segment]]:
    """The pieces before and after each node."""
    s = [x for x in contour.segments if math.dist(x.start, x.end) > 1e-6]
    yield from zip((s[-1], *s[:-1]), s, strict=True)


def meant(before: Segment, after: Segment) -> bool:
    """Whether a designer who draws in cubics has a node there: at corners, at ends of straights, at extremes.

    The other nodes of a TrueType outline come from its change into quadratics.
    """
    a, b = _heading(before, -1), _heading(after, 0)
    level = any(min(v % 90.0, -v % 90.0) < 2.0 for v in (a, b))
    straight = isinstance(before, Line) + isinstance(after, Line)
    return _turn(a, b) > (PARALLEL if straight == 2 else 10.0) or straight == 1 or (level and straight == 0)


def _heading(segment: Segment, end: int) -> float:
    """Direction at the start (0) or the end (-1), handles without length passed over, degrees."""
    p = points_of(segment)
    p = p if end == 0 else p[::-1]
    q = next((x for x in p[1:] if math.dist(p[0], x) > 1e-6), p[-1])
    d = np.subtract(q, p[0]) * (1.0 if end == 0 else -1.0)
    return math.degrees(math.atan2(d[1], d[0]))


def _turn(a: float, b: float) -> float:
    return abs((b - a + 180.0) % 360.0 - 180.0)


def _bend(edge: MultiLineString, p: tuple[float, float]) -> float:
    """How far the edge turns within NEAR to both sides of the place nearest to p."""
    line = min(edge.geoms, key=lambda g: g.distance(shapely.Point(p)))
    at = line.project(shapely.Point(p))
    q = [line.interpolate((at + s * NEAR) % line.length) for s in (-1.6, -1.0, 1.0, 1.6)]
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = ((v.x, v.y) for v in q)
    return _turn(math.degrees(math.atan2(by - ay, bx - ax)), math.degrees(math.atan2(dy - cy, dx - cx)))


def extremes(contours: Sequence[Contour]) -> tuple[int, int]:
    """Level and upright places of curves that have a node, and all that stand out by 2 units."""
    with_node = without = 0
    for c in contours:
        for before, after in _joints(c):
            if isinstance(before, Line) and isinstance(after, Line):
                continue
            a, b = _heading(before, -1), _heading(after, 0)
            with_node += _turn(a, b) < WEAK and all(min(v % 90.0, -v % 90.0) < 2.0 for v in (a, b))
        for s in c.segments:
            turns = extreme_parameters(np.array([points_of(s)], float)) if isinstance(s, Cubic) else np.zeros(0)
            for t in turns[np.isfinite(turns)]:
                p = evaluate(s, np.array([t]))[0]
                depth = [min(abs(p[k] - s.start[k]), abs(p[k] - s.end[k])) for k in (0, 1)]
                apart = min(math.dist(p, s.start), math.dist(p, s.end))
                without += 0.02 < t < 0.98 and max(depth) > 2.0 and min(depth) > 2.0 and apart > 12.0
    return with_node, with_node + without


def straight_edges(contours: Sequence[Contour]) -> list[Line]:
    """Straight pieces at least LONG; pieces in one line that follow each other are one."""
    found: list[Line] = []
    for c in contours:
        joined: list[Line] = []
        for s in c.segments:
            if not isinstance(s, Line) or s.start == s.end:
                continue
            if joined and joined[-1].end == s.start and _turn(_heading(joined[-1], 0), _heading(s, 0)) < PARALLEL:
                joined[-1] = Line(joined[-1].start, s.end)
            else:
                joined.append(s)
        found += [s for s in joined if math.dist(s.start, s.end) > LONG]
    return found


def parallel_pairs(contours: Sequence[Contour]) -> list[tuple[Line, Line]]:
    """Edges of one stroke that run against each other, face each other along half of the shorter one, and are parallel."""
    edges = straight_edges(contours)
    return [(a, b) for i, a in enumerate(edges) for b in edges[i + 1 :] if _apart_deg(a, b) < PARALLEL and facing(a, b)]


def facing(a: Line, b: Line) -> bool:
    """Whether two edges that run against each other bound one stroke."""
    p, d = np.array(a.start), np.subtract(a.end, a.start)
    size = math.hypot(*d)
    d = d / size
    u = sorted(float((np.array(q) - p) @ d) for q in (b.start, b.end))
    # Ink lies to the left of every edge.
    v = [float((np.array(q) - p) @ (-d[1], d[0])) for q in (b.start, b.end)]
    shared = min(size, u[1]) - max(0.0, u[0])
    return shared > 0.5 * min(size, u[1] - u[0]) and min(v) > 0.0 and max(v) < STROKE


def _apart_deg(a: Line, b: Line) -> float:
    return abs(_turn(_heading(a, 0), _heading(b, 0)) - 180.0)


def _off_upright(s: Line) -> float:
    return abs((_heading(s, 0) + 360.0) % 180.0 - 90.0)


def _matched(edge: Line, lines: Sequence[Line]) -> Line | None:
    """The line that runs along an edge for seven tenths of it."""
    p, d = np.array(edge.start), np.subtract(edge.end, edge.start)
    size = math.hypot(*d)
    d = d / size
    for s in lines:
        u, v = np.array([((np.array(q) - p) @ d, abs((np.array(q) - p) @ (-d[1], d[0]))) for q in (s.start, s.end)]).T
        if v.max() < 70.0 and u[1] - u[0] > 0.7 * size and min(u[1], size) - max(u[0], 0.0) > 0.6 * size:
            return s
    return None


def by_potrace(cover: np.ndarray, to_units: Affine) -> tuple[Contour, ...]:
    """The potrace library as it is, on the same ink."""
    found = []
    # A boolean array is taken for white on black.
    for curve in potrace.Bitmap(~(np.pad(cover, 1) > 0.5)).trace():
        at = (curve.start_point.x, curve.start_point.y)
        segments: list[Segment] = []
        for s in curve.segments:
            end = (s.end_point.x, s.end_point.y)
            if s.is_corner:
                segments += [Line(at, (s.c.x, s.c.y)), Line((s.c.x, s.c.y), end)]
            else:
                segments.append(Cubic(at, (s.c1.x, s.c1.y), (s.c2.x, s.c2.y), end))
            at = end
        found.append(transformed(Contour(tuple(segments)), Affine.shift(-1.0, -1.0).then(to_units)))
    return tuple(found)
