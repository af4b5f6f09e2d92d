"""A told word, or where its letters lie, comes in; the number of the word that each letter belongs to goes out."""

from __future__ import annotations

import itertools

import numpy as np

from vectorize.trade.ink import WORD_SPACE_RATIO, WORD_SPACE_TIMES


def words_told(word: str | None) -> tuple[int, ...]:
    """For each letter of what was told, spaces left out, the number of its word, from 0; () where nothing was told."""
    return tuple(number for number, letters in enumerate((word or "").split()) for _ in letters)


def words_by_gaps(spans_px: list[tuple[float, float]], x_height_px: float) -> tuple[int, ...]:
    """The number of each letter's word, from 0: a word space is wide, and much wider than the gaps within words.

    spans_px: (left, right) of each letter in reading order.
    """
    gaps = np.array([right[0] - left[1] for left, right in itertools.pairwise(spans_px)]) / x_height_px
    if not gaps.size:
        return (0,) * len(spans_px)
    usual = float(np.quantile(np.maximum(gaps, 0.0), 0.5, method="lower"))
    limit = max(float(WORD_SPACE_RATIO), float(WORD_SPACE_TIMES) * usual)
    return (0, *(int(n) for n in np.cumsum(gaps > limit)))
