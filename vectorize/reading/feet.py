"""A letter's ink comes in; out go the places where it stands and where it ends above, flat or round, to a part of a px."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import regions_of, spread
from vectorize.reading.records import LetterInk

# A foot parts from its neighbours by so much white below the letter, in x-heights.
APART = 0.06
# It is flat when it is nearly as wide a little way in (END) as further in (INNER); a circle has .53 there.
END, INNER = 0.02, 0.07
FLAT = 0.74
# A foot's level is the median of its edge without so much of its width at both ends, where the corners round off.
CORNER = 0.15
# Narrower marks are points (the tip of an A or a v), which pass the line as round ones do.
NARROW = 0.05
# Fewer columns show no arc whose top could be found.
FEWEST_COLUMNS = 7


@dataclass(frozen=True, slots=True)
class End:
    """A foot or a head: x and y of its level in strip px, its width in px, whether it is flat, its letter's index."""

    x: float
    y: float
    width_px: float
    flat: bool
    letter: int


def feet_of(letter: LetterInk, x_height_px: float) -> tuple[End, ...]:
    """Where a letter stands: each part of its lower edge that hangs below its surroundings."""
    return tuple(_ends(letter, x_height_px, lower=True))


def heads_of(letter: LetterInk, x_height_px: float) -> tuple[End, ...]:
    """Where a letter ends above: each part of its upper edge that rises above its surroundings."""
    return tuple(_ends(letter, x_height_px, lower=False))


def _ends(letter: LetterInk, x_height_px: float, *, lower: bool) -> list[End]:
    coverage = body_of(letter.coverage)
    coverage = coverage if lower else coverage[::-1]
    columns, edge = _lower_edge(coverage)
    if len(columns) < 3:
        return []
    # Off the letter there is nothing: far above, so that the outermost columns can be ends too.
    deep = np.full(int(columns[-1] - columns[0]) + 3, edge.min() - x_height_px)
    deep[columns - columns[0] + 1] = edge
    smooth = np.convolve(deep, np.ones(3) / 3.0, "same")
    ends = []
    for peak in prominent_peaks(smooth, APART * x_height_px):
        end = _end(deep, smooth, peak, x_height_px)
        if end is None:
            continue
        x, y, width, flat = end
        y_px = letter.top_px + (y if lower else len(coverage) - y)
        ends.append(End(letter.left_px + float(columns[0]) - 1.0 + x, y_px, width, flat, letter.index))
    return ends


def prominent_peaks(values: NDArray[np.float64], prominence: float) -> tuple[int, ...]:
    """Indices of the peaks that stand at least `prominence` above the lowest place to either side on the way to a higher one.

    The same peaks as scipy.signal.find_peaks gives, a plateau told by its middle.
    """
    found: list[int] = []
    low, highest, rising = float(values[0]), [0], False
    for i, v in enumerate(values.tolist()):
        if rising:
            top = values[highest[0]]
            if v > top:
                highest = [i]
            elif v == top and values[i - 1] < v:
                highest.append(i)
            elif top - v >= prominence:
                found += highest
                rising, low = False, v
        elif v - low >= prominence:
            rising, highest = True, [i]
        low = min(low, v)
    return tuple(_plateau_middle(values, i) for i in found)


def _plateau_middle(values: NDArray[np.float64], start: int) -> int:
    end = start
    while end + 1 < len(values) and values[end + 1] == values[start]:
        end += 1
    return (start + end) // 2


def body_of(coverage: NDArray[np.float32]) -> NDArray[np.float32]:
    """A letter's coverage (h, w) without its dots and accents, which reach no line: the largest part that is inked."""
    inked = coverage > 0.5
    regions = regions_of(inked, eight=True)
    if regions.count < 2:
        return coverage
    body = regions.largest()
    # Half-covered pixels at the body's edge belong to it.
    return np.where(body | (spread(body, 2) & ~inked), coverage, 0.0).astype(np.float32)


def _lower_edge(coverage: NDArray[np.float32]) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """(columns with ink, y of the lowest edge in each, where coverage falls through one half)."""
    inked = coverage > 0.5
    columns = np.flatnonzero(inked.any(axis=0))
    last = len(coverage) - 1 - inked[::-1, columns].argmax(axis=0)
    here = coverage[last, columns].astype(float)
    below = np.where(last + 1 < len(coverage), coverage[np.minimum(last + 1, len(coverage) - 1), columns], 0.0)
    return columns, last + 0.5 + (here - 0.5) / np.maximum(here - below, 1e-6)


def _end(
    deep: NDArray[np.float64], smooth: NDArray[np.float64], peak: int, x_height_px: float
) -> tuple[float, float, float, bool] | None:
    """(x, y, width, flat) of the end about a peak of the edge."""
    near, far = (_run(smooth, peak, d * x_height_px) for d in (END, INNER))
    wide = far[1] - far[0]
    flat = near[1] - near[0] >= FLAT * wide and wide > NARROW * x_height_px
    a, b = near if flat else far
    cut = int(CORNER * (b - a)) if flat else 0
    part = slice(a + cut, b - cut)
    y = deep[part]
    if not len(y):
        return None
    x = (a + b) / 2.0
    if flat or len(y) < FEWEST_COLUMNS:
        return x, float(np.median(y)), float(wide), flat
    t = np.arange(part.start, part.stop) + 0.5 - x
    c, d, e = np.polyfit(t, y, 2)
    top = float(np.clip(-d / (2 * c), t[0], t[-1])) if c < 0 else 0.0
    return x + top, float(np.polyval((c, d, e), top)), float(wide), flat


def _run(values: NDArray[np.float64], peak: int, depth: float) -> tuple[int, int]:
    """Bounds of the columns about a peak that lie within `depth` of it."""
    low = values < values[peak] - depth
    left = peak - int(low[peak::-1].argmax()) + 1 if low[: peak + 1].any() else 0
    right = peak + int(low[peak:].argmax()) if low[peak:].any() else len(values)
    return left, right
