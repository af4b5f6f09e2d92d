"""A setting with letters placed by hand: they stand where the hand put them, and the figures are of that setting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.specimens.typeset import font_path, outline_word
from vectorize.spacing.by_hand import placed
from vectorize.spacing.setting import space

OUTLINES = outline_word(font_path("source-sans-3"), "ona mat", 600)
WORDS = (0, 0, 0, 1, 1, 1)


def test_nothing_placed_nothing_changed():
    setting = space(OUTLINES, WORDS, None)
    assert placed(setting, OUTLINES, WORDS, {}) is setting


@given(st.dictionaries(st.integers(0, 5), st.floats(-300, 300), min_size=1))
def test_letters_stand_where_they_were_put(moves):
    setting = space(OUTLINES, WORDS, None)
    found = placed(setting, OUTLINES, WORDS, moves)
    assert all(found.moves_u[i] == m for i, m in moves.items())
    assert all(found.moves_u[i] == setting.moves_u[i] for i in range(6) if i not in moves)
    moved = [o.moved(m) for o, m in zip(OUTLINES, found.moves_u, strict=True)]
    for pair in found.pairs:
        gap = (moved[pair.right - 1].box_u.x0 - moved[pair.left - 1].box_u.x1) / 1000
        assert pair.target_ratio == pytest.approx(gap, abs=1e-9)
        assert pair.move_ratio == pytest.approx(pair.target_ratio - pair.gap_ratio, abs=1e-9)


def test_whites_are_those_of_the_word_as_it_now_stands():
    moves = {0: -40.0, 1: 25.0, 4: 60.0}
    found = placed(space(OUTLINES, WORDS, None), OUTLINES, WORDS, moves)
    again = space([o.moved(m) for o, m in zip(OUTLINES, found.moves_u, strict=True)], WORDS, None)
    for now, seen in zip(found.pairs, again.pairs, strict=True):
        if seen.white_ratio is None:
            assert now.target_white_ratio is None
            continue
        assert now.target_white_ratio == pytest.approx(seen.white_ratio, abs=1e-9)
        np.testing.assert_allclose(now.target_shape_u, seen.white_shape_u, atol=1e-6)


def test_the_drawn_side_stays():
    before = space(OUTLINES, WORDS, None)
    after = placed(before, OUTLINES, WORDS, {2: 80.0})
    for a, b in zip(before.pairs, after.pairs, strict=True):
        assert (a.gap_ratio, a.white_ratio, a.verdict) == (b.gap_ratio, b.white_ratio, b.verdict)
