"""Evened ink comes in; specks, smudges and the ghosts of erased drawings go out of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.blobs import Blob, blobs_of
from vectorize.trade.ink import GHOST_SHARE, SMALLEST_DOT_RATIO


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """Ink (h, w) without dirt, and how many specks and ghosts were left out."""

    ink: NDArray[np.float32]
    specks: int
    ghosts: int


def sweep(
    ink: NDArray[np.float32], darkness: NDArray[np.float32], ink_level: float, paper_level: float, x_height_px: float
) -> Swept:
    """Leave out parts that are too small for a dot or too light for the word."""
    blobs = blobs_of(ink > 0.5)
    clean = ink.copy()
    specks = ghosts = 0
    light = paper_level + GHOST_SHARE * (ink_level - paper_level)
    for blob in blobs:
        if blob.area_px < (SMALLEST_DOT_RATIO * x_height_px) ** 2:
            specks += 1
        elif float(np.quantile(darkness[blob.window][blob.mask], 0.75)) < light:
            ghosts += 1
        else:
            continue
        _wipe(clean, blob)
    # What never rose to half has no part of its own; a soft foot of a kept part is left to it.
    return Swept(clean, specks, ghosts)


def _wipe(ink: NDArray[np.float32], blob: Blob) -> None:
    rows, columns = blob.window
    window = (
        slice(max(0, rows.start - 3), rows.stop + 3),
        slice(max(0, columns.start - 3), columns.stop + 3),
    )
    patch = ink[window]
    own = np.zeros(patch.shape, bool)
    top, left = rows.start - window[0].start, columns.start - window[1].start
    own[top : top + blob.mask.shape[0], left : left + blob.mask.shape[1]] = blob.mask
    patch[own | (patch <= 0.5)] = np.minimum(patch[own | (patch <= 0.5)], 0.0)
