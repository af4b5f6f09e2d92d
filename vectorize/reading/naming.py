"""Heights of lines and of the letters' heads and feet come in; which line is the baseline, which the mean line, goes out.

Everything is in px of one level frame, y down; heads and feet are the outermost ink, one value a column.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.straight import UPPER_HALF
from vectorize.trade.lines import MEAN_OF_CAP

# Two lines nearer than this share of the row's height are one line ruled twice.
MERGED = 0.02
# A foot stands on a line when it is nearer than this share of the row's height.
STANDS = 0.06
# A baseline carries at least this share of the columns, each head that reaches it taking away this share of a foot.
CARRIES, HEADS_COUNT = 0.10, 0.5
# Between the lowest and highest of these shares of its ends a row has its height: a few stray columns tell nothing.
EXTENT = 0.05, 0.95
# Ends of letters crowd about one level within this share of the row's height; no letter is lower than that.
CROWD, LOWEST = 0.03, 0.25
# Lines for heads and for tails stand so far above and below the baseline, in shares of the row's height.
LOWEST_UPPER, HIGHEST_LOWER = 0.2, 0.12
# Height of a mean line as a share of the next line's: ISO 3098-0 has .7, small and large x-heights lie about it.
MEAN_TO_CAP = (0.5, 0.9)
# The next line up is higher than the heads by this factor.
HIGHER = 1.1
# Capitals alone: hardly a column rises above the line by so much of the row's height, or ends below this share of the
# line's height (lower than the next share it is the foot of an L); these shares of the columns are hardly any.
PASSES, STAYS_BELOW, FOOT, FEW_ABOVE, FEW_BELOW = 0.1, 0.85, 0.3, 0.005, 0.02


@dataclass(frozen=True, slots=True)
class Names:
    """Index of each named line in what was given, None where it is not drawn; x-height in px and how it is known."""

    baseline: int | None
    mean_line: int | None
    cap_line: int | None
    ascender_line: int | None
    descender_line: int | None
    x_height_px: float
    x_height_source: str

    @property
    def lines(self) -> tuple[int | None, ...]:
        """Baseline, mean, cap, ascender and descender line."""
        return self.baseline, self.mean_line, self.cap_line, self.ascender_line, self.descender_line


def peak(values: NDArray[np.float64], width: float, *, below: float = -np.inf) -> float:
    """The place where values crowd most: the mode of a histogram smoothed to `width`, then the mean about it.

    below: y above which no place is looked for, though values may lie there. 0 where there are no values.
    """
    if not len(values):
        return 0.0
    bin_px = max(width / 4.0, 1e-6)
    low = float(values.min()) - width
    counts = np.bincount(((values - low) / bin_px).astype(int))
    smooth = np.convolve(counts, np.ones(5), "same")
    places = low + (np.arange(len(smooth)) + 0.5) * bin_px
    centre = float(places[np.where(places < below, -1.0, smooth).argmax()])
    near = values[np.abs(values - centre) <= width]
    return float(near.mean()) if len(near) else centre


def name_lines(
    heights: NDArray[np.float64],
    heads: NDArray[np.float64],
    feet: NDArray[np.float64],
    *,
    capitals: bool | None = None,
    a_capital: bool | None = None,
) -> Names:
    """Name the lines at `heights` (y at the middle of the word).

    capitals: whether the word is known to be capitals alone; a_capital: whether it is known to have one at all; None
    where it is not known.
    """
    top, bottom = float(np.quantile(heads, EXTENT[0])), float(np.quantile(feet, EXTENT[1]))
    row = bottom - top
    baseline = _baseline(heights, heads, feet, row, top + LOWEST * row)
    foot_y = float(heights[baseline]) if baseline is not None else peak(feet, CROWD * row, below=top + UPPER_HALF * row)
    rise = foot_y - heads
    head = peak(rise[rise >= LOWEST * row], CROWD * row)
    upper = sorted((foot_y - y, i) for i, y in enumerate(heights) if foot_y - y > LOWEST_UPPER * row)
    upper = [u for k, u in enumerate(upper) if k == 0 or u[0] - upper[k - 1][0] > MERGED * row]
    mean, cap, ascender, x_height, source = _above(upper, head, rise, row, capitals=capitals)
    lower = sorted((y - foot_y, i) for i, y in enumerate(heights) if y - foot_y > HIGHEST_LOWER * row)
    descender = lower[0][1] if lower and lower[0][0] < x_height else None
    # On a sheet ruled for tails as well, the one line above the mean line is for the heads of b, d, h, k and l.
    if a_capital is False and descender is not None and cap is not None and ascender is None:
        near = np.abs(rise - (foot_y - heights[cap])) < STANDS * row
        cap, ascender = (None, cap) if near.any() else (cap, None)
    return Names(baseline, mean, cap, ascender, descender, x_height, source)


def _baseline(
    heights: NDArray[np.float64], heads: NDArray[np.float64], feet: NDArray[np.float64], row: float, highest: float
) -> int | None:
    """The line, none higher than `highest`, that most feet stand on and few heads reach; None without one."""
    if not len(heights):
        return None
    feet_near, heads_near = (
        (np.abs(ends[None, :] - heights[:, None]) < STANDS * row).mean(axis=1) for ends in (feet, heads)
    )
    score = np.where(heights < highest, -np.inf, feet_near - HEADS_COUNT * heads_near)
    best = int(score.argmax())
    return best if score[best] > CARRIES else None


def _above(
    upper: list[tuple[float, int]], head: float, rise: NDArray[np.float64], row: float, *, capitals: bool | None
) -> tuple[int | None, int | None, int | None, float, str]:
    """(mean, cap, ascender index, x-height, its source) from the lines above the baseline, lowest first."""
    tolerance = 2.0 * STANDS * row
    for k, (m, i) in enumerate(upper[:-1]):
        c, j = upper[k + 1]
        if MEAN_TO_CAP[0] < m / c < MEAN_TO_CAP[1] and (abs(head - m) < tolerance or abs(head - c) < tolerance):
            ascender = upper[k + 2][1] if k + 2 < len(upper) else None
            return i, j, ascender, m, "mean-line"
    near = [(abs(head - h), h, i) for h, i in upper if abs(head - h) < tolerance]
    if near:
        _, h, i = min(near)
        if capitals or (capitals is None and _looks_like_capitals(rise, h, row)):
            return None, i, None, float(MEAN_OF_CAP) * h, "cap-height"
        above = [j for g, j in upper if g > h * HIGHER]
        return i, (above[0] if above else None), None, h, "mean-line"
    above = [j for g, j in upper if g > head * HIGHER]
    if capitals:
        return None, None, None, float(MEAN_OF_CAP) * head, "cap-height"
    return None, (above[0] if above else None), None, head, "letters"


def _looks_like_capitals(rise: NDArray[np.float64], height: float, row: float) -> bool:
    """Nothing rises above the line, nothing hangs below the baseline, and hardly a head stays below."""
    above = (rise > height + PASSES * row).mean()
    below = ((rise < STAYS_BELOW * height) & (rise > FOOT * height)).mean()
    return bool(above < FEW_ABOVE and below < FEW_BELOW)
