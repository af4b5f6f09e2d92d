"""Evened ink comes in; each hole in it is settled: a counter stays, a fleck or the hollow of an unfilled stroke is filled.

A hollow is told from a counter by its walls: it is wrapped in one thin pencil line, the outside of the letter just behind
it, and is no wider than a stem. The counter of an outlined letter lies behind the hollow, never behind the outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box
from vectorize.raster import core, depth_px, filled, regions_of, spread
from vectorize.reading.blobs import Blob, half_width_px, has_island, holes_of, letters_in, mean_stroke_px
from vectorize.reading.fill import Levels
from vectorize.trade.ink import (
    HAIRLINE_STEM_RATIO,
    HOLLOW_WIDTH_SHARE,
    PENCIL_LINE_RATIO,
    PENCIL_LINE_SHARE,
    SMALLEST_COUNTER_RATIO,
    WASH_SHARE,
)

# A counter's largest disc has at least this radius in x-heights; thinner holes are scratches.
THINNEST_COUNTER = 0.02
# A counter is white where it is whitest: this quantile of its darkness must be below this share of the letter's.
WHITEST, WHITE_SHARE = 0.25, 0.22
# A pencil line is no thinner than this many x-heights.
THINNEST_LINE = 0.05
# Nothing deeper in the ink than this many x-heights belongs to the soft edge: two and a half sigmas of the smoothing.
DEEP = 0.028
# White between the strokes of loose hatching is narrower than this many x-heights, and there is more of it than letters.
SLIT = 0.09
# Smaller hollows (side of a square in x-heights) are only light spots.
HOLLOW_WORTH_SAYING = 0.15
# The pencil line of outlined letters is at most so wide, x-heights; this share of the letters are loops; two lines side by
# side are wider than so many lines; round counters are wider than the hollows by this factor.
WIDEST_OUTLINE, LOOPS, ONE_LINE, ROUND_COUNTER = 0.14, 0.7, 1.5, 1.6
# Share of a hollow's rim that has a thin wall, and that has the outside right behind it.
THIN_WALLED, OUTER_WALLED = 0.6, 0.12
# From this share on the outside lies all round, as behind no counter of a letter with stems: where strokes meet, or a serif
# ends one, a hollow is wider than a stem, up to this factor, as one is that was washed over.
WRAPPED, WIDEST_HOLLOW = 0.8, 1.6
# Where all strokes are thin: share of the letter that a hollow takes.
HOLLOW_SHARE = 0.5
# A counter is round: no longer than this many times its breadth, and it fills this share of its box; a disc fills .79.
LONG, LEAST_FULL = 2.2, 0.56
# The soft rim of a hole, px.
RIM_PX = 2


@dataclass(frozen=True, slots=True)
class Outlined:
    """A word drawn in outline: width of the pencil line and of the hollow between two lines, px."""

    line_px: float
    hollow_px: float


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """Ink (h, w) with flecks and hollows filled, and the boxes of the hollows."""

    ink: NDArray[np.float32]
    hollows: tuple[Box, ...]


def settle_holes(
    ink: NDArray[np.float32], darkness: NDArray[np.float32], levels: Levels, x_height_px: float
) -> Settled:
    """Fill what is not a counter."""
    mask = ink > 0.5
    holes = holes_of(mask)
    relative = (darkness - levels.paper) / np.maximum(levels.letter - levels.paper, 1e-3)
    stem_px = _stem_px(mask, x_height_px)
    filled = ink.copy()
    hollows = []
    outlined = _outlined(mask, holes, stem_px, x_height_px)
    outside = _outside(mask)
    slits = _hatching(holes, mask, x_height_px)
    for hole in holes:
        if hole in slits or _is_fleck(hole, relative, x_height_px):
            _fill(filled, hole)
        elif _is_hollow(hole, mask, outside, relative, stem_px, outlined, x_height_px):
            _fill(filled, hole)
            if hole.area_px > (HOLLOW_WORTH_SAYING * x_height_px) ** 2:
                hollows.append(hole.box)
    return Settled(_solid(filled, x_height_px), tuple(hollows))


def _hatching(holes: tuple[Blob, ...], mask: NDArray[np.bool_], x_height_px: float) -> tuple[Blob, ...]:
    """The paper that shows between the strokes of loose hatching: narrow slits, more of them than there are letters.

    A heavy letter has a narrow counter too, but hardly every letter of a word, and none has more than two.
    """
    slits = tuple(h for h in holes if 2 * half_width_px(h.mask) < SLIT * x_height_px)
    return slits if len(slits) > max(2, len(letters_in(mask, x_height_px))) else ()


def _solid(ink: NDArray[np.float32], x_height_px: float) -> NDArray[np.float32]:
    """Ink made full black where it lies deeper than the edge's own softness."""
    deep = core(ink > 0.5, max(2, round(DEEP * x_height_px)))
    return np.where(deep, np.float32(1.0), ink)


