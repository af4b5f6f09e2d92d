"""Edge samples of a letter come in; out go the long straight upright edges that are its stems, and their lean."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.edges import EdgeSamples
from vectorize.geometry import Points
from vectorize.trade.parts import STEMLESS, base_of

# Steeper lean than this is a diagonal; italics lean 6 to 18 degrees.
STEEPEST_DEG = 20.0
# A straight edge that is a stem is at least this long, letter units, or this share of the letter's height.
SHORTEST_U = 400.0
SHORTEST_SHARE = 0.36
# Residual (rms, letter units) of an edge about its line; the stricter one where the looser still holds part of a curve.
STRAIGHT_U = (10.0, 5.0)
# Rise of an arc over its chord, as a share of it: tremor bows an edge by less, the flattest side of an o by twice this.
BOWED = 0.03
# Diagonals come in pairs that lean against each other by more than any pair of stems does.
OPPOSED_DEG = 8.0
# Stems of one letter belong together; what leans this much from the others is a diagonal of M or N.
TOGETHER_DEG = 6.0
# The legs of many an M spread to both sides; that is its build, and their mean says how it stands.
SPLAYED_DEG = 3.0
# Tukey's constant for 95 per cent efficiency, enough rounds to settle, and a floor against exact straights.
BISQUARE = 4.685
ROUNDS = 8
SMALLEST_U = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class StraightEdge:
    """A straight upright edge: the numbers of its samples, its lean, and its length in letter units."""

    samples: NDArray[np.int64]
    lean_deg: float
    length_u: float


def stem_edges(samples: EdgeSamples, name: str | None) -> tuple[StraightEdge, ...]:
    """The straight edges of a letter's upright stems; empty for a letter without a stem."""
    if base_of(name) in STEMLESS:
        return ()
    height = float(np.ptp(samples.points[:, 1]))
    shortest = max(SHORTEST_U, SHORTEST_SHARE * height)
    edges: list[StraightEdge] = []
    for k in np.unique(samples.contour):
        for run in _steep_runs(samples, np.nonzero(samples.contour == k)[0]):
            edges += _straights(samples.points, run, shortest, STRAIGHT_U)
    return _without_diagonals(edges)


def _steep_runs(samples: EdgeSamples, ring: NDArray[np.int64]) -> list[NDArray[np.int64]]:
    """Stretches of one contour, as sample numbers in order, that run within reach of upright."""
    steep = np.abs(samples.tangents[ring, 0]) < math.sin(math.radians(STEEPEST_DEG + 6.0))
    if steep.all() or not steep.any():
        return []
    first = int(np.argmin(steep))
    ring, steep = np.roll(ring, -first), np.roll(steep, -first)
    bounds = np.nonzero(np.diff(np.concatenate(([False], steep, [False])).astype(int)))[0]
    return [ring[a:b] for a, b in bounds.reshape(-1, 2)]


def _straights(
    points: Points, run: NDArray[np.int64], shortest: float, limits: tuple[float, ...]
) -> list[StraightEdge]:
    """The longest straight parts of a steep stretch, longest first, none overlapping."""
    found: list[StraightEdge] = []
    while len(run) >= 8 and np.ptp(points[run, 1]) >= shortest:
        part = _longest_straight(points[run], shortest, limits)
        if part is None:
            break
        found.append(_edge(points, run[part[0] : part[1]]))
        before, after = run[: part[0]], run[part[1] :]
        run = before if len(before) > len(after) else after
    return [e for e in found if abs(e.lean_deg) <= STEEPEST_DEG]


def _longest_straight(p: Points, shortest: float, limits: tuple[float, ...]) -> tuple[int, int] | None:
    """Bounds of the longest stretch that is long enough and no arc; tried with ever stricter limits on its residual."""
    for limit in limits:
        part = _longest_run(p, limit)
        if part is None or np.ptp(p[part[0] : part[1], 1]) < shortest:
            return None
        if not _is_arc(p[part[0] : part[1]]):
            return part
    return None


