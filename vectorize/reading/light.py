"""An rgb region comes in; out goes its absorbance, with the colour of the paper and uneven light divided out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vectorize.raster import box_mean, depth_px, greatest, least, least_channel, resized, window_of

FLOOR = 8.0
"""Of 255: paper darker than this holds no reading, and division by it would only raise noise."""
SAMPLES, FEW = 12, 6
"""Across the widest stroke, where edges are read, and where lines and letters are only looked for."""
CLOSED_STROKES = 1.5
"""Of the widest stroke's width: dark places up to this wide are closed, so that a stroke always is."""
THUMB_PX, STROKES_ACROSS = 700, 12.0
"""Long side of the picture in which strokes are measured; a word of three heavy letters has strokes of a twelfth of it."""
DARK, WIDE, LEAST_STROKE_PX = 0.25, 0.98, 6.0
"""Absorbance of a stroke; share of the depths along strokes' middles that are no greater than the widest; and what a
picture without strokes is taken to have."""
PAPER_SPREAD = 0.12
"""Share by which the grain of paper and the noise of a camera may darken a pixel that is still blank."""


def absorbance(
    rgb: NDArray[np.uint8], stroke_px: float, within: NDArray[np.bool_] | None = None, samples: int = SAMPLES
) -> NDArray[np.float32]:
    """1 - I/paper for each channel; float32 (h, w, 3), 0 on blank paper, near 1 in the blackest pencil.

    rgb: (h, w, 3). stroke_px: width of the widest dark stroke, which the paper must be seen around.
    within: bool (h, w), True on the sheet; outside it the result is 0. samples: of the paper, across the widest stroke.
    """
    height, width = rgb.shape[:2]
    # Light changes slowly; the paper is worked out on a coarser grid.
    step = max(1, int(stroke_px / samples))
    size = max(1, width // step), max(1, height // step)
    paper = _paper(resized(rgb, size), int(CLOSED_STROKES * stroke_px / step) + 3, _thinned(within, size))
    dark = np.maximum(resized(paper, (width, height)), np.float32(FLOOR))
    np.divide(rgb, dark, out=dark)
    np.subtract(1.0, dark, out=dark)
    np.clip(dark, 0.0, 1.0, out=dark)
    if within is not None:
        dark[~within] = 0.0
    return dark


def _paper(small: NDArray[np.uint8], size: int, mask: NDArray[np.bool_] | None) -> NDArray[np.float32]:
    """The light that blank paper would send from each pixel (h, w, 3), as float32.

    Method: grey closing by a square wider than the strokes (J. Serra, Image Analysis and Mathematical Morphology,
    1982), which keeps the edge of a shadow where a blur would not. It takes the lightest grain for the paper, so it
    is set down to the mean of the blank pixels around.
    """
    # Off the sheet all is black and then white, so that neither the maximum nor the minimum sees it.
    sheet = None if mask is None else mask[:, :, None]
    covered = small if sheet is None else np.where(sheet, small, np.uint8(0))
    highest = greatest(covered, size)
    if mask is not None:
        highest[~greatest(mask, size)] = 255
    closed = least(highest, size).astype(np.float32)
    blank = closed - small < PAPER_SPREAD * closed
    weight = (blank if sheet is None else blank & sheet).astype(np.float32)
    around = 2 * size + 1
    seen = box_mean(small * weight, around)
    whole = box_mean(closed * weight, around)
    share = np.where(whole > 1.0, seen / np.maximum(whole, 1.0), np.float32(1.0))
    return np.asarray(closed * share, np.float32)


def widest_stroke(rgb: NDArray[np.uint8], within: NDArray[np.bool_] | None = None) -> float:
    """Width in px of the widest dark strokes in a region: twice the 98th percentile of ridge depths."""
    height, width = rgb.shape[:2]
    step = max(1, round(max(height, width) / THUMB_PX))
    size = max(1, width // step), max(1, height // step)
    seen = absorbance(resized(rgb, size), max(size) / STROKES_ACROSS, _thinned(within, size))
    depth = _depth(least_channel(seen) > DARK)
    ridge = depth[(depth == greatest(depth, 3)) & (depth >= 1.0)]
    return max(LEAST_STROKE_PX, 2.0 * float(np.quantile(ridge, WIDE)) * step) if len(ridge) else LEAST_STROKE_PX


def _depth(dark: NDArray[np.bool_]) -> NDArray[np.float32]:
    """Distance of each dark pixel to the nearest light one, in the box of the dark ones and a pixel around; nought where
    all are dark or none is."""
    window = window_of(dark)
    if window is None or dark.all():
        return np.zeros(dark.shape, np.float32)
    rows, columns = (slice(max(0, s.start - 1), s.stop + 1) for s in window)
    return depth_px(dark[rows, columns])


def _thinned(within: NDArray[np.bool_] | None, size_px: tuple[int, int]) -> NDArray[np.bool_] | None:
    """A mask at another size (width, height)."""
    return None if within is None else np.asarray(Image.fromarray(within).resize(size_px, Image.Resampling.NEAREST))
