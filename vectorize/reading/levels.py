"""Feet and heads of letters come in; the level they stand on and the heights they reach go out.

One least-squares fit with Huber's weights: all levels share one slope, round ends pass theirs by one overshoot, which is
known roughly beforehand.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.feet import End
from vectorize.reading.straight import huber_weights
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
ROUNDS = 12
# Which ends belong to which level is settled anew so many times; an x-height that leaves these shares of the rough one was
# taken from the wrong ends.
LOOKS, PLAUSIBLE = 3, (0.5, 2.0)


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
    for _ in range(LOOKS):
        slope, height, rough_px = levels.slope, levels.height, levels.x_height_px
        rises = [(height + slope * (e.x - middle) - e.y, e) for e in heads]
        standing = [e for e in feet if abs(e.y - height - slope * (e.x - middle)) < REACH * rough_px]
        small = [e for rise, e in rises if abs(rise - rough_px) < REACH * rough_px]
        tall = _clusters([(rise, e) for rise, e in rises if rise > (1.0 + 2 * REACH) * rough_px], rough_px)
        fit = _fitted([(standing, 1.0), (small, -1.0), *((g, -1.0) for g in tall)], middle, rough_px, slopes)
        slope = float(fit[0]) if len(standing) + len(small) > 2 or slopes else slope
        height = float(fit[2]) if standing else height
        reached = height - float(fit[3]) if small else rough_px
        if not PLAUSIBLE[0] * rough_px < reached < PLAUSIBLE[1] * rough_px:
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


def _clusters(rises: list[tuple[float, End]], row_px: float) -> list[list[End]]:
    """Heads gathered by height, the lowest first; single ones are left out, they show neither slope nor level."""
    ordered = sorted(rises, key=lambda r: r[0])
    groups: list[list[tuple[float, End]]] = []
    for rise, end in ordered:
        if groups and rise - groups[-1][-1][0] < TWO_LEVELS * row_px:
            groups[-1].append((rise, end))
        else:
            groups.append([(rise, end)])
    return [[e for _, e in g] for g in groups if len(g) > 1]


def _fitted(
    groups: list[tuple[list[End], float]], middle: float, x_height_px: float, slopes: tuple[tuple[float, float], ...]
) -> NDArray[np.float64]:
    """(slope, overshoot in x-heights, one height a group).

    groups: ends of one level, and which way their round ones pass it: 1 downwards, -1 upwards.
    """
    size = 2 + len(groups)
    slope_of, overshoot_of, *height_of = np.eye(size)
    # Each equation is a row of factors, what it comes to, and how far that may be off.
    seen = [
        (slope_of * (e.x - middle) + overshoot_of * (0.0 if e.flat else way * x_height_px) + own, e.y)
        for (ends, way), own in zip(groups, height_of, strict=True)
        for e in ends
    ]
    equations = [
        *((row, y, SCATTER * x_height_px) for row, y in seen),
        *((slope_of, slope, doubt) for slope, doubt in slopes),
        (overshoot_of, float(OVERSHOOT), OVERSHOOT_DOUBT),
    ]
    a, b, doubt = (np.array(v) for v in zip(*equations, strict=True))
    robust = np.ones(len(b))
    fit = np.zeros(size)
    for _ in range(ROUNDS):
        weight = np.sqrt(robust) / doubt
        fit = np.linalg.lstsq(a * weight[:, None], b * weight, rcond=None)[0]
        # What is known beforehand does not stray.
        robust[: len(seen)] = huber_weights((b - a @ fit)[: len(seen)] / doubt[: len(seen)], 1.0)
    return np.asarray(fit)
