"""Blotchy pencil darkness comes in, a uniform black with an unbiased sub-pixel edge goes out.

Each pixel is judged against the darkness around it in the letter. A part of that counts as black already, which evens the
blotches before any smoothing; the edge that this pushes outward is then drawn back to where the mean darkness across
all edges crosses half of its rise, which the picture itself shows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import blurred, box_mean, closed
from vectorize.trade.ink import FULL_DARKNESS_SHARE

# Grain is evened by a Gaussian of this sigma in x-heights: the least that made the edge's error level off.
GRAIN = 0.011
# Local darkness of the letter is its darkness-weighted mean over this sigma in x-heights: about a stem.
NEIGHBOURHOOD = 0.10
# A letter is not taken to be lighter than this share of the word's darkness.
LIGHTEST = 0.5
# Paper between two strokes of the pencil is closed over this width in x-heights where it is not quite white.
STROKE_GAP = 0.030
NOT_WHITE = 0.17
# Paper is lighter than this share of the letters' rise above it; its level is the mean over so many x-heights to each
# side, where this share of them is paper, else the word's.
PAPER_SHARE, PAPER_REACH, LEAST_PAPER = 0.25, 0.4, 0.02
# Levels change so slowly that a picture thinned out to an x-height of so many px shows them.
THINNED_PX = 50.0
# Offsets from the edge at which the mean darkness is sampled, px; each from more pixels than this, at so many offsets at least.
OFFSET_STEP_PX = 0.5
OFFSETS_PX = np.arange(-6.0, 8.01, OFFSET_STEP_PX)
FEWEST_PIXELS, FEWEST_OFFSETS = 30, 8

# The normal distribution at steps so short that a straight line between two of them is off by less than 3e-5 sigmas.
_NORMAL = np.linspace(-6.0, 6.0, 2401)
_SHARE = np.array([0.5 * math.erfc(-x / math.sqrt(2.0)) for x in _NORMAL.tolist()])
# How many sigmas from its middle a Gaussian has left a share behind, at even steps of the share.
_QUANTILE = np.interp(np.linspace(0.0, 1.0, 16385), _SHARE, _NORMAL)
_UPPER_QUARTILE = float(np.interp(0.75, _SHARE, _NORMAL))


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Darkness of bare paper (h, w) and of the letters around each pixel (h, w)."""

    paper: NDArray[np.float32]
    letter: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Edge:
    """How the edge of evened ink lies to the drawn one: it is `outward_px` too far out and blurred by `blur_px`."""

    outward_px: float
    blur_px: float


def local_levels(darkness: NDArray[np.float32], ink_level: float, paper_level: float, x_height_px: float) -> Levels:
    """Levels around each pixel; darkness (h, w), its word-wide levels given."""
    step = max(1, round(x_height_px / THINNED_PX))
    small = _shrunk(darkness, step)
    rise = ink_level - paper_level
    paper = small < paper_level + PAPER_SHARE * rise
    reach = PAPER_REACH * x_height_px / step
    share = box_mean(paper.astype(np.float32), round(2 * reach) | 1)
    mean = box_mean(np.where(paper, small, 0.0), round(2 * reach) | 1)
    ground = np.where(share > LEAST_PAPER, mean / np.maximum(share, LEAST_PAPER), paper_level)
    above = np.clip(darkness - paper_level, 0.0, None)
    weight, square = _shrunk(above, step), _shrunk(above * above, step)
    sigma = NEIGHBOURHOOD * x_height_px / step
    local = blurred(square, sigma) / np.maximum(blurred(weight, sigma), 1e-4)
    letter = ground + np.maximum(local, LIGHTEST * rise)
    return Levels(_grown(ground, step, darkness.shape), _grown(letter, step, darkness.shape))


def evened(darkness: NDArray[np.float32], levels: Levels, x_height_px: float) -> NDArray[np.float32]:
    """Ink 0 to 1 (h, w): blotches and flecks evened, the level line at 0.5 a little outside the drawn edge."""
    full = FULL_DARKNESS_SHARE * (levels.letter - levels.paper)
    ink = np.clip((darkness - levels.paper) / full, 0.0, 1.0)
    ink = blurred(ink.astype(np.float32), GRAIN * x_height_px, truncate=3.0)
    gap = round(STROKE_GAP * x_height_px) | 1
    return np.asarray(np.where(ink > NOT_WHITE, closed(ink, gap), ink))


