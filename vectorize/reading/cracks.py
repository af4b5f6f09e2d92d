"""Evened ink comes in, the same without hairline cracks goes out: white scratches that run right through a stroke."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import closed
from vectorize.reading.blobs import Blob, blobs_of
from vectorize.trade.ink import CRACK_WIDTH_RATIO

# A crack is this many times longer than wide at least, and as long as a hairline stroke is wide, x-heights.
LONG, SHORTEST = 2.0, 0.05
# How far beyond its ends a crack must come out into the open, x-heights.
OPEN = 0.02


def close_cracks(ink: NDArray[np.float32], x_height_px: float) -> NDArray[np.float32]:
    """Ink (h, w) with narrow, nearly level cracks filled.

    Upright cracks look like the gap between two letters and are left; so is every notch, which has one closed end.
    """
    mask = ink > 0.5
    widest = max(2, round(CRACK_WIDTH_RATIO * x_height_px))
    healed = ink.copy()
    for crack in blobs_of(closed(mask, widest + 1, axis=0) & ~mask):
        if _runs_through(crack, mask, x_height_px):
            healed[crack.window][crack.mask] = 1.0
    return healed


def _runs_through(crack: Blob, mask: NDArray[np.bool_], x_height_px: float) -> bool:
    length = crack.mask.shape[1]
    if length < SHORTEST * x_height_px or crack.area_px * LONG > length * length:
        return False
    columns = np.arange(length)
    middle = (crack.mask * np.arange(crack.mask.shape[0])[:, None]).sum(axis=0) / crack.mask.sum(axis=0)
    slope, height = np.polyfit(columns, middle, 1)
    if abs(slope) > 1.0:
        return False
    step = max(2.0, OPEN * x_height_px)
    for x in (-step, length - 1 + step):
        row = round(crack.window[0].start + height + slope * x)
        column = round(crack.window[1].start + x)
        inside = 0 <= row < mask.shape[0] and 0 <= column < mask.shape[1]
        if inside and mask[row, column]:
            return False
    return True
