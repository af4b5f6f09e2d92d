"""Darkness and evened ink come in, the same ink without cracks goes out: straight white swipes right through strokes.

A crack is what an eraser, a fold or a scratch leaves: a white band, straight, of one width and narrow, that runs between
two sides of ink and comes out into the open at both ends of all that it crosses. Counters, notches and ink traps have a
closed end; a narrow opening, as of an e, has one side that goes on beyond it until the band's course is blocked; the gap
under a dot or a ring widens to both ends. A band is looked for by what a vertical closing covers, so that gaps between
letters, steeper than 45 degrees, are never seen.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box
from vectorize.raster import Mask, blurred, closed, regions_of
from vectorize.reading.fill import GRAIN, Levels
from vectorize.trade.ink import CRACK_WIDTH_RATIO, FULL_DARKNESS_SHARE

Plane = NDArray[np.float32]

# Bands rise or fall by no more than this, px a px.
STEEPEST = 1.05
# A white place is this much lighter than what the closing makes of it, in a crack lighter than this share of full black.
DEPTH, WHITE = 0.3, 0.7
# What a crack crosses is this many times as long as it is wide at least, and as long as a hairline stroke is wide, x-heights.
LONG, SHORTEST = 2.0, 0.05
# A course is judged so far beyond the piece that showed it; between two strokes it is white for so long; it is not broken by
# dark flecks shorter than this; x-heights.
BEYOND, OPEN, FLECK = 2.5, 0.02, 0.012
# Evened ink reaches into a crack by so much from both sides together; its sides are sound so far from its edges, x-heights.
SPREAD, RIM = 0.008, 0.02
# Pieces of narrow white that are so many are the paper between strokes of loose hatching, and no crack is told from them: a
# full drawing shows up to 17, a loosely hatched one more than 100.
HATCHED = 40
# By so much, in x-heights, may the width of a crack be greater at both ends than midway, and its edges depart from its course.
BOW, DRIFT = 0.006, 0.02
# The edge of a stroke crosses a crack by no more than so many times the crack's width along it.
SLANT = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Healed:
    """Ink (h, w) without cracks, and the boxes of the places where a crack went through ink."""

    ink: Plane
    places: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class _Course:
    """The middle of a band: y = slope x + height at the pixels' indices, seen from one column up to another."""

    slope: float
    height: float
    start: int
    stop: int

    @property
    def tall(self) -> float:
        """Vertical px to each px across the band."""
        return float(np.hypot(1.0, self.slope))

    def y(self, x: NDArray[np.int64]) -> NDArray[np.float64]:
        return np.asarray(self.slope * x + self.height, np.float64)


@dataclass(frozen=True, slots=True)
class _Crack:
    """A crack: its course, its width across in px, and the columns (from, up to) where it crosses ink."""

    course: _Course
    width_px: float
    crossings: tuple[tuple[int, int], ...]


def close_cracks(ink: Plane, darkness: Plane, levels: Levels, x_height_px: float) -> Healed:
    """Evened ink (h, w) with cracks filled where they cross it; darkness (h, w) and its levels show them best."""
    full = np.float32(FULL_DARKNESS_SHARE) * (levels.letter - levels.paper)
    plain = blurred(np.clip((darkness - levels.paper) / full, 0.0, 1.0), GRAIN * x_height_px, truncate=3.0)
    # Across a band that slopes by 45 degrees a column is longer by half.
    lid = closed(plain, round(1.45 * CRACK_WIDTH_RATIO * x_height_px) + 2, axis=0)
    hidden = lid - plain
    regions = regions_of(hidden > DEPTH, eight=True)
    longest_first = sorted(
        (
            (w, label)
            for label, w in enumerate(regions.windows(), start=1)
            if _columns(w) > 0.7 * SHORTEST * x_height_px
        ),
        key=lambda seen: -_columns(seen[0]),
    )
    healed, done, places = ink.copy(), np.zeros(ink.shape, bool), []
    if len(longest_first) > HATCHED:
        return Healed(healed, ())
    for window, label in longest_first:
        own = regions.labels[window] == label
        if (done[window] & own).any():
            continue
        course = _course_of(hidden[window] * own, window)
        if course is None or _width_px(plain, course, x_height_px) is None or not _opens(lid, course, x_height_px):
            continue
        crack = _judged(plain, lid, _followed(hidden, course, x_height_px), x_height_px)
        if crack:
            places += _fill(healed, done, ink, crack, x_height_px)
    return Healed(healed, tuple(places))


