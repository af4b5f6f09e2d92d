"""A level strip and a rough line in it come in, the line's own course goes out, to a fraction of a pixel.

The line's middle is the centre of its darkness in short blocks where no letter stands on it; a robust quadratic takes a
hand-drawn bow, what is left of the blocks' places is followed as well.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Point
from vectorize.reading.records import LineCourse
from vectorize.reading.straight import huber_fit

# A block's length and the window above and below the line, in x-heights.
BLOCK = 0.15
WINDOW = 0.045
# A block speaks when this share of its columns is free of letters.
BARE_SHARE = 0.25
# Letters stand where the darkness beyond the window is above this share of the line's own, or of full ink.
INKED = 0.35


def follow(
    absorbance: NDArray[np.float32],
    start: Point,
    end: Point,
    width_px: float,
    darkness: float,
    x_height_px: float,
    *,
    printed: bool,
) -> LineCourse | None:
    """The course of the line near `start`-`end` (strip px) in absorbance (h, w), or None where too little of it is seen."""
    h, w = absorbance.shape
    x0, x1 = max(0.0, start[0]), min(float(w), end[0])
    if x1 - x0 < 0.5 * x_height_px:
        return None
    slope = (end[1] - start[1]) / (end[0] - start[0])
    fit = np.array([slope, start[1] - slope * start[0]])
    half = max(1.0, width_px / 2.0)
    reach = int(np.ceil(max(WINDOW * x_height_px, 1.6 * half) + 2))
    blocks = np.empty((0, 3))
    for degree in (1, 2, 2):
        blocks = _block_places(absorbance, fit, (x0, x1), reach, x_height_px, darkness)
        if len(blocks) < 4:
            return None
        fit = huber_fit(blocks[:, 0], blocks[:, 1], blocks[:, 2], degree)
    line = huber_fit(blocks[:, 0], blocks[:, 1], blocks[:, 2], 1)
    middle = _course(blocks, fit, w, (x0, x1))
    if np.nanmin(middle) < 0 or np.nanmax(middle) > h:
        middle[(middle < 0) | (middle > h)] = np.nan
    at = lambda x: (float(x), float(np.polyval(line, x)))  # noqa: E731
    return LineCourse(middle, half, darkness, at(x0), at(x1), printed)


def _block_places(
    d: NDArray[np.float32],
    fit: NDArray[np.float64],
    span: tuple[float, float],
    reach: int,
    x_height_px: float,
    darkness: float,
) -> NDArray[np.float64]:
    """(x, y, weight) of each block's centre of darkness; (n, 3)."""
    h = len(d)
    columns = np.arange(int(span[0]), int(span[1]))
    centre = np.polyval(fit, columns + 0.5)
    rows = np.floor(centre).astype(int)[None, :] + np.arange(-reach, reach + 1)[:, None]
    inside = ((rows >= 0) & (rows < h)).all(axis=0)
    columns, rows = columns[inside], rows[:, inside]
    if not len(columns):
        return np.empty((0, 3))
    window = d[rows, columns]
    limit = max(0.06, INKED * darkness)
    bare = (window[:2].max(axis=0) < limit) & (window[-2:].max(axis=0) < limit)
    size = max(4, int(BLOCK * x_height_px))
    places = []
    for k in range(0, len(columns), size):
        use = bare[k : k + size]
        if use.mean() < BARE_SHARE:
            continue
        offset = rows[:, k : k + size][:, use] + 0.5 - np.polyval(fit, columns[k : k + size][use] + 0.5)
        y = _centre_of_darkness(window[:, k : k + size][:, use], offset)
        if y is None:
            continue
        x = float(columns[k : k + size][use].mean() + 0.5)
        places.append((x, float(np.polyval(fit, x)) + y[0], y[1]))
    return np.array(places).reshape(-1, 3)


def _centre_of_darkness(window: NDArray[np.float32], offset: NDArray[np.float64]) -> tuple[float, float] | None:
    """(offset of the centre, weight) of the ridge in the columns' windows, the paper's own tone taken off."""
    edge = np.linspace(-1, 1, len(window))[:, None]
    ends = np.array([window[:2].mean(), window[-2:].mean()])
    value = window - (ends[0] * (1 - edge) + ends[1] * (1 + edge)) / 2.0
    profile = value.mean(axis=1)
    top = float(profile.max())
    if top < 0.008:
        return None
    value = np.maximum(value - 0.25 * top, 0.0) * (profile > 0.1 * top)[:, None]
    total = float(value.sum())
    return (float((value * offset).sum() / total), min(top, 0.1)) if total > 0 else None


def _course(
    blocks: NDArray[np.float64], fit: NDArray[np.float64], w: int, span: tuple[float, float]
) -> NDArray[np.float64]:
    """The line's middle in each column, nan outside its span."""
    x = np.arange(w) + 0.5
    left = blocks[:, 1] - np.polyval(fit, blocks[:, 0])
    sigma = max(1.4826 * float(np.median(np.abs(left - np.median(left)))), 0.05)
    kept = np.abs(left) < 4 * sigma
    smooth = (
        np.convolve(np.pad(left[kept], 1, mode="edge"), (0.25, 0.5, 0.25), "valid") if kept.sum() > 2 else left[kept]
    )
    course = np.polyval(fit, x) + (np.interp(x, blocks[kept, 0], smooth) if kept.any() else 0.0)
    course[(x < span[0]) | (x > span[1])] = np.nan
    return np.asarray(course)
