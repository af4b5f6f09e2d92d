"""An rgb region comes in; out goes its absorbance, with the colour of the paper and uneven light divided out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

FLOOR = 8.0
"""Of 255: paper darker than this holds no reading, and division by it would only raise noise."""


def absorbance(
    rgb: NDArray[np.uint8], stroke_px: float, within: NDArray[np.bool_] | None = None
) -> NDArray[np.float32]:
    """1 - I/paper for each channel; float32 (h, w, 3), 0 on blank paper, near 1 in the blackest pencil.

    rgb: (h, w, 3). stroke_px: width of the widest dark stroke, which the paper must be seen around.
    within: bool (h, w), True on the sheet; outside it the result is 0.

    Method: grey closing by a square wider than the strokes keeps the edges of shadows, where a blur would not;
    the closing takes the lightest grain of the paper for the paper, so it is set down by their mean difference.
    """
    step = max(1, int(stroke_px / 12))
    paper = background(rgb, stroke_px, step, within)
    out = 1.0 - rgb.astype(np.float32) / np.maximum(paper, FLOOR)
    np.clip(out, 0.0, 1.0, out=out)
    if within is not None:
        out[~within] = 0.0
    return out


def background(
    rgb: NDArray[np.uint8], stroke_px: float, step: int, within: NDArray[np.bool_] | None
) -> NDArray[np.float32]:
    """The paper's own light for each pixel and channel, float32 (h, w, 3)."""
    height, width = rgb.shape[:2]
    image = Image.fromarray(rgb)
    if step > 1:
        image = image.resize((max(1, width // step), max(1, height // step)), Image.Resampling.BOX)
    small = np.array(image)
    mask = None
    if within is not None:
        mask = np.asarray(Image.fromarray(within).resize(image.size, Image.Resampling.NEAREST))
        small[~mask] = 0
    size = int(1.5 * stroke_px / step) + 3
    closed = np.stack([_closed(small[:, :, c], size) for c in range(3)], axis=2).astype(np.float32)
    blank = closed - small < 0.12 * closed
    if mask is not None:
        blank &= mask[:, :, None]
    for c in range(3):
        on = blank[:, :, c]
        if on.any():
            closed[:, :, c] *= float((small[:, :, c][on] / np.maximum(closed[:, :, c][on], 1.0)).mean())
    if step == 1:
        return closed
    planes = [
        np.asarray(Image.fromarray(closed[:, :, c]).resize((width, height), Image.Resampling.BILINEAR))
        for c in range(3)
    ]
    return np.stack(planes, axis=2)


def _closed(plane: NDArray[np.uint8], size: int) -> NDArray[np.uint8]:
    """Grey closing by a square of `size`, edges mirrored."""
    highest = ndimage.maximum_filter(plane, size=size, mode="nearest")
    closed: NDArray[np.uint8] = ndimage.minimum_filter(highest, size=size, mode="nearest")
    return closed


def widest_stroke(rgb: NDArray[np.uint8], within: NDArray[np.bool_] | None = None) -> float:
    """Width in px of the widest dark strokes in a region: twice the 98th percentile of ridge depths."""
    height, width = rgb.shape[:2]
    step = max(1, round(max(height, width) / 700))
    image = Image.fromarray(rgb).resize((max(1, width // step), max(1, height // step)), Image.Resampling.BOX)
    wide = max(image.size) / 12.0
    mask = None
    if within is not None:
        mask = np.asarray(Image.fromarray(within).resize(image.size, Image.Resampling.NEAREST))
    dark = absorbance(np.asarray(image), wide, mask).min(axis=2) > 0.25
    depth = ndimage.distance_transform_edt(dark)
    ridge = depth[(depth == ndimage.maximum_filter(depth, 3)) & (depth >= 1.0)]
    return max(6.0, 2.0 * float(np.percentile(ridge, 98)) * step) if len(ridge) else 6.0