def _columns(window: tuple[slice, slice]) -> int:
    return int(window[1].stop - window[1].start)


def _course_of(weight: Plane, window: tuple[slice, slice]) -> _Course | None:
    """The straight line through the middles of a region's columns; None where there is none, or it is too steep."""
    x = np.arange(window[1].start, window[1].stop)
    total = weight.sum(axis=0)
    middle = (weight * np.arange(window[0].start, window[0].stop)[:, None]).sum(axis=0) / np.maximum(total, 1e-6)
    line = _robust_line(x, middle, total > 0, 2.0)
    if line is None or abs(line[0]) > STEEPEST:
        return None
    return _Course(*line, window[1].start, window[1].stop)


def _robust_line(x: NDArray[np.int64], y: NDArray[np.floating], seen: Mask, times: float) -> tuple[float, float] | None:
    """Slope and height of the line through the points that lie within so many median residuals of it."""
    near = seen
    line = None
    for _ in range(3):
        if np.count_nonzero(near) < 3:
            return line
        # Least squares written out: a general fit takes ten times as long, and there are many pieces.
        px, py = x[near] - x[near].mean(), y[near] - y[near].mean()
        slope = float((px * py).sum() / (px * px).sum())
        height = float(y[near].mean() - slope * x[near].mean())
        line = slope, height
        off = np.abs(y - slope * x - height)
        near = seen & (off <= max(0.7, times * float(np.sort(off[near])[np.count_nonzero(near) // 2])))
    return line


def _opens(lid: Plane, course: _Course, x_height_px: float) -> bool:
    """Whether open white is near on the course before or after the piece of it that was seen."""
    near = round(2 * CRACK_WIDTH_RATIO * x_height_px)
    x = np.concatenate((np.arange(course.start - near, course.start), np.arange(course.stop, course.stop + near)))
    x = x[(x >= 0) & (x < lid.shape[1])]
    return bool((_at(lid, course.y(x), x) < 0.5).any())


def _followed(hidden: Plane, course: _Course, x_height_px: float) -> _Course:
    """The course taken further along what is hidden near it, twice."""
    half = max(2, round(CRACK_WIDTH_RATIO * x_height_px / 2.0))
    for _ in range(2):
        more = int(max(0.25 * x_height_px, 0.5 * (course.stop - course.start)))
        x = np.arange(max(0, course.start - more), min(hidden.shape[1], course.stop + more))
        seen = _along(hidden, course, x, half)
        seen = np.where(seen > DEPTH, seen, 0.0)
        total = seen.sum(axis=0)
        off = (seen * np.arange(-half, half + 1)[:, None]).sum(axis=0) / np.maximum(total, 1e-6)
        there = (total > 0) & (np.abs(off) < 0.5 * half)
        line = _robust_line(x, off, there, 1.5)
        if line is None:
            break
        on = x[there & (np.abs(off - line[0] * x - line[1]) <= 1.5)]
        ends = (int(on[0]), int(on[-1]) + 1) if on.size else (course.start, course.stop)
        start, stop = min(course.start, ends[0]), max(course.stop, ends[1])
        course = _Course(course.slope + line[0], course.height + line[1], start, stop)
    return course


def _along(plane: Plane, course: _Course, x: NDArray[np.int64], half: int) -> Plane:
    """The plane in columns x at whole steps down from `half` above the course to `half` below, (2 half + 1, n)."""
    down = np.arange(-half, half + 1)[:, None]
    return _at(plane, course.y(x) + down, x)


def _at(plane: Plane, y: NDArray[np.float64], x: NDArray[np.int64]) -> Plane:
    y = np.clip(y, 0.0, plane.shape[0] - 1.001)
    above = y.astype(np.int64)
    share = (y - above).astype(np.float32)
    over = plane[above, x]
    return np.asarray(over + (plane[above + 1, x] - over) * share)


def _judged(plain: Plane, lid: Plane, course: _Course, x_height_px: float) -> _Crack | None:
    """The crack that runs along a course; None where what is white there may have been meant white."""
    width_px = _width_px(plain, course, x_height_px)
    if width_px is None:
        return None
    tall, half, beyond = course.tall, _half(course, x_height_px), int(BEYOND * x_height_px)
    x = np.arange(max(0, course.start - beyond), min(plain.shape[1], course.stop + beyond))
    across = _along(plain, course, x, half)
    middle = across[half - 1 : half + 2].min(axis=0)
    rim = max(1, round((width_px / 2 + RIM * x_height_px) * tall))
    sides = np.stack([across[max(0, half - rim - 1) : half - rim + 1], across[half + rim : half + rim + 2]])
    covered = _along(lid, course, x, 1).max(axis=0) > 0.5
    white = _without_gaps(middle < WHITE, FLECK * x_height_px / tall)
    least = max(SHORTEST * x_height_px, LONG * width_px) / tall
    crossings = _crossed(
        across, sides.max(axis=1) > 0.5, covered, white, (least, OPEN * x_height_px / tall), tall * x_height_px
    )
    first = int(x[0])
    return _Crack(course, width_px, tuple((a + first, b + first) for a, b in crossings)) if crossings else None


def _half(course: _Course, x_height_px: float) -> int:
    """Steps down from a course that reach the sound sides of the widest crack."""
    return int((CRACK_WIDTH_RATIO / 2 + 2 * RIM) * x_height_px * course.tall) + 1


def _width_px(plain: Plane, course: _Course, x_height_px: float) -> float | None:
    """The width across of the band where the course was seen; None where it is no band, or a wide one."""
    half = _half(course, x_height_px)
    across = _along(plain, course, np.arange(course.start, course.stop), half)
    walled = (across[:3] > 0.5).any(axis=0) & (across[-3:] > 0.5).any(axis=0)
    seen = walled & (across[half - 1 : half + 2].min(axis=0) < WHITE)
    if abs(course.slope) > STEEPEST or np.count_nonzero(seen) * course.tall < 0.6 * SHORTEST * x_height_px:
        return None
    upper, lower = _edges(np.median(across[:, seen], axis=1)[:, None], half)
    width_px = float(lower[0] - upper[0]) / course.tall
    return width_px if width_px <= (CRACK_WIDTH_RATIO - SPREAD) * x_height_px else None


def _crossed(
    across: Plane, inked: Mask, covered: Mask, white: Mask, least: tuple[float, float], x_height_px: float
) -> list[tuple[int, int]]:
    """The columns (from, up to) where a swipe crosses ink; none where what is white is none.

    across: (2 half + 1, n) about the course. inked: its sides (2, n). covered: it lies under the closing. white: its middle
    is. least: columns that are crossed, and that are free before and after. x_height_px: as the columns see it.
    """
    found: list[tuple[int, int]] = []
    crossed, free = white & covered & inked.all(axis=0), white & ~covered
    for span in _runs(white):
        mine = _crossings(crossed[span[0] : span[1]], span[0], least[1])
        through = _through(mine, free, span, max(2, round(least[1])))
        if not through or not _is_swipe(inked, span, through, least[0]):
            continue
        start, stop = max(through, key=lambda c: c[1] - c[0])
        if _is_even(across[:, start:stop], len(across) // 2, x_height_px):
            found += mine
    return found


def _runs(mask: Mask) -> list[tuple[int, int]]:
    """Where a row of truths begins and ends to be true."""
    step = np.diff(np.concatenate(([0], mask.view(np.int8), [0])))
    return list(zip(np.flatnonzero(step > 0).tolist(), np.flatnonzero(step < 0).tolist(), strict=True))


def _without_gaps(mask: Mask, longest: float) -> Mask:
    """The row with its gaps filled that are between two true places and no longer than this, or a single one."""
    whole = mask.copy()
    for start, stop in _runs(~mask):
        if start > 0 and stop < len(mask) and stop - start <= max(1.0, longest):
            whole[start:stop] = True
    return whole


def _crossings(crossed: Mask, start: int, longest_gap: float) -> list[tuple[int, int]]:
    return [(start + a, start + b) for a, b in _runs(_without_gaps(crossed, longest_gap)) if b - a >= 2]


def _through(crossings: list[tuple[int, int]], free: Mask, span: tuple[int, int], least: int) -> list[tuple[int, int]]:
    """The crossings of a white span that come out into open white at both ends."""
    ends = [span[0], *(end for c in crossings for end in c), span[1]]
    opened = [np.count_nonzero(free[a:b]) >= least for a, b in zip(ends[::2], ends[1::2], strict=True)]
    return [c for c, before, after in zip(crossings, opened[:-1], opened[1:], strict=True) if before and after]


def _is_swipe(inked: Mask, span: tuple[int, int], crossings: list[tuple[int, int]], least: float) -> bool:
    """Whether both sides end, before the course is blocked, and nearer to each other than they are long."""
    before = [_end(side, crossings[0][0], -1) for side in inked]
    after = [_end(side, crossings[-1][1] - 1, 1) for side in inked]
    if min(before) < span[0] or max(after) >= span[1]:
        return False
    length = sum(b - a for a, b in crossings)
    return length >= max(least, abs(before[0] - before[1]), abs(after[0] - after[1]))


def _end(side: Mask, at: int, step: int) -> int:
    """The first place without ink from a place on in a direction, or the last one, where there is none at it."""
    while 0 < at < len(side) - 1 and side[at]:
        at += step
    while 0 <= at - step < len(side) and not side[at - step]:
        at -= step
    return at


def _is_even(across: Plane, half: int, x_height_px: float) -> bool:
    """Whether the edges along a crossing (2 half + 1, n) are straight, parallel and along its course."""
    # Where it comes out its corners are round.
    corner = across.shape[1] // 8
    upper, lower = _edges(across[:, corner : across.shape[1] - corner], half)
    width = lower - upper
    seen = width < 2.5 * np.median(width)
    place = np.linspace(-1.0, 1.0, len(width))[seen]
    if len(place) < 5:
        return True
    bow, taper, _ = np.polyfit(place, width[seen], 2)
    drift, _ = np.polyfit(place, (lower + upper)[seen] / 2.0, 1)
    return bool(bow < BOW * x_height_px and 2.0 * max(abs(taper), abs(drift)) < DRIFT * x_height_px)


def _edges(across: Plane, half: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Where each column (2 half + 1, n) rises halfway from its whitest to its sides, above and below its middle."""
    level = (across.min(axis=0) + np.minimum(across[:half].max(axis=0), across[half + 1 :].max(axis=0))) / 2.0
    ends = []
    for side in (across[half::-1], across[half:]):
        dark = side >= level
        at = np.where(dark.any(axis=0), dark.argmax(axis=0), half)
        column = np.arange(across.shape[1])
        here, nearer = side[at, column], side[np.maximum(at - 1, 0), column]
        ends.append(at - np.clip((here - level) / np.maximum(here - nearer, 1e-3), 0.0, 1.0))
    return half - ends[0], half + ends[1]


def _fill(healed: Plane, done: Mask, ink: Plane, crack: _Crack, x_height_px: float) -> list[Box]:
    """Fill each crossing by all straight strokes of ink from one of its sides to the other that are not too slanted.

    A grey closing by segments across the band: the edge of a stroke goes straight on between the sides' ends.
    """
    course, places = crack.course, []
    height = (crack.width_px + 2 * RIM * x_height_px) * course.tall
    reach = int(np.ceil(height / course.tall * SLANT))
    upright = -course.slope * height / course.tall**2
    for start, stop in crack.crossings:
        x = np.arange(max(0, start - reach - 3), min(ink.shape[1], stop + reach + 3))
        top = course.y(x) - height / 2
        here = slice(start - int(x[0]), stop - int(x[0]))
        upper, lower = (_own(_at(ink, y, x), here) for y in (top, top + height))
        rows = top.astype(np.int64)[None, :] + np.arange(1, int(height) + 2)[:, None]
        share = (rows - top) / height
        fill = np.zeros(rows.shape, np.float32)
        for lean in upright + np.arange(-reach, reach + 1):
            above = np.rint(np.arange(len(x)) - lean * share).astype(np.int64)
            below = np.rint(np.arange(len(x)) + lean * (1.0 - share)).astype(np.int64)
            both = np.minimum(upper[np.clip(above, 0, len(x) - 1)], lower[np.clip(below, 0, len(x) - 1)])
            np.maximum(fill, both, out=fill)
        inside = (share < 1.0) & (rows >= 0) & (rows < ink.shape[0])
        at = rows[inside], np.broadcast_to(x, rows.shape)[inside]
        healed[at] = np.maximum(healed[at], fill[inside])
        done[at] = True
        places.append(Box(float(start), float(at[0].min()), float(stop), float(at[0].max() + 1)))
    return places


def _own(side: Plane, here: slice) -> Plane:
    """A side's ink with its soft ends, without the ink of what the crack does not cross here."""
    kept = np.zeros(len(side), bool)
    for start, stop in _runs(side > 0.5):
        if start < here.stop and stop > here.start:
            kept[max(0, start - 4) : stop + 4] = True
    return np.where(kept, side, np.float32(0.0))
