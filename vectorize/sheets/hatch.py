"""The edge of a white and how it looks come in; out go the strokes inside it that say so without colour."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from vectorize.geometry import Point
from vectorize.sheets.drawing import Strokes
from vectorize.sheets.palette import VERDICTS
from vectorize.spacing.records import Verdict


def hatch(verdict: Verdict | None, ring: Sequence[Point], x_height_mm: float) -> tuple[Strokes, ...]:
    """Level strokes in a wide white, close upright ones in a tight one, none in an even one; ring: in mm."""
    if verdict is Verdict.WIDE:
        return (Strokes(level_hatch(ring, 0.09 * x_height_mm), VERDICTS[verdict], 0.014 * x_height_mm),)
    if verdict is Verdict.TIGHT:
        return (Strokes(upright_hatch(ring, 0.035 * x_height_mm), VERDICTS[verdict], 0.012 * x_height_mm),)
    return ()


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