def _is_arc(p: Points) -> bool:
    """Whether a stretch is bowed all along, more than tremor bows a straight edge."""
    t = np.linspace(-1.0, 1.0, len(p))
    sagitta = abs(float(np.polyfit(t, p[:, 0], 2)[0]))
    return sagitta > BOWED * float(np.ptp(p[:, 1]))


def _longest_run(p: Points, limit: float) -> tuple[int, int] | None:
    """Bounds of the longest stretch whose rms distance from its own line stays below `limit`."""
    y, x = p[:, 1] - p[:, 1].mean(), p[:, 0] - p[:, 0].mean()
    sums = [np.concatenate(([0.0], np.cumsum(v))) for v in (np.ones_like(x), y, x, y * y, x * y, x * x)]
    n, sy, sx, syy, sxy, sxx = (s[None, :] - s[:, None] for s in sums)
    n = np.where(n > 0, n, np.nan)
    vy, vx, c = syy - sy * sy / n, sxx - sx * sx / n, sxy - sx * sy / n
    with np.errstate(divide="ignore", invalid="ignore"):
        rms = np.sqrt(np.clip(vx - c * c / vy, 0.0, None) / n)
    good = (rms < limit) & (n >= 8)
    if not good.any():
        return None
    i, j = np.unravel_index(int(np.argmax(np.where(good, n, 0))), good.shape)
    return int(i), int(j)


def _edge(points: Points, run: NDArray[np.int64]) -> StraightEdge:
    # The ends may already turn into a serif or a shoulder.
    trim = max(1, len(run) // 12)
    slope = _robust_slope(points[run[trim:-trim]])
    y = points[run, 1]
    low, high = float(y.min()), float(y.max())
    return StraightEdge(run, math.degrees(math.atan(slope)), (high - low) * math.hypot(1.0, slope))


def _robust_slope(p: Points) -> float:
    """dx/dy of the line that most of the points lie on (Tukey's bisquare, reweighted; Huber, Robust Statistics, 1981)."""
    weight = np.ones(len(p))
    slope = 0.0
    for _ in range(ROUNDS):
        centre = weight @ p / weight.sum()
        d = p - centre
        slope = float((weight * d[:, 0] * d[:, 1]).sum() / (weight * d[:, 1] ** 2).sum())
        off = np.abs(d[:, 0] - slope * d[:, 1])
        scale = max(SMALLEST_U, 1.4826 * float(np.median(off)))
        weight = np.clip(1.0 - (off / (BISQUARE * scale)) ** 2, 0.0, None) ** 2 + 1e-9
    return slope


def _without_diagonals(edges: list[StraightEdge]) -> tuple[StraightEdge, ...]:
    if not edges:
        return ()
    leans = np.array([e.lean_deg for e in edges])
    if leans.min() < -OPPOSED_DEG and leans.max() > OPPOSED_DEG and np.abs(leans).min() > OPPOSED_DEG:
        return ()
    splayed = leans.min() < -SPLAYED_DEG and leans.max() > SPLAYED_DEG
    middle = 0.0 if splayed else weighted_median(leans, np.array([e.length_u for e in edges]))
    return tuple(e for e in edges if abs(e.lean_deg - middle) <= (OPPOSED_DEG if splayed else TOGETHER_DEG))


def weighted_median(values: NDArray[np.float64], weights: NDArray[np.float64]) -> float:
    """The least of the values, (n,), that reaches half of the weight together with all below it."""
    order = np.argsort(values)
    reached = np.cumsum(weights[order])
    return float(values[order[int(np.searchsorted(reached, reached[-1] / 2.0))]])


def shared(a: float, b: float) -> float:
    """What two departures have in common: the smaller where both go the same way, else nothing."""
    return min(a, b, key=abs) if a * b > 0.0 else 0.0
