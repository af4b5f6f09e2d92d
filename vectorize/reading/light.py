"""An rgb region comes in; out goes its absorbance, with the colour of the paper and uneven light divided out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vectorize.raster import box_mean, depth_px, greatest, least, least_channel, resized

FLOOR = 8.0
"""Of 255: paper darker than this holds no reading, and division by it would only raise noise."""
SAMPLES, FEW = 12, 6
"""Across the widest stroke, where edges are read, and where lines and letters are only looked for."""
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
    mask = None if within is None else np.asarray(Image.fromarray(within).resize(size, Image.Resampling.NEAREST))
    paper = _paper(resized(rgb, size), int(1.5 * stroke_px / step) + 3, mask)
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
    step = max(1, round(max(height, width) / 700))
    size = max(1, width // step), max(1, height // step)
    mask = None
    if within is not None:
        mask = np.asarray(Image.fromarray(within).resize(size, Image.Resampling.NEAREST))
    # A word of three heavy letters over the whole region has strokes of a twelfth of its length.
    seen = absorbance(resized(rgb, size), max(size) / 12.0, mask)
    depth = _depth(least_channel(seen) > 0.25)
    ridge = depth[(depth == greatest(depth, 3)) & (depth >= 1.0)]
    return max(6.0, 2.0 * float(np.percentile(ridge, 98)) * step) if len(ridge) else 6.0


def _depth(dark: NDArray[np.bool_]) -> NDArray[np.float32]:
    """Distance of each dark pixel to the nearest light one within the box of the dark
    ones and a pixel around; nought where none is light."""
    if dark.all():
        return np.zeros(dark.shape, np.float32)
    boxed = dark
    for axis in (0, 1):
        places = np.flatnonzero(boxed.any(axis=1 - axis))
        if len(places):
            boxed = np.take(boxed, np.arange(max(0, places[0] - 1), min(boxed.shape[axis], places[-1] + 2)), axis)
    return depth_px(boxed)
