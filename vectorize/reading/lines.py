"""A darkness map comes in, the nearly level straight lines in it go out, hidden where letters stand on them.

Ridges are found by a two-sided step, gathered by a Hough transform over angle and height (Duda & Hart, CACM 15, 1972),
and taken out one by one, the strongest first, each after a robust least-squares fit (Huber).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.records import StraightLine
from vectorize.trade.lines import LEAST_COVER, SHORTEST_RUN, STEEPEST_DEG

# A ridge is darker than what lies this many px above and below; lines are 1 to 6 px thick at this size.
STEPS_PX = (3, 5, 8)
# No ridge point weighs more, so that a heavy line's darkness does not outvote a long faint one.
WEIGHT_CAP = 0.10
WEAKEST = 0.012
ANGLE_STEP_DEG = 0.2
MOST_LINES = 90
NEAR_PX = 2.5


@dataclass(frozen=True, slots=True, eq=False)
class Ridges:
    """Points on ridges: columns, rows (the ridge's middle, sub-pixel) and weights, each (n,)."""

    x: NDArray[np.float64]
    y: NDArray[np.float64]
    weight: NDArray[np.float64]


def find_lines(darkness: NDArray[np.float32], solid: NDArray[np.bool_]) -> tuple[StraightLine, ...]:
    """Straight lines within a dozen degrees of level, strongest first, in px of `darkness` (h, w).

    solid: bool (h, w), where letters stand; a line is not missed where they hide it.
    """
    h, w = darkness.shape
    if h < 2 * max(STEPS_PX) + 3 or w < 40:
        return ()
    ridges = ridge_points(darkness)
    free = np.ones(len(ridges.x), bool)
    angles = np.deg2rad(np.arange(-STEEPEST_DEG, STEEPEST_DEG + 1e-9, ANGLE_STEP_DEG))
    votes = _Votes(ridges, angles, h, w)
    lines: list[StraightLine] = []
    for _ in range(MOST_LINES):
        slope, height, strength = votes.best()
        if strength < 0.5 * SHORTEST_RUN * w * WEAKEST * 2:
            break
        line, taken = _settled(ridges, free, slope, height, darkness, solid)
        votes.remove(taken)
        free[taken] = False
        if line is not None:
            lines.append(line)
        elif not len(taken):
            votes.silence()
    return tuple(lines)


def ridge_points(darkness: NDArray[np.float32]) -> Ridges:
    """Places darker than what lies a few px above and below, at their strongest row."""
    edge = max(STEPS_PX)
    middle = darkness[edge:-edge]
    step = np.zeros_like(middle)
    for s in STEPS_PX:
        up, down = darkness[edge - s : -edge - s], darkness[edge + s : len(darkness) - edge + s]
        np.maximum(step, np.minimum(middle - up, middle - down), out=step)
    peak = np.zeros(step.shape, bool)
    peak[1:-1] = (step[1:-1] >= step[:-2]) & (step[1:-1] > step[2:]) & (step[1:-1] > WEAKEST)
    rows, columns = np.nonzero(peak)
    a, b, c = step[rows - 1, columns], step[rows, columns], step[rows + 1, columns]
    bend = a - 2 * b + c
    shift = np.where(np.abs(bend) > 1e-9, 0.5 * (a - c) / np.where(np.abs(bend) > 1e-9, bend, 1.0), 0.0)
    y = rows + edge + 0.5 + np.clip(shift, -0.5, 0.5)
    return Ridges(columns + 0.5, y.astype(float), np.minimum(b, WEIGHT_CAP).astype(float))


class _Votes:
    """The Hough table of the ridge points that are still free."""

    def __init__(self, ridges: Ridges, angles: NDArray[np.float64], h: int, w: int) -> None:
        self.ridges, self.slopes = ridges, np.tan(angles)
        self.offset = int(math.ceil(w * self.slopes.max())) + 2
        self.rows = h + 2 * self.offset
        self.middle = w / 2.0
        self.table = np.zeros((len(angles), self.rows))
        self._add(np.arange(len(ridges.x)), 1.0)
        self.last = (0, 0)

    def _add(self, points: NDArray[np.intp], sign: float) -> None:
        x, y, weight = self.ridges.x[points] - self.middle, self.ridges.y[points], self.ridges.weight[points]
        for k, slope in enumerate(self.slopes):
            row = np.rint(y - slope * x).astype(np.intp) + self.offset
            self.table[k] += sign * np.bincount(row, weight, self.rows)[: self.rows]

    def best(self) -> tuple[float, float, float]:
        """(slope in px down per px, height at the middle column, strength) of the strongest line."""
        three = self.table[:, :-2] + self.table[:, 1:-1] + self.table[:, 2:]
        k, row = np.unravel_index(int(three.argmax()), three.shape)
        self.last = (int(k), int(row))
        return float(self.slopes[k]), float(row + 1 - self.offset), float(three[k, row])

    def remove(self, points: NDArray[np.intp]) -> None:
        """Take points out of the table."""
        if len(points):
            self._add(points, -1.0)

    def silence(self) -> None:
        """Let the last best place speak no more."""
        k, row = self.last
        self.table[k, row : row + 3] = 0.0


def _settled(
    ridges: Ridges,
    free: NDArray[np.bool_],
    slope: float,
    height: float,
    darkness: NDArray[np.float32],
    solid: NDArray[np.bool_],
) -> tuple[StraightLine | None, NDArray[np.intp]]:
    """The line fitted to the free points about a vote, and the points it takes."""
    w = darkness.shape[1]
    middle = w / 2.0
    reach = NEAR_PX + 1.5
    for _ in range(4):
        off = ridges.y - (height + slope * (ridges.x - middle))
        near = np.flatnonzero(free & (np.abs(off) <= reach))
        if len(near) < 8:
            return None, near
        weight = ridges.weight[near] * np.minimum(1.0, 0.7 / np.maximum(np.abs(off[near]), 1e-6))
        x, y = ridges.x[near] - middle, ridges.y[near]
        mx, my = np.average(x, weights=weight), np.average(y, weights=weight)
        spread = np.average((x - mx) ** 2, weights=weight)
        if spread < 1.0:
            return None, near
        slope = float(np.average((x - mx) * (y - my), weights=weight) / spread)
        height = float(my - slope * mx)
        reach = NEAR_PX
    run = _longest_run(ridges.x[near], slope, height, solid)
    if run is None:
        return None, near
    x0, x1, cover = run
    if x1 - x0 < SHORTEST_RUN * w or cover < LEAST_COVER:
        return None, near
    at = lambda x: (float(x), float(height + slope * (x - middle)))  # noqa: E731
    width_px, dark = _thickness(darkness, solid, slope, height, x0, x1)
    return StraightLine(at(x0), at(x1), width_px, dark, cover), near


def _longest_run(
    x: NDArray[np.float64], slope: float, height: float, solid: NDArray[np.bool_]
) -> tuple[float, float, float] | None:
    """(left, right, cover) of the longest stretch without a gap wider than a few dashes; letters are no gap."""
    h, w = solid.shape
    seen = np.zeros(w, bool)
    seen[np.minimum(x.astype(int), w - 1)] = True
    columns = np.arange(w)
    rows = np.rint(height + slope * (columns + 0.5 - w / 2.0)).astype(int)
    inside = (rows >= 3) & (rows < h - 3)
    hidden = np.zeros(w, bool)
    for d in (-3, 0, 3):
        hidden[inside] |= solid[rows[inside] + d, columns[inside]]
    places = np.flatnonzero(seen)
    if not len(places):
        return None
    gap_limit = max(8.0, 0.03 * w)
    breaks = [i for i in range(len(places) - 1) if np.count_nonzero(~hidden[places[i] + 1 : places[i + 1]]) > gap_limit]
    starts, ends = [0, *(i + 1 for i in breaks)], [*breaks, len(places) - 1]
    i, j = max(zip(starts, ends, strict=True), key=lambda p: places[p[1]] - places[p[0]])
    part = slice(places[i], places[j] + 1)
    open_columns = ~hidden[part]
    cover = float(seen[part][open_columns].mean()) if open_columns.any() else 0.0
    return float(places[i]), float(places[j] + 1), cover


def _thickness(
    darkness: NDArray[np.float32], solid: NDArray[np.bool_], slope: float, height: float, x0: float, x1: float
) -> tuple[float, float]:
    """Full width at half darkness in px, and the darkness at the middle, from the median profile off the letters."""
    h, w = darkness.shape
    columns = np.arange(int(x0), int(x1))
    rows = np.rint(height + slope * (columns + 0.5 - w / 2.0) - 0.5).astype(int)
    reach = 8
    inside = (rows >= reach) & (rows < h - reach)
    columns, rows = columns[inside], rows[inside]
    if not len(columns):
        return 1.0, 0.0
    around = rows[None, :] + np.arange(-reach, reach + 1)[:, None]
    bare = ~solid[around, columns].any(axis=0)
    profile = darkness[around, columns][:, bare] if bare.any() else darkness[around, columns]
    median = np.median(profile, axis=1)
    median = median - np.median(median[[0, 1, -2, -1]])
    dark = float(max(median[reach - 1 : reach + 2].max(), 1e-3))
    return float(max(1.0, np.clip(median / dark, 0, 1).sum())), dark
