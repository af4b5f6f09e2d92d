"""Feet and heads of letters come in; the level they stand on and the heights they reach go out.

One least-squares fit with Huber's weights: all levels share one slope, round ends pass theirs by one overshoot, which is
known roughly beforehand.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.feet import End
from vectorize.trade.lines import OVERSHOOT

# Ends further than this from a level, in x-heights, do not belong to it.
REACH = 0.09
# Levels further apart than this are two (ascenders and capitals).
TWO_LEVELS = 0.06
# Small letters are at least this share of the tallest letter's height.
LOWEST_HEAD = 0.45
# How far drawn ends scatter about their line, and how well the overshoot is known beforehand, in x-heights.
SCATTER = 0.012
OVERSHOOT_DOUBT = 0.006
SHOULDER = 1.5
ROUNDS = 12


@dataclass(frozen=True, slots=True)
class Levels:
    """The baseline y = height + slope (x - middle) in strip px, and the height in px that small letters reach.

    feet, heads: how many ends tell of each; x_height_px is as it was assumed where no head does.
    """

    slope: float
    height: float
    x_height_px: float
    feet: int
    heads: int


def settle_levels(
    feet: tuple[End, ...],
    heads: tuple[End, ...],
    start: tuple[float, float],
    middle: float,
    x_height_px: float,
    slopes: tuple[tuple[float, float], ...] = (),
) -> Levels:
    """The levels near a first reading.

    start: (slope, height at x = `middle`) of the baseline. x_height_px: a first reading of the heads' height.
    slopes: (slope, doubt) of drawn lines that run along with the word.
    """
    levels = Levels(start[0], start[1], x_height_px, 0, 0)
    for _ in range(3):
        slope, height, scale = levels.slope, levels.height, levels.x_height_px
        rises = [(height + slope * (e.x - middle) - e.y, e) for e in heads]
        standing = [e for e in feet if abs(e.y - height - slope * (e.x - middle)) < REACH * scale]
        small = [e for rise, e in rises if abs(rise - scale) < REACH * scale]
        tall = _clusters([(rise, e) for rise, e in rises if rise > (1.0 + 2 * REACH) * scale], scale)
        fit = _joint([(standing, 1.0), (small, -1.0), *((g, -1.0) for g in tall)], middle, scale, slopes)
        slope = float(fit[0]) if len(standing) + len(small) > 2 or slopes else slope
        height = float(fit[2]) if standing else height
        reached = height - float(fit[3]) if small else scale
        if not 0.5 * scale < reached < 2.0 * scale:
            break
        levels = Levels(slope, height, reached, len(standing), len(small))
    return levels


def first_x_height(heads: tuple[End, ...], slope: float, height: float, middle: float) -> float | None:
    """The lowest height that several heads share, in px: that of small letters beside taller ones; None without any."""
    rises = [(height + slope * (e.x - middle) - e.y, e) for e in heads]
    tallest = max((r for r, _ in rises), default=0.0)
    groups = _clusters([(r, e) for r, e in rises if r > LOWEST_HEAD * tallest], tallest)
    if not groups:
        return None
    lowest = groups[0]
    return float(np.median([height + slope * (e.x - middle) - e.y for e in lowest]))


def _clusters(rises: list[tuple[float, End]], scale: float) -> list[list[End]]:
    """Heads gathered by height, the lowest first; single ones are left out, they show neither slope nor level."""
    ordered = sorted(rises, key=lambda r: r[0])
    groups: list[list[tuple[float, End]]] = []
    for rise, end in ordered:
        if groups and rise - groups[-1][-1][0] < TWO_LEVELS * scale:
            groups[-1].append((rise, end))
        else:
            groups.append([(rise, end)])
    return [[e for _, e in g] for g in groups if len(g) > 1]


def _joint(
    groups: list[tuple[list[End], float]], middle: float, scale: float, slopes: tuple[tuple[float, float], ...]
) -> NDArray[np.float64]:
    """(slope, overshoot in x-heights, one height a group); equations are weighed by how far each may scatter."""
    size = 2 + len(groups)
    rows, values, weights, robust_rows = [], [], [], []
    for k, (ends, way) in enumerate(groups):
        for e in ends:
            row = np.zeros(size)
            row[0], row[1], row[2 + k] = e.x - middle, 0.0 if e.flat else way * scale, 1.0
            rows.append(row)
            values.append(e.y)
            weights.append(1.0 / (SCATTER * scale))
            robust_rows.append(True)
    for slope, doubt in slopes:
        rows.append(np.eye(size)[0])
        values.append(slope)
        weights.append(1.0 / doubt)
        robust_rows.append(False)
    rows.append(np.eye(size)[1])
    values.append(float(OVERSHOOT))
    weights.append(1.0 / OVERSHOOT_DOUBT)
    robust_rows.append(False)
    a, b, w, may_stray = np.array(rows), np.array(values), np.array(weights), np.array(robust_rows)
    robust = np.ones(len(b))
    fit = np.zeros(size)
    for _ in range(ROUNDS):
        both = w * np.sqrt(robust)
        fit = np.linalg.lstsq(a * both[:, None], b * both, rcond=None)[0]
        off = np.abs(b - a @ fit) * w
        robust = np.where(may_stray, np.minimum(1.0, SHOULDER / np.maximum(off, 1e-9)), 1.0)
    return np.asarray(fit)
