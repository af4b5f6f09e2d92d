"""A letter's outline comes in; out go its edges row by row: how deep the white lies on its left and on its right.

Everything a gap is judged by is in these arrays, so that they can be handed to another program as plain data.
Rows are ROW_RATIO high and counted upwards from BOTTOM_RATIO; row k is sampled at its middle,
BOTTOM_RATIO + (k + 0.5) ROW_RATIO. All lengths are x-heights.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.curves import Contour, Cubic, extreme_parameters
from vectorize.geometry import Box, Points, frozen
from vectorize.outlines.outline import Outline
from vectorize.trade.spacing import DEEP_WHITE, SHADOW_SLOPE

ROW_RATIO = 0.02
BOTTOM_RATIO = -1.0
ROWS = 180
NO_INK = 3.0  # stands for "nothing in this row"; wider than any letter, and deep white fades anyway
ROW_MIDDLES = frozen(BOTTOM_RATIO + (np.arange(ROWS) + 0.5) * ROW_RATIO)

Rows = NDArray[np.float64]

_CHORDS = 24  # a quarter of a circle as wide as an o is then kept within .0003 x-heights
_T = np.linspace(0.0, 1.0, _CHORDS + 1)
_BERNSTEIN = np.stack(((1 - _T) ** 3, 3 * (1 - _T) ** 2 * _T, 3 * (1 - _T) * _T**2, _T**3), axis=1)


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """The two sides of a letter; arrays of shape (ROWS,), depths counted inwards from the letter's box.

    box: in x-heights, where the letter stands. left, right: the depth that counts, after shadow and fading.
    left_edge, right_edge: the bare depth of the first ink, NO_INK where a row has none.
    chords: the outline as straight pieces (n, 4): x0 y0 x1 y1, in x-heights.
    """

    name: str | None
    box: Box
    left: Rows
    right: Rows
    left_edge: Rows
    right_edge: Rows
    chords: Points


def profile(outline: Outline) -> Profile:
    """The profile of one letter, from its outline in letter units.

    A letter without contours gives an empty box at 0 and nothing but NO_INK.
    """
    chords, box = _chords(outline.contours)
    first, last = _first_and_last_ink(chords)
    left_edge = np.where(np.isfinite(first), first - box.x0, NO_INK)
    right_edge = np.where(np.isfinite(last), box.x1 - last, NO_INK)
    return Profile(
        outline.name,
        box,
        frozen(counted_depth(left_edge)),
        frozen(counted_depth(right_edge)),
        frozen(left_edge),
        frozen(right_edge),
        frozen(chords),
    )


def row_from(height_ratio: float) -> int:
    """The lowest row whose middle lies at a height above the baseline or higher; 0 to ROWS."""
    return int(np.clip(np.ceil((height_ratio - BOTTOM_RATIO) / ROW_RATIO - 0.5), 0, ROWS))


def counted_depth(edge: Rows) -> Rows:
    """How much of the white between the box and the ink counts, row by row.

    Shadow: depth(y) = min over y' of edge(y') + SHADOW_SLOPE |y - y'| (an upward and a downward sweep).
    Fading: depth = DEEP_WHITE (1 - exp(-depth / DEEP_WHITE)).
    """
    rise = SHADOW_SLOPE * ROW_RATIO * np.arange(len(edge))
    up = np.minimum.accumulate(edge - rise) + rise
    down = np.minimum.accumulate((edge + rise)[::-1])[::-1] - rise
    return np.asarray(DEEP_WHITE * -np.expm1(-np.minimum(up, down) / DEEP_WHITE))


def _chords(contours: tuple[Contour, ...]) -> tuple[Points, Box]:
    """Straight pieces (n, 4) within .0003 x-heights of the outline, and the exact box, both in x-heights."""
    segments = [s for c in contours for s in c.segments]
    lines = [(*s.start, *s.end) for s in segments if not isinstance(s, Cubic)]
    cubics = [(s.start, s.leaving, s.arriving, s.end) for s in segments if isinstance(s, Cubic)]
    straight = np.array(lines, float).reshape(-1, 4) / 1000.0
    curved = np.array(cubics, float).reshape(-1, 4, 2) / 1000.0
    points = _BERNSTEIN @ curved
    pieces = np.concatenate((points[:, :-1], points[:, 1:]), axis=2).reshape(-1, 4)
    chords = np.concatenate((straight, pieces))
    if not len(chords):
        return chords, Box(0.0, 0.0, 0.0, 0.0)
    reach = np.concatenate((chords[:, :2], _extremes(curved)))
    (x0, y0), (x1, y1) = np.fmin.reduce(reach), np.fmax.reduce(reach)
    return chords, Box(float(x0), float(y0), float(x1), float(y1))


def _extremes(cubics: Points) -> Points:
    """Points (4n, 2) in which each cubic is level or upright, NaN where it nowhere is."""
    t = extreme_parameters(cubics)[..., None]
    u = 1.0 - t
    at = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
    found = sum(w * p[None, :, None, :] for w, p in zip(at, cubics.transpose(1, 0, 2), strict=True))
    return np.asarray(found).reshape(-1, 2)


def _first_and_last_ink(chords: Points) -> tuple[Rows, Rows]:
    """Where each row is first and last inked: x of the first and last crossing at its middle, inf and -inf without one."""
    x0, y0, x1, y1 = chords.T
    r0, r1 = (y0 - BOTTOM_RATIO) / ROW_RATIO - 0.5, (y1 - BOTTOM_RATIO) / ROW_RATIO - 0.5
    start = np.clip(np.ceil(np.minimum(r0, r1)), 0, ROWS).astype(int)
    count = np.clip(np.ceil(np.maximum(r0, r1)), 0, ROWS).astype(int) - start
    which = np.repeat(np.arange(len(chords)), count)
    row = start[which] + np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    x = x0[which] + (row - r0[which]) / (r1 - r0)[which] * (x1 - x0)[which]
    first, last = np.full(ROWS, np.inf), np.full(ROWS, -np.inf)
    np.minimum.at(first, row, x)
    np.maximum.at(last, row, x)
    return first, last
