"""A strip's absorbance in three channels comes in, the darkness of what the letters are drawn with goes out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import box_mean
from vectorize.trade.ink import COLOURED_LETTERS_CHROMA

# A channel that the pencil hardly darkens says nothing but noise about it.
WEAK_CHANNEL = 0.45
# Below this darkness a picture has no ink to take a colour from, nor from fewer places than this.
FAINT, FEWEST = 0.12, 20
# What is dark over so many x-heights is a letter: specks and stray lines are narrower. Its darkest parts tell how dark.
BROAD, DARKEST, DARK_SHARE = 0.06, 0.99, 0.5
# The colour is taken from a picture thinned out to an x-height of so many px.
THINNED_PX = 60.0


def pigment_darkness(
    absorbance: NDArray[np.float32], free_of_lines: NDArray[np.bool_], x_height_px: float
) -> NDArray[np.float32]:
    """Darkness (h, w), about 0 on paper and that of the pencil in the letters; other colours fade.

    absorbance: float32 (h, w, 3). free_of_lines: where no drawn line runs.
    For graphite and black ink it is the least of the three channels, which drops coloured lines; for a coloured pencil each
    channel is first divided by the pencil's own, so that grey and other colours count only as far as they could be it.
    """
    pencil = _pencil_colour(absorbance, free_of_lines, x_height_px)
    strong = pencil >= WEAK_CHANNEL * pencil.max()
    channels = [absorbance[..., c] * np.float32(pencil.max() / pencil[c]) for c in np.flatnonzero(strong)]
    least: NDArray[np.float32] = np.minimum.reduce(channels)
    return least


def _pencil_colour(
    absorbance: NDArray[np.float32], free_of_lines: NDArray[np.bool_], x_height_px: float
) -> NDArray[np.float64]:
    """Absorbance of the pencil in the three channels; (1, 1, 1) where it is grey or too faint to tell."""
    step = max(1, round(x_height_px / THINNED_PX))
    small = absorbance[::step, ::step]
    free = free_of_lines[::step, ::step]
    most = small.max(axis=2)
    broad = box_mean(np.where(free, most, 0.0), max(3, round(BROAD * x_height_px / step)))
    voters = free & (broad > max(FAINT, DARK_SHARE * float(np.quantile(broad, DARKEST)))) & (most > FAINT)
    if voters.sum() < FEWEST:
        return np.ones(3)
    colour: NDArray[np.float64] = np.median(small[voters], axis=0).astype(float)
    if colour.min() >= COLOURED_LETTERS_CHROMA * colour.max():
        return np.ones(3)
    return np.asarray(np.maximum(colour, 1e-3))
