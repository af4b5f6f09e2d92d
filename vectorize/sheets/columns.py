"""Where labels would like to stand comes in; out goes where they stand without touching, as near as can be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from vectorize.geometry import Point


def spread(
    wanted: Sequence[float], widths: Sequence[float], low: float = -math.inf, high: float = math.inf
) -> tuple[float, ...]:
    """Centres in the same order that keep labels of these widths apart, with the least sum of squared moves.

    low, high: between which the labels lie; where they have no room there, `low` is kept. Each centre less the widths
    before it must not fall: isotonic regression by pooling adjacent violators (Ayer et al., Ann. Math. Statist. 26 (1955)
    641-647); bounds only clip its solution.
    """
    if not wanted:
        return ()
    steps = [0.0]
    for a, b in pairwise(widths):
        steps.append(steps[-1] + (a + b) / 2.0)
    blocks: list[tuple[float, int]] = []
    for centre, step in zip(wanted, steps, strict=True):
        mean, count = centre - step, 1
        while blocks and blocks[-1][0] > mean:
            before, n = blocks.pop()
            mean, count = (mean * count + before * n) / (count + n), count + n
        blocks.append((mean, count))
    flat = [mean for mean, count in blocks for _ in range(count)]
    least, most = low + widths[0] / 2.0, high - widths[-1] / 2.0 - steps[-1]
    return tuple(max(min(f, most), least) + s for f, s in zip(flat, steps, strict=True))


def level_hatch(ring: Sequence[Point], pitch: float) -> tuple[tuple[Point, Point], ...]:
    """Level strokes inside a closed polygon (even-odd), `pitch` apart."""
    return tuple(((x0, y), (x1, y)) for y, x0, x1 in _scan([(p[1], p[0]) for p in ring], pitch))


def upright_hatch(ring: Sequence[Point], pitch: float) -> tuple[tuple[Point, Point], ...]:
    """Upright strokes inside a closed polygon (even-odd), `pitch` apart."""
    return tuple(((x, y0), (x, y1)) for x, y0, y1 in _scan([(p[0], p[1]) for p in ring], pitch))


def _scan(ring: Sequence[Point], pitch: float) -> list[tuple[float, float, float]]:
    """Chords (at, from, to) across the ring at constant first coordinate, half a pitch from its edge on."""
    low, high = min(p[0] for p in ring), max(p[0] for p in ring)
    count = max(1, round((high - low) / pitch))
    chords: list[tuple[float, float, float]] = []
    for k in range(count):
        at = low + (k + 0.5) * (high - low) / count
        cuts = sorted(_cuts(ring, at))
        chords.extend((at, a, b) for a, b in zip(cuts[::2], cuts[1::2], strict=False) if b > a)
    return chords


def _cuts(ring: Sequence[Point], at: float) -> list[float]:
    closed = [*ring, ring[0]]
    return [
        q[1] + (r[1] - q[1]) * (at - q[0]) / (r[0] - q[0]) for q, r in pairwise(closed) if (q[0] <= at) != (r[0] <= at)
    ]
