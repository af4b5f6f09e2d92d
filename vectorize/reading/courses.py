"""A level strip and a rough line in it come in, the line's own course goes out, to a fraction of a pixel.

The line's middle is the centre of its darkness in short blocks where no letter stands on it; a robust quadratic takes a
hand-drawn bow, what is left of the blocks' places is followed as well.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import frozen
from vectorize.raster import least
from vectorize.reading.records import LineCourse, StraightLine
from vectorize.reading.ruling import without
from vectorize.reading.straight import huber_fit, robust_sigma

# A block's length and the window above and below the line, in x-heights.
BLOCK = 0.15
WINDOW = 0.045
# A line with hardly a gap is equally dark all along; more than MORE of that is something drawn on it.
WHOLE, MORE = 0.85, 1.4
# Fewer blocks tell no course, nor do blocks over less than this share of the line, nor a line shorter than so many x-heights.
LEAST_BLOCKS, LEAST_SPAN, SHORTEST = 4, 0.4, 0.5
# Nobody rules a line this thick, in x-heights; a row of small print looks like one from afar.
THICKEST = 0.3
# Columns so near to a letter, in x-heights, are its own.
BESIDE = 0.012
# A block speaks when this share of its columns is free of letters.
BARE_SHARE = 0.25
# What is darker than STRAY where three columns of four are blank is no part of the line.
USUAL, STRAY = 0.75, 0.03
# Blocks further off the fit than so many standard deviations, themselves no less than this, are not of the line.
STRAY_SIGMAS, LEAST_SIGMA_PX = 4.0, 0.05
# A ridge whose mean darkness is less is none; it ends where it has this share of its top, and what lies below the next
# share, uneven paper for the most part, is not weighed.
FAINTEST, RIDGE_ENDS, RIDGE_FOOT = 0.008, 0.1, 0.25
# Letters stand where the darkness at the window's edge is above this share of the line's own, and above paper's grain.
INKED, LEAST_INKED = 0.35, 0.06


def follow_all(
    darkness: NDArray[np.float32], lines: tuple[StraightLine, ...], x_height_px: float
) -> tuple[LineCourse, ...]:
    """The courses of all lines (given roughly, in px of the strip) through darkness (h, w).

    Printed ruling goes first, where no drawn line disturbs it; it is taken off before the drawn lines are followed,
    so that neither bends the other where they run close together.
    """
    lines = tuple(x for x in lines if x.width_px < THICKEST * x_height_px)
    drawn = tuple(x for x in lines if not x.printed)
    printed = [(x, follow(darkness, x, x_height_px, beside=drawn)) for x in lines if x.printed]
    straightened = tuple(x if c is None else _as_line(x, c) for x, c in printed)
    bare = darkness
    if straightened:
        bare = without(darkness, straightened, reach=math.ceil(straightened[0].width_px + 2.0))
    found = [*((x, follow(bare, x, x_height_px)) for x in drawn), *printed]
    courses = [_as_given(x, darkness.shape) if c is None else c for x, c in found]
    return tuple(c for c in courses if c is not None)


def follow(
    darkness: NDArray[np.float32], line: StraightLine, x_height_px: float, beside: tuple[StraightLine, ...] = ()
) -> LineCourse | None:
    """The course of a line given roughly, in px of darkness (h, w); None where too little of it is seen.

    beside: lines near which it is not looked at.
    """
    h, w = darkness.shape
    x0, x1 = max(0.0, line.start[0]), min(float(w), line.end[0])
    if x1 - x0 < SHORTEST * x_height_px:
        return None
    fit = _polynomial(line)
    reach = int(np.ceil(max(WINDOW * x_height_px, 1.6 * _half_width_px(line)) + 2))
    columns = _clear_columns(fit, (x0, x1), beside, reach)
    blocks = np.empty((0, 4))
    for degree in (1, 2, 2):
        blocks = _block_places(darkness, fit, columns, reach, x_height_px, line.darkness)
        if line.cover > WHOLE:
            blocks = _line_alone(blocks)
        if len(blocks) < LEAST_BLOCKS or np.ptp(blocks[:, 0]) < LEAST_SPAN * (x1 - x0):
            return None
        fit = huber_fit(blocks[:, 0], blocks[:, 1], blocks[:, 2], degree if line.sag_px == 0.0 else 2)
    straight = huber_fit(blocks[:, 0], blocks[:, 1], blocks[:, 2], 1)
    return _course(line, _middle(blocks, fit, w), straight, h)


def _line_alone(blocks: NDArray[np.float64]) -> NDArray[np.float64]:
    """Blocks without those that are much darker than the line is elsewhere: serifs lie along it there."""
    if len(blocks) < LEAST_BLOCKS:
        return blocks
    alone = blocks[blocks[:, 3] < MORE * np.quantile(blocks[:, 3], 0.3)]
    return alone if len(alone) >= LEAST_BLOCKS else blocks


def _polynomial(line: StraightLine) -> NDArray[np.float64]:
    """The line as polynomial coefficients, highest first."""
    length = line.end[0] - line.start[0]
    x0 = line.start[0]
    # y0 + slope (x - x0) + 4 sag t (1 - t) with t = (x - x0) / length
    bend = -4.0 * line.sag_px / length**2
    slope = line.slope + 4.0 * line.sag_px / length
    return np.array([bend, slope - 2.0 * bend * x0, line.start[1] - slope * x0 + bend * x0 * x0])


def _clear_columns(
    fit: NDArray[np.float64], span: tuple[float, float], beside: tuple[StraightLine, ...], reach: int
) -> NDArray[np.intp]:
    columns = np.arange(int(span[0]), int(span[1]))
    clear = np.ones(len(columns), bool)
    for other in beside:
        within = (columns > other.start[0] - reach) & (columns < other.end[0] + reach)
        near = np.abs(other.at(columns + 0.5) - np.polyval(fit, columns + 0.5)) < reach + other.width_px / 2.0 + 2.0
        clear &= ~(within & near)
    return np.asarray(columns[clear])


def _as_line(line: StraightLine, course: LineCourse) -> StraightLine:
    """The rough line moved onto its course."""
    x = np.flatnonzero(np.isfinite(course.middle_px)) + 0.5
    fit = np.polyfit(x, course.middle_px[np.isfinite(course.middle_px)], 2)
    return line.moved_onto(fit, float(x[0]), float(x[-1]))


def _as_given(line: StraightLine, shape: tuple[int, int]) -> LineCourse | None:
    """A line's course as it was given, where too little of it shows; None where it does not run through the strip."""
    h, w = shape
    x = np.arange(w, dtype=np.float64) + 0.5
    inside = (x >= line.start[0]) & (x <= line.end[0])
    if not inside.any():
        return None
    straight = huber_fit(x[inside], line.at(x[inside]), np.ones(int(inside.sum())), 1)
    return _course(line, line.at(x), straight, h)


