"""Profiles and gaps come in; out go the whites between letters and the gaps at which they look alike: the area rule.

The rule, for a gap g between a letter and its right neighbour:

1. Channel: D(y) = g + depth of the left letter's right side + depth of the right letter's left side (see `profile`).
2. White = (mean over the rows of the band of D^-1/2)^-2: the width of the straight channel that looks as wide.
   Of a tall space beside a capital in a word with small letters: divided by (its height)^TALL_WHITE.
3. Target: the common white at which the gaps of the word have a given sum.

That spaces should enclose apparently equal areas is the trade's own rule (French & Meiklejohn, The Essentials of
Lettering, 1912, ch. III; Claflin, Standard Lettering, 1922, p. 40); the shadow, the fading and the power are what agrees
with the spacing of type designers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from vectorize.geometry import Points, frozen
from vectorize.spacing.profile import ROW_RATIO, ROWS, Profile, Rows, row_from
from vectorize.trade.spacing import NARROWNESS, SMALL_LETTER_TOP, TALL_WHITE, TOUCHING

MEAN_LINE = 1.0
SIGN_TOP = (
    0.8  # a hyphen ends at .7 x-heights at most, a full stop and a comma lower; small letters reach the mean line
)
LEAST_BAND_ROWS = 5  # letters that share no row (a quotation mark beside a full stop) are compared over a tenth


@dataclass(frozen=True, slots=True, eq=False)
class Channels:
    """The gaps of a word with the gap itself taken out.

    depth: (n, rows), both sides together. share: (n, rows), weight of each row in the mean, 0 outside the band; a
    band's weights sum to its `tall_weights`.
    """

    depth: Points
    share: Points


def has_small_letters(profiles: Sequence[Profile]) -> bool:
    """Whether a word is written with small letters; told by the names where they are known, else by the heights, signs apart."""
    return any(p.name.islower() if p.name else SIGN_TOP < p.box.y1 < SMALL_LETTER_TOP for p in profiles)


def band(left: Profile, right: Profile, ceiling: float | None) -> tuple[int, int]:
    """First row of the band and the row after its last: where both letters stand beside each other.

    From the baseline, or the higher of both feet, to the lower of both heads, or `ceiling` (None: no ceiling).
    """
    low = max(0.0, left.box.y0, right.box.y0)
    high = min(left.box.y1, right.box.y1, np.inf if ceiling is None else ceiling)
    low, high = min(low, high), max(low, high)
    start, stop = row_from(low), row_from(high)
    if stop - start < LEAST_BAND_ROWS:
        start = int(np.clip((start + stop - LEAST_BAND_ROWS) // 2, 0, ROWS - LEAST_BAND_ROWS))
        stop = start + LEAST_BAND_ROWS
    return start, stop


def bands(profiles: Sequence[Profile]) -> tuple[tuple[int, int], ...]:
    """The band of each gap of one word.

    With small letters in the word the eye compares the spaces below the mean line; only the space beside a capital is
    taken in to its full height. Where the names are not known, the first letter is taken for the capital.
    """
    small = has_small_letters(profiles)
    return tuple(
        band(a, b, MEAN_LINE if small and not _beside_capital(a, b, i) else None)
        for i, (a, b) in enumerate(pairwise(profiles))
    )


def _beside_capital(left: Profile, right: Profile, place: int) -> bool:
    if left.name and right.name:
        return left.name.isupper() or right.name.isupper()
    return place == 0


def tall_weights(profiles: Sequence[Profile], rows: Sequence[tuple[int, int]]) -> tuple[float, ...]:
    """What the crowding of each gap is weighed by, so that its white is told as it looks beside the small letters.

    1, but for a space beside a capital, which is seen from the baseline to a height of h x-heights, h > 1: its white is
    divided by h^TALL_WHITE, because taller letters are set wider apart. rows: the word's `bands`.
    """
    if not has_small_letters(profiles):
        return (1.0,) * len(rows)
    power = -float(TALL_WHITE) * float(NARROWNESS)
    return tuple(max(1.0, (stop - start) * ROW_RATIO) ** power for start, stop in rows)


def channels(profiles: Sequence[Profile]) -> Channels:
    """The channels of one word of at least two letters."""
    depth = np.array([a.right + b.left for a, b in pairwise(profiles)])
    share = np.zeros_like(depth)
    rows = bands(profiles)
    for i, ((start, stop), weight) in enumerate(zip(rows, tall_weights(profiles, rows), strict=True)):
        share[i, start:stop] = weight / (stop - start)
    used = share.any(axis=0)
    return Channels(frozen(depth[:, used]), frozen(share[:, used]))


def whites(word: Channels, gaps: Rows) -> Rows:
    """The white of each gap, as the width of the straight channel that looks as wide; above 0 and rising with the gap."""
    crowding, _ = _crowding(word, np.asarray(gaps, float))
    return np.asarray(crowding ** (1.0 / NARROWNESS))


def gaps_with_white(word: Channels, white: float) -> Rows:
    """The gaps at which every space of the word has this white (above 0)."""
    wanted = white ** float(NARROWNESS)
    gaps: Rows = white - (word.depth * word.share).sum(axis=1)
    # Crowding falls and is convex in the gap, so Newton's steps come in from below once they are there.
    for _ in range(60):
        crowding, slope = _crowding(word, gaps)
        step = (wanted - crowding) / slope
        gaps = gaps + step
        if np.abs(step).max() < 1e-12:
            break
    return np.asarray(gaps)


def even_gaps(word: Channels, total: float) -> Rows:
    """The gaps with one common white whose sum is `total`, to 1e-9 x-heights.

    Newton's method on all gaps at once; each step keeps the sum.
    """
    narrowest = np.where(word.share > 0.0, word.depth, np.inf).min(axis=1)
    gaps: Rows = (total + narrowest.sum()) / len(narrowest) - narrowest
    for _ in range(60):
        crowding, slope = _crowding(word, gaps)
        common = (crowding / slope).sum() / (1.0 / slope).sum()
        step = (common - crowding) / slope
        gaps = gaps + step
        if np.abs(step).max() < 1e-12:
            break
    return np.asarray(gaps + (total - gaps.sum()) / len(gaps))


def _crowding(word: Channels, gaps: Rows) -> tuple[Rows, Rows]:
    """The mean of D^NARROWNESS over each band, and its slope in the gap.

    Below TOUCHING the power goes on along its tangent, so that letters which touch or overlap still have a white
    that falls the more they do.
    """
    power = float(NARROWNESS)
    channel = gaps[:, None] + word.depth
    open_ = np.maximum(channel, float(TOUCHING))
    slope = power * open_ ** (power - 1.0)
    crowding = open_**power + slope * (channel - open_)
    return (crowding * word.share).sum(axis=1), (slope * word.share).sum(axis=1)