def edge_of(ink: NDArray[np.float32], darkness: NDArray[np.float32], levels: Levels, x_height_px: float) -> Edge:
    """Where the mean darkness across the edges of `ink` crosses half its rise, and how blurred it is there."""
    sigma = GRAIN * x_height_px
    near = (ink > 1e-4) & (ink < 1 - 1e-4)
    distance = sigma * _looked_up(_QUANTILE, ink[near])
    relative = ((darkness - levels.paper) / np.maximum(levels.letter - levels.paper, 1e-3))[near]
    bins = np.clip(np.round((distance - OFFSETS_PX[0]) / OFFSET_STEP_PX).astype(int), 0, len(OFFSETS_PX) - 1)
    count = np.bincount(bins, minlength=len(OFFSETS_PX))
    mean = np.bincount(bins, relative, minlength=len(OFFSETS_PX)) / np.maximum(count, 1)
    seen = count > FEWEST_PIXELS
    if seen.sum() < FEWEST_OFFSETS:
        return Edge(0.0, sigma)
    at, mean = OFFSETS_PX[seen], mean[seen]
    rise = (mean - mean[:2].mean()) / max(mean[-4:].mean() - mean[:2].mean(), 1e-6)
    rise = np.maximum.accumulate(rise)
    quarter, half, three = (float(np.interp(level, rise, at)) for level in (0.25, 0.5, 0.75))
    own = (three - quarter) / (2 * _UPPER_QUARTILE)
    return Edge(half, float(np.hypot(sigma, min(own, 3 * sigma))))


def coverage_of(ink: NDArray[np.float32], edge: Edge, x_height_px: float) -> NDArray[np.float32]:
    """Coverage 0 to 1 (h, w) whose level line at 0.5 is the drawn edge."""
    sigma = GRAIN * x_height_px
    inside = ink >= 1.0 - 1e-6
    near = (ink > 1e-6) & ~inside
    coverage = inside.astype(np.float32)
    coverage[near] = _looked_up(np.interp(_QUANTILE - edge.outward_px / sigma, _NORMAL, _SHARE), ink[near])
    return coverage


def _looked_up(table: NDArray[np.float64], share: NDArray[np.float32]) -> NDArray[np.float32]:
    """Values at shares 0 to 1 of a table at even steps of them."""
    place = share * np.float32(len(table) - 1)
    before = np.minimum(place.astype(np.int32), len(table) - 2)
    values = table.astype(np.float32)
    low = values[before]
    return np.asarray(low + (place - before) * (values[before + 1] - low), np.float32)


def _shrunk(image: NDArray[np.float32], step: int) -> NDArray[np.float32]:
    """Means of step x step blocks; the last rows and columns are repeated to fill the blocks."""
    h, w = image.shape
    padded = np.pad(image, ((0, -h % step), (0, -w % step)), mode="edge")
    blocks = padded.reshape(padded.shape[0] // step, step, padded.shape[1] // step, step)
    return np.asarray(blocks.mean(axis=(1, 3)))


def _grown(small: NDArray[np.float32], step: int, shape: tuple[int, ...]) -> NDArray[np.float32]:
    """A shrunk map at full size again, bilinear, block centres in place."""
    rows = (np.arange(shape[0]) + 0.5) / step - 0.5
    columns = (np.arange(shape[1]) + 0.5) / step - 0.5
    return _lerp(_lerp(small, rows, 0), columns, 1).astype(np.float32)


def _lerp(image: NDArray[np.float32], at: NDArray[np.float64], axis: int) -> NDArray[np.float32]:
    low = np.clip(np.floor(at).astype(int), 0, image.shape[axis] - 1)
    high = np.minimum(low + 1, image.shape[axis] - 1)
    t = np.clip(at - low, 0.0, 1.0).astype(np.float32)
    t = t[:, None] if axis == 0 else t[None, :]
    return np.asarray(np.take(image, low, axis) * (1 - t) + np.take(image, high, axis) * t)