def _course(
    line: StraightLine, middle: NDArray[np.float64], straight: NDArray[np.float64], height_px: int
) -> LineCourse | None:
    """The record of a line that runs along `middle` (w,), cut to its ends and to the strip; None where nothing is left."""
    x = np.arange(len(middle)) + 0.5
    x0, x1 = max(0.0, line.start[0]), min(float(len(middle)), line.end[0])
    own = (x >= x0) & (x <= x1) & (middle >= 0) & (middle <= height_px)
    if not own.any():
        return None
    y0, y1 = (float(y) for y in np.polyval(straight, np.array([x0, x1])))
    seen = frozen(np.where(own, middle, np.nan))
    return LineCourse(seen, _half_width_px(line), line.darkness, (x0, y0), (x1, y1), line.printed)


def _half_width_px(line: StraightLine) -> float:
    return max(1.0, line.width_px / 2.0)


def _block_places(
    darkness: NDArray[np.float32],
    fit: NDArray[np.float64],
    columns: NDArray[np.intp],
    reach: int,
    x_height_px: float,
    line_darkness: float,
) -> NDArray[np.float64]:
    """(x, y, weight, darkness across the line) of each block's centre of darkness; (n, 4)."""
    h = len(darkness)
    centre = np.polyval(fit, columns + 0.5)
    rows = np.floor(centre).astype(int)[None, :] + np.arange(-reach, reach + 1)[:, None]
    inside = ((rows >= 0) & (rows < h)).all(axis=0)
    columns, rows = columns[inside], rows[:, inside]
    if not len(columns):
        return np.empty((0, 4))
    window = darkness[rows, columns]
    limit = max(LEAST_INKED, INKED * line_darkness)
    bare = (window[:2].max(axis=0) < limit) & (window[-2:].max(axis=0) < limit)
    # Flecks in a letter's fill look bare by themselves; paper is bare for some way.
    bare = least(bare[None, :], 2 * max(1, round(BESIDE * x_height_px)) + 1, axis=1)[0]
    size = max(4, int(BLOCK * x_height_px))
    whole = np.bincount(np.arange(len(columns)) // size)
    bare, window, offset = (_in_blocks(v, size) for v in (bare, window, rows + 0.5 - np.polyval(fit, columns + 0.5)))
    free = bare.sum(axis=1) >= BARE_SHARE * whole
    if not free.any():
        return np.empty((0, 4))
    bare = bare[free]
    x = (_in_blocks(columns + 0.5, size)[free] * bare).sum(axis=1) / bare.sum(axis=1)
    from_line, weight, dark = _centres_of_darkness(window[:, free], offset[:, free], bare)
    seen = np.isfinite(from_line)
    return np.column_stack((x, np.polyval(fit, x) + from_line, weight, dark))[seen]


def _in_blocks(values: NDArray[Any], size: int) -> NDArray[Any]:
    """Values (..., columns) as (..., blocks, size), the last block filled up with noughts."""
    padded = np.pad(values, [(0, 0)] * (values.ndim - 1) + [(0, -values.shape[-1] % size)])
    return padded.reshape(*values.shape[:-1], -1, size)


def _centres_of_darkness(
    window: NDArray[np.float32], offset: NDArray[np.float64], bare: NDArray[np.bool_]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Offset of the centre (nan where no ridge is seen), weight and sum of the ridge in each block, (blocks,) each.

    window: darkness (rows, blocks, columns), the paper's own tone still in it. offset: of each pixel from the line.
    bare: (blocks, columns), which of the columns count.
    """
    count = bare.sum(axis=1)
    edge = np.linspace(-1, 1, len(window))[:, None]
    above, below = ((rows.mean(axis=0) * bare).sum(axis=1) / count for rows in (window[:2], window[-2:]))
    value = window - ((above * (1 - edge) + below * (1 + edge)) / 2.0)[:, :, None]
    # A dot of dotted paper or a speck is dark in a few columns only; a line, a dashed one too, in most.
    value = np.minimum(value, np.maximum(1.5 * _usual(value, bare, count), STRAY)) * bare
    profile = value.sum(axis=2) / count
    top = profile.max(axis=0)
    ridge = profile > RIDGE_ENDS * top
    value = np.maximum(value - RIDGE_FOOT * top[:, None], 0.0) * (ridge[:, :, None] & bare)
    total = value.sum(axis=(0, 2))
    seen = (top >= FAINTEST) & (total > 0)
    centre = np.where(seen, (value * offset).sum(axis=(0, 2)) / np.where(seen, total, 1.0), np.nan)
    return centre, np.minimum(top, 0.1), (profile * ridge).sum(axis=0)


def _usual(value: NDArray[np.float64], bare: NDArray[np.bool_], count: NDArray[np.intp]) -> NDArray[np.float64]:
    """The USUAL quantile along the columns that count, (rows, blocks, 1)."""
    ordered = np.sort(np.where(bare, value, np.inf), axis=2)
    place = USUAL * (count - 1)
    low = np.floor(place).astype(np.intp)
    a, b = (np.take_along_axis(ordered, k[None, :, None], axis=2) for k in (low, np.minimum(low + 1, count - 1)))
    return np.asarray(a + (b - a) * (place - low)[None, :, None])


def _middle(blocks: NDArray[np.float64], fit: NDArray[np.float64], w: int) -> NDArray[np.float64]:
    """The line's middle in each column, the blocks' smoothed distances from the fit added to it."""
    x = np.arange(w) + 0.5
    left = blocks[:, 1] - np.polyval(fit, blocks[:, 0])
    sigma = robust_sigma(left - np.median(left), LEAST_SIGMA_PX)
    kept = np.abs(left) < STRAY_SIGMAS * sigma
    smooth = (
        np.convolve(np.pad(left[kept], 1, mode="edge"), (0.25, 0.5, 0.25), "valid") if kept.sum() > 2 else left[kept]
    )
    return np.asarray(np.polyval(fit, x) + (np.interp(x, blocks[kept, 0], smooth) if kept.any() else 0.0))
