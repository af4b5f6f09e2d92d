"""A letter's own ink comes in; out goes how evenly its black lies, judged on pencil darkness that is already evenly lit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vectorize.raster import blurred, depth_px
from vectorize.reading.records import LetterInk

# In x-heights: the rim that the pencil's edge and the lens soften, and the patch over which paper grain is no blotch.
RIM_RATIO = 0.035
PATCH_RATIO = 0.03
# A fleck is lighter than this share of the letter's own black.
FLECK_SHARE = 0.55
# Fewer pixels of core than this say nothing.
FEWEST_PX = 40


@dataclass(frozen=True, slots=True)
class Fill:
    """evenness: 1 minus the coefficient of variation of darkness over the letter's core. darkness: its median.

    flecks: share of the core that is lighter than .55 of that median. palest_px: (x, y) of its lightest place in the
    letter's own patch.
    """

    evenness: float
    darkness: float
    flecks: float
    palest_px: tuple[float, float]


def fill(ink: LetterInk, x_height_px: float) -> Fill | None:
    """How even the black of one letter is; None for a letter too thin to have a core."""
    inside = np.pad(ink.coverage > 0.5, 1)
    depth = depth_px(inside)[1:-1, 1:-1]
    for rim in (RIM_RATIO, RIM_RATIO / 2):
        core = depth > max(1.5, rim * x_height_px)
        if core.sum() >= FEWEST_PX:
            break
    else:
        return None
    sigma = PATCH_RATIO * x_height_px
    weight = blurred(core.astype(float), sigma)
    smooth = blurred(np.where(core, ink.darkness, 0.0).astype(float), sigma) / np.maximum(weight, 1e-9)
    values = smooth[core]
    median = float(np.median(values))
    if median <= 0.0:
        return None
    evenness = 1.0 - float(values.std() / max(values.mean(), 1e-9))
    row, column = np.unravel_index(int(np.argmin(np.where(core, smooth, np.inf))), core.shape)
    return Fill(
        max(0.0, min(1.0, evenness)),
        median,
        float((values < FLECK_SHARE * median).mean()),
        (float(column) + 0.5, float(row) + 0.5),
    )
