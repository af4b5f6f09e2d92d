"""A setting and letters placed by hand come in; out goes the setting as it then stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from vectorize.outlines.outline import Outline
from vectorize.spacing.profile import Profile, profile
from vectorize.spacing.records import Pair, Setting
from vectorize.spacing.setting import spans_of_words
from vectorize.spacing.shapes import white_shape_u
from vectorize.spacing.white import bands, channels, whites


def placed(
    setting: Setting, outlines: Sequence[Outline], words: Sequence[int], moves_u: Mapping[int, float]
) -> Setting:
    """The setting with some letters where the hand put them; the drawn side of each pair stays as it was.

    words: number of the word that each letter belongs to, as the setting was made with.
    moves_u: for the position of a letter (from 0) how far it moves along the baseline from where it was drawn.
    """
    if not moves_u:
        return setting
    moves = tuple(float(moves_u.get(i, m)) for i, m in enumerate(setting.moves_u))
    profiles = [profile(o) for o in outlines]
    pairs: list[Pair] = []
    for start, stop in spans_of_words(words):
        if start:
            pairs.append(_moved(setting.pairs[start - 1], moves[start - 1], moves[start]))
        inside = slice(start, stop)
        pairs.extend(_inside(setting.pairs[start : stop - 1], profiles[inside], moves[inside]))
    return replace(setting, pairs=tuple(pairs), moves_u=moves)


def _moved(pair: Pair, left_u: float, right_u: float) -> Pair:
    move = (right_u - left_u) / 1000.0
    return replace(pair, move_ratio=move, target_ratio=pair.gap_ratio + move)


def _inside(pairs: Sequence[Pair], letters: Sequence[Profile], moves_u: Sequence[float]) -> list[Pair]:
    """The pairs of one word as its letters now stand."""
    if not pairs:
        return []
    stand = [_moved(p, moves_u[i], moves_u[i + 1]) for i, p in enumerate(pairs)]
    seen = whites(channels(letters), np.array([p.target_ratio for p in stand]))
    return [
        replace(
            p,
            target_white_ratio=float(seen[i]),
            target_shape_u=white_shape_u(letters[i], letters[i + 1], rows, moves_u[i] / 1000.0, p.target_ratio),
        )
        for i, (p, rows) in enumerate(zip(stand, bands(letters), strict=True))
    ]