def _fill(ink: NDArray[np.float32], hole: Blob) -> None:
    window, own = hole.with_margin(RIM_PX, ink.shape)
    ink[window][spread(own, RIM_PX)] = 1.0


def _is_fleck(hole: Blob, relative: NDArray[np.float32], x_height_px: float) -> bool:
    if hole.area_px < (SMALLEST_COUNTER_RATIO * x_height_px) ** 2:
        return True
    if half_width_px(hole.mask) < THINNEST_COUNTER * x_height_px:
        return True
    return bool(np.quantile(relative[hole.window][hole.mask], WHITEST) > WHITE_SHARE)


def _outlined(mask: NDArray[np.bool_], holes: tuple[Blob, ...], stem_px: float, x_height_px: float) -> Outlined | None:
    """Measures of a word whose letters are nearly all outlines; None where they are not.

    An outlined letter is a loop of line around a hollow that is shaped like a stroke or holds an island, its counter. The
    loops of hairline letters are round, and many of them have none.
    """
    if stem_px > WIDEST_OUTLINE * x_height_px:
        return None
    tall = letters_in(mask, x_height_px)
    tall = tuple(b for b in tall if not any(_lies_in(b.box, a.box) for a in tall if a is not b))
    crooked = [h for h in holes if h.area_px > (SLIT * x_height_px) ** 2 and _is_crooked(h)]
    loops = sum(any(_lies_in(h.box, b.box) for h in crooked) for b in tall)
    if not crooked or loops < LOOPS * len(tall):
        return None
    return Outlined(stem_px, float(np.median([2 * half_width_px(h.mask) for h in crooked])))


def _lies_in(box: Box, other: Box) -> bool:
    return other.x0 <= box.x0 and box.x1 <= other.x1 and other.y0 <= box.y0 and box.y1 <= other.y1


def _is_crooked(hole: Blob) -> bool:
    """A hole that holds an island, or is long or crooked where a counter would be round."""
    height, width = hole.mask.shape
    long = max(height, width) > LONG * min(height, width)
    return bool(has_island(hole.mask) or long or hole.area_px < LEAST_FULL * height * width)


def _is_hollow(
    hole: Blob,
    mask: NDArray[np.bool_],
    outside: NDArray[np.bool_],
    relative: NDArray[np.float32],
    stem_px: float,
    outlined: Outlined | None,
    x_height_px: float,
) -> bool:
    """outside: what no letter encloses. outlined: None where the word is not drawn in outline."""
    thin_px = min(max(PENCIL_LINE_SHARE * stem_px, THINNEST_LINE * x_height_px), PENCIL_LINE_RATIO * x_height_px)
    if outlined is not None:
        thin_px = ONE_LINE * outlined.line_px
    window, own = hole.with_margin(int(thin_px) + 3, mask.shape)
    ink = mask[window]
    outer_walled = _walled(own, outside[window], thin_px)
    if outer_walled < OUTER_WALLED or _walled(own, ~ink & ~own, thin_px) < THIN_WALLED:
        return False
    width_px = 2 * half_width_px(hole.mask)
    if outlined is not None:
        # Where a stroke is no broader than two lines, only its roundness tells a counter from a hollow.
        return bool(_is_crooked(hole) or width_px < ROUND_COUNTER * outlined.hollow_px)
    inner = core(hole.mask, RIM_PX)
    washed = bool(inner.any()) and float(np.median(relative[hole.window][inner])) > WASH_SHARE
    if stem_px < HAIRLINE_STEM_RATIO * x_height_px:
        return washed or _is_stroke_shaped(hole, ink)
    return width_px < (WIDEST_HOLLOW if washed or outer_walled > WRAPPED else HOLLOW_WIDTH_SHARE) * stem_px


def _walled(own: NDArray[np.bool_], beyond: NDArray[np.bool_], thin_px: float) -> float:
    """Share of a hole's rim from which what lies beyond its wall is nearer than a thin wall's width."""
    return float(np.mean(depth_px(~beyond)[own & ~core(own)] < thin_px))


def _is_stroke_shaped(hole: Blob, ink: NDArray[np.bool_]) -> bool:
    """The hole holds an island, or is long or crooked and the most of its letter."""
    most = hole.area_px > HOLLOW_SHARE * np.count_nonzero(filled(ink))
    return bool(has_island(hole.mask) or (most and _is_crooked(hole)))


def _outside(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The background of a mask that reaches the mask's edge."""
    labels = regions_of(np.pad(~mask, 1, constant_values=True)).labels
    return np.asarray((labels == labels[0, 0])[1:-1, 1:-1])


def _stem_px(mask: NDArray[np.bool_], x_height_px: float) -> float:
    """Width of the filled strokes; the upper quartile of the parts counts."""
    step = max(1, round(x_height_px / 100.0))
    small = mask[::step, ::step]
    widths = [mean_stroke_px(blob.mask) * step for blob in letters_in(small, x_height_px / step)]
    return float(np.quantile(widths, 0.75)) if widths else 0.2 * x_height_px
