"""Which ink is which letter: blocks of plain shape read as the letters they could be."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.reading.matching import (
    Atom,
    Match,
    cut_cost,
    looks_cost,
    match_freely,
    match_word,
    misfits,
    spans_of,
    strangeness,
    width_cost,
)
from vectorize.reading.parting import Cut
from vectorize.trade.letter_shapes import Shape, known_shapes, shape_of

X_HEIGHT = 100.0
BASELINE = 200.0


def atom(piece: int, x0: int, width: int, rise: int = 100, *, counters: int = 0, marks: int = 0, low: int = 0) -> Atom:
    """A block from `low` below the baseline to `rise` above it."""
    mask = np.ones((rise + low, width), bool)
    return Atom(piece, None, None, x0, int(BASELINE) - rise, mask, counters, marks)


def plain(width: float, **rest: object) -> Shape:
    """A shape that is not known by its looks."""
    return Shape(width, 0.1, **rest)  # type: ignore[arg-type]


def extents(match: Match) -> list[tuple[int, int]]:
    return [(s.first, s.last) for s in match.spans]


def test_a_word_takes_as_many_letters_as_it_has() -> None:
    """Three pieces: read as three letters, or, the right two near each other, as two."""
    atoms = (atom(0, 0, 90), atom(1, 110, 45), atom(2, 160, 45))
    spans = spans_of(atoms, BASELINE, X_HEIGHT)
    three = match_word(spans, (plain(0.9), plain(0.45), plain(0.45)))
    two = match_word(spans, (plain(0.9), plain(0.95)))
    assert three is not None
    assert two is not None
    assert extents(three) == [(0, 0), (1, 1), (2, 2)]
    assert extents(two) == [(0, 0), (1, 2)]
    assert match_word(spans, (plain(0.9),) * 4) is None


def test_a_hand_that_draws_all_letters_wide_is_followed() -> None:
    """Half as wide again as usual: what counts is that each is as wide as its letter among the others."""
    atoms = (atom(0, 0, 135), atom(1, 160, 60), atom(2, 250, 135))
    spans = spans_of(atoms, BASELINE, X_HEIGHT)
    match = match_word(spans, (plain(0.9), plain(0.4), plain(0.9)))
    assert match is not None
    assert all(s.misfit < 0.1 for s in match.spans)


def test_counters_marks_rise_and_fall_speak_for_a_letter() -> None:
    spans = spans_of(
        (
            atom(0, 0, 90),
            atom(1, 100, 90, counters=1),
            atom(2, 200, 90, marks=1),
            atom(3, 300, 90, 150),
            atom(4, 400, 90, low=45),
        ),
        BASELINE,
        X_HEIGHT,
    )
    shapes = (
        plain(0.9),
        plain(0.9, counters=(1,)),
        plain(0.9, marks=1),
        plain(0.9, rises=True),
        plain(0.9, falls=True),
    )
    cost = misfits(spans, shapes)
    own = [spans.at[i, i] for i in range(5)]
    assert list(cost[own].argmin(axis=1)) == [0, 1, 2, 3, 4]
    assert cost[own].diagonal() == pytest.approx(np.zeros(5), abs=1e-6)


def test_without_a_word_every_atom_is_read_and_none_twice() -> None:
    atoms = tuple(atom(i, 60 * i, 40) for i in range(7))
    spans = spans_of(atoms, BASELINE, X_HEIGHT)
    match = match_freely(spans, known_shapes())
    taken = [i for s in match.spans for i in range(s.first, s.last + 1)]
    assert taken == list(range(7))


def test_a_letter_that_is_likelier_another_is_strange() -> None:
    """A block half as high again as the x-height is no n."""
    spans = spans_of((atom(0, 0, 40, 150),), BASELINE, X_HEIGHT)
    shapes = tuple(s for s, _ in known_shapes())
    wrong, right = (match_word(spans, (shape_of(c),)) for c in "nl")
    assert wrong is not None
    assert right is not None
    assert strangeness(spans, right, shapes)[0] == pytest.approx(0.0, abs=0.1)
    assert strangeness(spans, wrong, shapes)[0] > 2.0


def test_a_cut_costs_the_more_the_more_ink_it_crosses() -> None:
    def through(neck_px: float, runs: int = 1) -> float:
        return cut_cost(Cut(0.0, 0.0, 0.0, neck_px, runs, 20.0), X_HEIGHT)

    assert 0.0 < through(0.0) < through(10.0) < through(20.0) < through(80.0)
    assert through(20.0, runs=2) > through(20.0)


def test_widths_are_weighed_by_their_ratio() -> None:
    """Half as wide is as unlikely as twice as wide, the usual width costs nothing, and nothing costs without end."""
    cost = width_cost(np.array([0.5, 0.8, 1.0, 1.25, 2.0, 0.0, 40.0]), np.array([1.0]), np.array([0.3]))[:, 0]
    assert cost[2] == 0.0
    assert cost[[0, 1]] == pytest.approx(cost[[4, 3]])
    assert cost[4] > cost[3] > 0.0
    assert np.isfinite(cost).all()
    assert cost[5] == cost[6] == cost.max()


def test_usual_looks_cost_nothing_and_odd_ones_no_more_than_a_limit() -> None:
    cost = looks_cost(np.array([0.0, 30.0, 100.0, 1000.0, 1e9, 1e12], np.float32))
    assert list(cost[:2]) == [0.0, 0.0]
    assert (np.diff(cost[1:5]) > 0).all()
    assert cost[4] == cost[5]
