"""Evened ink comes in; specks, smudges and the ghosts of erased drawings go out of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import blurred, core, depth_px, spread
from vectorize.reading.blobs import Blob, blobs_of, letters_in
from vectorize.reading.fill import Levels
from vectorize.trade.ink import GHOST_SHARE, SMALLEST_DOT_RATIO

# Pencil is judged to be lighter than the letters over this sigma in x-heights: less than half of a hairline.
BREADTH = 0.016
# Paper between two strokes of loose hatching is up to this wide, x-heights.
HATCHING_GAP = 0.07
# The soft edge of a letter reaches no further out than this, x-heights.
SOFT_EDGE = 0.03
# The soft rim of a part that goes out with it, px.
SOFT_RIM_PX = 3
# A ghost beside a letter is told from this size on (side of a square in x-heights), a speck from this.
GHOST_WORTH_SAYING, SPECK_WORTH_SAYING = 0.12, 0.025
# An erased first drawing leaves its ghost on so many letters at least, on each of this size (side of a square, x-heights).
GHOSTED_LETTERS, GHOST_SEEN = 2, 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """Ink (h, w) without dirt, and how many specks and ghosts large enough to be seen were left out."""

    ink: NDArray[np.float32]
    specks: int
    ghosts: int


def ghosts_off(
    ink: NDArray[np.float32], darkness: NDArray[np.float32], levels: Levels, x_height_px: float
) -> tuple[NDArray[np.float32], int]:
    """Leave out the light pencil that leans on letters, as of an erased first drawing; and how many such parts went.

    A letter's own light places lie between its dark ones, a ghost lies beside them, and beside more than one letter: the
    pale rim of a single letter is its own.
    """
    relative = (darkness - levels.paper) / np.maximum(levels.letter - levels.paper, 1e-3)
    dense = blurred(relative.astype(np.float32), BREADTH * x_height_px) > GHOST_SHARE
    reach = max(1, round(HATCHING_GAP * x_height_px / 2.0))
    inner = slice(2 * reach, -2 * reach)
    dense = core(spread(np.pad(dense, 2 * reach), reach), reach)[inner, inner]
    away = depth_px(~dense) > SOFT_EDGE * x_height_px
    least_px = (GHOST_SEEN * x_height_px) ** 2
    ghosted = sum(np.count_nonzero(away[b.window] & b.mask) > least_px for b in letters_in(ink > 0.5, x_height_px))
    if ghosted < GHOSTED_LETTERS:
        return ink, 0
    gone = blobs_of(away & (ink > 0.5))
    told = sum(b.area_px > (GHOST_WORTH_SAYING * x_height_px) ** 2 for b in gone)
    return np.where(away, np.float32(0.0), ink), told


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
            specks += blob.area_px > (SPECK_WORTH_SAYING * x_height_px) ** 2
        elif float(np.quantile(darkness[blob.window][blob.mask], 0.75)) < light:
            ghosts += 1
        else:
            continue
        _wipe(clean, blob)
    return Swept(clean, specks, ghosts)


def _wipe(ink: NDArray[np.float32], blob: Blob) -> None:
    """Take a part out with its soft edge; an edge that is nearer to another part is left to that."""
    window, own = blob.with_margin(2 * SOFT_RIM_PX, ink.shape)
    patch = ink[window]
    soft = patch <= 0.5
    nearer = depth_px(~own) <= depth_px(soft | own)
    patch[own | (soft & nearer)] = 0.0
