"""Boxes of letters, or a word that was told, come in; the number of the word that each letter belongs to goes out."""

from __future__ import annotations

import itertools

import numpy as np

from vectorize.trade.ink import WORD_SPACE_RATIO, WORD_SPACE_TIMES


def words_told(word: str | None) -> tuple[int, ...]:
    """Word numbers of the letters of a told word with spaces, from 0."""
    numbers: list[int] = []
    at, fresh = 0, False
    for sign in (word or "").strip():
        if sign.isspace():
            fresh = bool(numbers)
            continue
        at += fresh
        fresh = False
        numbers.append(at)
    return tuple(numbers)


def words_by_gaps(boxes: list[tuple[float, float]], x_height_px: float) -> tuple[int, ...]:
    """Word numbers from the gaps: a word space is wide, and much wider than the gaps within words."""
    gaps = np.array([b[0] - a[1] for a, b in itertools.pairwise(boxes)]) / x_height_px
    if not gaps.size:
        return (0,) * len(boxes)
    usual = float(np.quantile(np.maximum(gaps, 0.0), 0.5, method="lower"))
    limit = max(float(WORD_SPACE_RATIO), float(WORD_SPACE_TIMES) * usual)
    return (0, *(int(n) for n in np.cumsum(gaps > limit)))
