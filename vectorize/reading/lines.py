"""A darkness map comes in, the nearly level lines in it go out, hidden where letters stand on them.

Ridges are found by a two-sided step, gathered by a Hough transform over angle and height (Duda & Hart, CACM 15, 1972),
and taken out one by one, the strongest first, each after a robust least-squares fit (Huber) that allows a slight bow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import box_mean, greatest
from vectorize.reading.records import StraightLine
from vectorize.reading.straight import SIGMA_OF_MEDIAN, huber_fit
from vectorize.trade.lines import GREATEST_SAG, LEAST_COVER, SHORTEST_RUN, STEEPEST_DEG

# Darkness is averaged along so many px and looked at in every STRIDE-th column: a line is long, grain is not.
ALONG_PX = 7
STRIDE = 4
# A narrower map holds no line.
NARROWEST_PX = 10 * STRIDE
# A ridge is darker than what lies this many px above and below; lines are 1 to 6 px thick at this size.
STEPS_PX = (3, 5, 8)
# No ridge point weighs more than so many times the grain, so that a heavy line does not outvote a long faint one.
WEIGHT_CAP = 6.0
# A ridge stands out of the grain by so many of its standard deviations; paper's own step is never finer than FINEST.
STANDS_OUT = 1.6
FINEST = 0.0012
# Paper shows some of its grain within so many px; where less than this share of the map does, it has none.
GRAINY_PX, GRAINY = 15, 0.35
ANGLE_STEP_DEG = 0.2
MOST_LINES = 90
# After so many votes in a row that no line bears out, the rest is grain.
MISSES = 16
NEAR_PX = 2.5
# Degree of the fit and how far its points may lie off it, px: straight first; then with a bow, which reaches the ends that
# a straight line passes by; then until no more points come in.
STRAIGHT, BOW = ((1, NEAR_PX + 1.5), (1, NEAR_PX)), ((2, 3 * NEAR_PX), (2, NEAR_PX + 1.5))
SETTLE = (2, NEAR_PX)
SETTLE_ROUNDS = 6
# A vote counts when it is above what grain would gather by so many standard deviations; so does a line's contrast.
SURE = 6.0
# A profile across a line reaches so many px to both sides.
REACH = 8
# Columns without the line, as a share of all, that end its run.
GAP = 0.03
# A line fainter than this, or one so broad and so faint, cannot be told from a crease or a shadow.
FAINTEST = 0.004
CREASE_PX, CREASE_DARK = 6.0, 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Ridges:
    """Points on ridges: columns, rows (the ridge's middle, sub-pixel) and weights, each (n,); share of px that have one."""

    x: NDArray[Any]
    y: NDArray[np.float64]
    weight: NDArray[np.float64]
    density: float


@dataclass(frozen=True, slots=True, eq=False)
class _Sheet:
    """What a line is looked for in: darkness (h, w), where letters stand, where lines already taken run, and how."""

    darkness: NDArray[np.float32]
    solid: NDArray[np.bool_]
    taken: NDArray[np.bool_]
    rounds: tuple[tuple[int, float], ...]


def find_lines(
    darkness: NDArray[np.float32], solid: NDArray[np.bool_], grain: float = FINEST
) -> tuple[StraightLine, ...]:
    """Lines within a dozen degrees of level, strongest first, in px of `darkness` (h, w).

    solid: bool (h, w), where letters stand; a line is not missed where they hide it.
    grain: standard deviation of the paper's grain, where it is known to be more than can be seen on blank paper;
    bows are then looked for more narrowly, since what is left of other lines is near.
    """
    h, w = darkness.shape
    ridges = ridge_points(darkness, solid, grain)
    free = np.ones(len(ridges.x), bool)
    votes = _Votes(ridges, h, w)
    rounds = (*STRAIGHT, *(BOW if grain == FINEST else ()), *(SETTLE,) * SETTLE_ROUNDS)
    sheet = _Sheet(darkness, solid, np.zeros((h, w), bool), rounds)
    lines: list[StraightLine] = []
    misses = 0
    while len(lines) < MOST_LINES and misses < MISSES:
        slope, height, strength = votes.best()
        if strength < votes.least:
            break
        line, points = _settled(ridges, free, slope, height, sheet)
        votes.remove(points)
        free[points] = False
        misses = misses + 1 if line is None else 0
        if line is None:
            votes.silence()
        elif not any(_same(line, other) for other in lines):
            lines.append(line)
            _mark(sheet.taken, line)
    return tuple(lines)


def ridge_points(darkness: NDArray[np.float32], solid: NDArray[np.bool_], grain: float = FINEST) -> Ridges:
    """Places darker than what lies a few px above and below, at their strongest row, off the letters.

    None in a map too low or too narrow for one.
    """
    edge = max(STEPS_PX)
    if len(darkness) < 2 * edge + 3 or darkness.shape[1] < NARROWEST_PX:
        return Ridges(np.empty(0), np.empty(0), np.empty(0), 0.0)
    thin = box_mean(darkness, (1, ALONG_PX))[:, STRIDE // 2 :: STRIDE]
    letters = greatest(solid, 5)[:, STRIDE // 2 :: STRIDE]
    middle = thin[edge:-edge]
    step = np.full_like(middle, -1.0)
    for s in STEPS_PX:
        up, down = thin[edge - s : -edge - s], thin[edge + s : len(thin) - edge + s]
        np.maximum(step, np.minimum(middle - up, middle - down), out=step)
    grain = max(_grain(thin), grain)
    step[letters[edge:-edge]] = -1.0
    peak = np.zeros(step.shape, bool)
    peak[1:-1] = (step[1:-1] >= step[:-2]) & (step[1:-1] > step[2:]) & (step[1:-1] > STANDS_OUT * grain)
    rows, columns = np.nonzero(peak)
    a, b, c = step[rows - 1, columns], step[rows, columns], step[rows + 1, columns]
    bend = np.minimum(a - 2 * b + c, -1e-9)
    y = rows + edge + 0.5 + np.clip(0.5 * (a - c) / bend, -0.5, 0.5)
    x = columns * STRIDE + STRIDE // 2 + 0.5
    return Ridges(x, y.astype(float), np.minimum(b / grain, WEIGHT_CAP).astype(float), len(rows) / peak.size)


def _grain(darkness: NDArray[np.float32]) -> float:
    """Standard deviation of the paper's grain, from the median step between rows a few px apart (half of them are blank).

    What lies off the sheet is all nought and says nothing; a page without any grain is nought nearly everywhere.
    """
    step = np.abs(darkness[5::2] - darkness[:-5:2])
    seen = greatest(darkness, GRAINY_PX, axis=0) > 0.0
    both = seen[5::2] & seen[:-5:2]
    return SIGMA_OF_MEDIAN / math.sqrt(2.0) * float(np.median(step[both] if both.mean() > GRAINY else step))


class _Votes:
    """The Hough table of the ridge points that are still free."""

    def __init__(self, ridges: Ridges, h: int, w: int) -> None:
        self.ridges = ridges
        self.slopes = np.tan(np.deg2rad(np.arange(-STEEPEST_DEG, STEEPEST_DEG + 1e-9, ANGLE_STEP_DEG)))
        self.offset = math.ceil(w / 2.0 * self.slopes.max()) + 2
        self.rows = h + 2 * self.offset
        self.middle = w / 2.0
        self.table = self._gathered()
        self.last = (0, 0)
        by_grain = 3.0 * min(ridges.density, 0.1) * w / STRIDE
        self.least = max(
            STANDS_OUT * (by_grain + SURE * math.sqrt(by_grain)), 0.5 * SHORTEST_RUN * w / STRIDE * STANDS_OUT
        )

    def _gathered(self) -> NDArray[np.float64]:
        x, y, weight = self._about_middle(np.arange(len(self.ridges.x)))
        heights = ((y - slope * x).astype(np.intp) for slope in self.slopes)
        return np.stack([np.bincount(rows, weight, self.rows)[: self.rows] for rows in heights])

    def _about_middle(self, points: NDArray[np.intp]) -> tuple[NDArray[Any], NDArray[np.float64], NDArray[np.float64]]:
        """Offset from the middle column, height from the table's first row, and weight of ridge points."""
        ridges = self.ridges
        return ridges.x[points] - self.middle, ridges.y[points] + (self.offset + 0.5), ridges.weight[points]

    def best(self) -> tuple[float, float, float]:
        """(slope in px down per px, height at the middle column, strength) of the strongest line."""
        three = self.table[:, :-2] + self.table[:, 1:-1] + self.table[:, 2:]
        k, row = np.unravel_index(int(three.argmax()), three.shape)
        self.last = (int(k), int(row))
        return float(self.slopes[k]), float(row + 1 - self.offset), float(three[k, row])

    def remove(self, points: NDArray[np.intp]) -> None:
        """Take points out of the table."""
        if len(points):
            x, y, weight = self._about_middle(points)
            rows = (y - self.slopes[:, None] * x).astype(np.intp)
            np.subtract.at(self.table, (np.arange(len(self.slopes))[:, None], rows), weight)

    def silence(self) -> None:
        """Let the last best place speak no more."""
        k, row = self.last
        self.table[k, row : row + 3] = 0.0


def _settled(
    ridges: Ridges, free: NDArray[np.bool_], slope: float, height: float, sheet: _Sheet
) -> tuple[StraightLine | None, NDArray[np.intp]]:
    """The line fitted to the free points about a vote, and the points it takes."""
    w = sheet.darkness.shape[1]
    fit = np.array([slope, height])
    near = np.empty(0, np.intp)
    for degree, reach in sheet.rounds:
        before = len(near)
        near = np.flatnonzero(free & (np.abs(ridges.y - np.polyval(fit, ridges.x - w / 2.0)) <= reach))
        if len(near) < 8 or np.ptp(ridges.x[near]) < SHORTEST_RUN * w:
            return None, near
        if (degree, reach) == SETTLE and len(fit) == 3 and len(near) == before:
            break
        bent = _fitted(ridges.x[near] - w / 2.0, ridges.y[near], ridges.weight[near] ** 2, degree)
        if bent is None:
            break
        fit = bent
    run = _longest_run(ridges.x[near], fit, sheet)
    if run is None or run[1] - run[0] < SHORTEST_RUN * w or run[2] < LEAST_COVER:
        return None, near
    return _line(fit, run, sheet), near


def _fitted(
    x: NDArray[np.float64], y: NDArray[np.float64], weight: NDArray[np.float64], degree: int
) -> NDArray[np.float64] | None:
    """Coefficients of the line through points about x = 0; None for a bow deeper than a drawn line's."""
    fit = huber_fit(x, y, weight, degree, rounds=4)
    if len(fit) == 3 and abs(fit[0]) * float(np.ptp(x)) / 4.0 > GREATEST_SAG:
        return None
    return fit


def _longest_run(x: NDArray[np.float64], fit: NDArray[np.float64], sheet: _Sheet) -> tuple[float, float, float] | None:
    """(left, right, cover) of the longest stretch without a gap wider than a few dashes; letters are no gap."""
    h, w = sheet.solid.shape
    columns = np.arange(STRIDE // 2, w, STRIDE)
    seen = np.zeros(len(columns), bool)
    seen[(x.astype(np.intp) - STRIDE // 2) // STRIDE] = True
    rows = np.rint(np.polyval(fit, columns + 0.5 - w / 2.0) - 0.5).astype(np.intp)
    inside = (rows >= 3) & (rows < h - 3)
    hidden = ~inside
    for d in (-3, 0, 3):
        at = rows[inside] + d, columns[inside]
        hidden[inside] |= sheet.solid[at] | sheet.taken[at]
    places = np.flatnonzero(seen)
    if len(places) < 2:
        return None
    blank = np.concatenate(([0], np.cumsum(~hidden)))
    gaps = blank[places[1:]] - blank[places[:-1] + 1]
    breaks = np.flatnonzero(gaps > max(2.0, GAP * len(columns)))
    starts, ends = places[np.append(0, breaks + 1)], places[np.append(breaks, len(places) - 1)]
    k = int((ends - starts).argmax())
    part = slice(starts[k], ends[k] + 1)
    bare = ~hidden[part]
    cover = float(seen[part][bare].mean()) if bare.any() else 0.0
    return float(columns[starts[k]]), float(columns[ends[k]] + 1), cover


def _line(fit: NDArray[np.float64], run: tuple[float, float, float], sheet: _Sheet) -> StraightLine | None:
    """The line as a record, None where it does not stand out of the grain along its whole run."""
    w = sheet.darkness.shape[1]
    profile = _profile(fit, run[0], run[1], sheet)
    if profile is None:
        return None
    beyond = profile[[0, 1, -2, -1]].mean(axis=0)
    contrast = profile[REACH - 1 : REACH + 2].mean(axis=0) - beyond
    # Neighbouring columns share the grain of the lens and of JPEG's blocks: a third of them counts.
    doubt = float(contrast.std()) / math.sqrt(max(1.0, len(contrast) / 3.0))
    if float(contrast.mean()) < max(FAINTEST, SURE * doubt):
        return None
    mean = (profile - beyond).mean(axis=1)
    dark = float(max(mean[REACH - 1 : REACH + 2].max(), 1e-3))
    width = float(max(1.0, np.clip(mean / dark, 0, 1).sum()))
    if width > CREASE_PX and dark < CREASE_DARK:
        return None
    at = [(x, float(np.polyval(fit, x - w / 2.0))) for x in (run[0], (run[0] + run[1]) / 2.0, run[1])]
    sag = at[1][1] - (at[0][1] + at[2][1]) / 2.0
    return StraightLine(at[0], at[2], width, dark, run[2], sag_px=sag)


def _profile(fit: NDArray[np.float64], x0: float, x1: float, sheet: _Sheet) -> NDArray[np.float32] | None:
    """Darkness above, on and below the line in each column where no letter stands; (2 REACH + 1, n)."""
    h, w = sheet.darkness.shape
    columns = np.arange(int(x0), int(x1))
    rows = np.rint(np.polyval(fit, columns + 0.5 - w / 2.0) - 0.5).astype(np.intp)
    inside = (rows >= REACH) & (rows < h - REACH)
    columns, rows = columns[inside], rows[inside]
    around = rows[None, :] + np.arange(-REACH, REACH + 1)[:, None]
    bare = ~sheet.solid[around, columns].any(axis=0)
    if bare.sum() < 20:
        return None
    profile: NDArray[np.float32] = sheet.darkness[around[:, bare], columns[bare]]
    return profile


def _same(line: StraightLine, other: StraightLine) -> bool:
    """Whether a line is another's ghost: it lies on it, or at the edge of its stroke, along most of its own length."""
    x0, x1 = max(line.start[0], other.start[0]), min(line.end[0], other.end[0])
    if x1 - x0 < 0.5 * (line.end[0] - line.start[0]):
        return False
    x = np.linspace(x0, x1, 9)
    return float(np.abs(line.at(x) - other.at(x)).mean()) < max(2.0, 0.75 * other.width_px)


def _mark(taken: NDArray[np.bool_], line: StraightLine) -> None:
    """Remember where a line runs."""
    h, w = taken.shape
    columns = np.arange(max(0, int(line.start[0])), min(w, int(line.end[0])))
    middle = line.at(columns + 0.5)
    for d in range(-3, 4):
        rows = np.clip((middle + d).astype(np.intp), 0, h - 1)
        taken[rows, columns] = True
