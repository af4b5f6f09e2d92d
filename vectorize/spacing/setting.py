"""Outlines come in; out goes the setting: what each white is, what it should be, and where every letter goes.

Two questions are asked of a word, and they need two answers.

*How should it be set?* Every letter moves to where all whites of its word are alike and the gaps keep the sum they were
drawn with: the word stays as tight as the learner meant it. That is `target_ratio` and `moves_u`.

*Which space is wrong?* One wide space among even ones also widens the mean, and against the mean its innocent neighbours
look tight. So the judgement compares each white with the word's median white, which one bad space does not shift. That is
`excess_ratio` (how far the gap is from where its white would be the median) and `verdict`. In a word with one wide space
the target of the other gaps lies a little above them, because the setting shares the surplus out; they are still even.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

import numpy as np

from vectorize.outlines.outline import Outline
from vectorize.spacing.kinds import kind, sides
from vectorize.spacing.nearest import nearest_ratio
from vectorize.spacing.profile import Profile, profile
from vectorize.spacing.records import Kind, Pair, Setting, Verdict
from vectorize.spacing.shapes import white_shape_u
from vectorize.spacing.white import (
    MEAN_LINE,
    bands,
    channels,
    even_gaps,
    gaps_with_white,
    has_small_letters,
    whites,
)
from vectorize.trade.spacing import EVEN_WITHIN


def space(outlines: Sequence[Outline], words: Sequence[int], letterspacing_percent: float | None) -> Setting:
    """The setting of a line of letters, in reading order, in letter units where they were drawn.

    words: number of the word that each letter belongs to. letterspacing_percent: per cent of the x-height added to
    every gap inside a word; None adds nothing. A word space keeps its gap.
    """
    return set_profiles([profile(o) for o in outlines], words, letterspacing_percent)


def set_profiles(profiles: Sequence[Profile], words: Sequence[int], letterspacing_percent: float | None) -> Setting:
    """The same from profiles; `space` without the reading of the outlines."""
    added = (letterspacing_percent or 0.0) / 100.0
    pairs: list[Pair] = []
    medians: list[float | None] = []
    moved = 0.0
    for start, stop in spans_of_words(words):
        if start:
            pairs.append(_word_space(profiles, start))
        inside, median = _word(profiles[start:stop], start, moved, added)
        pairs.extend(inside)
        medians.append(median)
        moved += sum(p.move_ratio for p in inside)
    moves = accumulate((1000.0 * p.move_ratio for p in pairs), initial=0.0)
    return Setting(tuple(pairs), tuple(moves) if profiles else (), tuple(medians))


def spans_of_words(words: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Position (from 0) of each word's first letter and the one after its last; words: each letter's word number."""
    breaks = (0, *(i for i in range(1, len(words)) if words[i] != words[i - 1]), len(words))
    return tuple(pairwise(breaks)) if words else ()


def _word_space(profiles: Sequence[Profile], at: int) -> Pair:
    left, right = profiles[at - 1], profiles[at]
    gap = right.box.x0 - left.box.x1
    nearest = nearest_ratio(left, right)
    return Pair(at, at + 1, Kind.WORD_SPACE, gap, gap, 0.0, nearest, None, None, None)


def _word(letters: Sequence[Profile], before: int, moved: float, added: float) -> tuple[list[Pair], float | None]:
    """The pairs of one word whose first letter has index before + 1 and moves by `moved`; and the median white."""
    if len(letters) < 2:
        return [], None
    gaps = np.array([b.box.x0 - a.box.x1 for a, b in pairwise(letters)])
    word = channels(letters)
    drawn = whites(word, gaps)
    median = float(np.median(drawn))
    excess = gaps - gaps_with_white(word, median)
    even = even_gaps(word, float(gaps.sum()))
    targets = even + added
    corrected = whites(word, targets)
    ceiling = MEAN_LINE if has_small_letters(letters) else None
    faces = [sides(p, ceiling) for p in letters]
    shift = moved
    pairs = []
    for i, rows in enumerate(bands(letters)):
        a, b, gap, target = letters[i], letters[i + 1], float(gaps[i]), float(targets[i])
        pairs.append(
            Pair(
                left=before + i + 1,
                right=before + i + 2,
                kind=kind(faces[i][1], faces[i + 1][0]),
                gap_ratio=gap,
                target_ratio=target,
                move_ratio=target - gap,
                nearest_ratio=nearest_ratio(a, b),
                white_ratio=float(drawn[i]),
                target_white_ratio=float(corrected[i]),
                verdict=verdict(float(excess[i])),
                white_shape_u=white_shape_u(a, b, rows, 0.0, gap),
                target_shape_u=white_shape_u(a, b, rows, shift, target),
                excess_ratio=float(excess[i]),
            )
        )
        shift += target - gap
    return pairs, median


def verdict(excess_ratio: float) -> Verdict:
    """Even within EVEN_WITHIN of the gap whose white is the word's median, else tight or wide."""
    if abs(excess_ratio) <= EVEN_WITHIN:
        return Verdict.EVEN
    return Verdict.WIDE if excess_ratio > 0.0 else Verdict.TIGHT
