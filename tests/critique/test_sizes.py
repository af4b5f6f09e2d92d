"""Faults of a size that a teacher names at the table, in the trade's own measures and whatever the limits are.

Sizes without a source beside them are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.critique.drawn import Drawing, study
from tests.critique.faults import FAULTS, cases, without_picture
from vectorize.critique import fill
from vectorize.critique.judge import judge
from vectorize.findings import Severity
from vectorize.study import Study
from vectorize.trade import critique as limits
from vectorize.trade.spacing import EVEN_WITHIN

FAMILIES = ("source-sans-3", "lora")

# Check: (size, the figure that planted faults are multiples of).
AT_THE_TABLE = {
    # Tilt seen in one look .6 deg: Heeley & Buchanan-Smith, Vision Research 30 (1990) 1429-1437.
    "level": (0.7, limits.LEVEL_NOTE_DEG),
    # Half of that: Vision Research 154 (2019) 97-104, parallel pairs have the lowest thresholds.
    "parallel": (0.4, limits.PARALLEL_NOTE_DEG),
    # Six times what one look sees.
    "upright": (3.6, limits.UPRIGHT_NOTE_DEG),
    # More than three times the overshoot of Claflin, Standard Lettering, 2nd ed. 1922, p. 23.
    "seat": (0.075, limits.SEAT_NOTE),
    # Twice the Weber fraction of lengths, 2 to 5 per cent: Levi & Klein, Burbeck, Whitaker & Latham; from memory.
    "size": (0.1, limits.SIZE_NOTE),
    # A fifth of the stem.
    "weight": (0.2, limits.WEIGHT_NOTE),
    # Four times the Weber fraction of areas, 3 to 6 per cent: Morgan 2005, Nachmias 2011; from memory.
    "counters": (0.26, limits.COUNTER_NOTE),
    # A letter wider than its twin by half a stem.
    "likeness": (0.1, limits.TWIN_NOTE),
    # A tenth of the x-height, two fifths of the space between two straight stems: designers differ by .027 (measured by us).
    "spaces": (0.1, EVEN_WITHIN),
}
BY_CHECK = {f.check: f for f in FAULTS}
HEAVY = {Severity.LOOK_AGAIN, Severity.FIX}


def heavy(found: Study, check: str) -> set[int]:
    """Letters that a check tells to look at again or to put right; 0 stands for the word."""
    own = [f for f in judge(found) if f.check == check and f.severity in HEAVY]
    return {i for f in own for i in (f.letters or (0,))}


@pytest.mark.parametrize("check", AT_THE_TABLE)
def test_what_a_teacher_names_is_told_as_more_than_a_note(check: str) -> None:
    fault, (size, limit) = BY_CHECK[check], AT_THE_TABLE[check]
    for word, family, letter, seed in cases(fault.words, FAMILIES, range(1, 2)):
        told = heavy(without_picture(fault.plant(word, family, letter, seed, size / limit), 0), check)
        assert (0 if fault.whole else letter + 1) in told, (word, family, letter)


@pytest.mark.parametrize("check", AT_THE_TABLE)
def test_a_quarter_of_it_is_at_most_a_note(check: str) -> None:
    fault, (size, limit) = BY_CHECK[check], AT_THE_TABLE[check]
    for word, family, letter, seed in cases(fault.words, FAMILIES[:1], range(1, 2)):
        assert not heavy(without_picture(fault.plant(word, family, letter, seed, size / limit / 4.0), 0), check)


def test_a_trembling_hand_is_told() -> None:
    # A wobble of .05 x-heights is eight times a careful hand's; common practice, no source.
    assert heavy(study(Drawing("hanover", "source-sans-3", seed=1, wobble_of={4: 0.05})), "edge") == {5}


@pytest.mark.parametrize(
    ("figure", "careful", "told"),
    [("fill_evenness", 0.88, 0.68), ("darkness", 0.6, 0.42), ("fleck_ratio", 0.01, 0.15)],
)
def test_blotches_tones_and_holes(figure: str, careful: float, told: float) -> None:
    # A third of the black lighter, blotches as deep, holes over a seventh of the letter: seen across a table.
    plain = study(Drawing("handlung", "source-sans-3"))
    even = {"fill_evenness": 0.9, "darkness": 0.6, "fleck_ratio": 0.0, "ragged_ratio": 0.0002}

    def with_second(value: float) -> Study:
        letters = [replace(x, anatomy=replace(x.anatomy, **even)) for x in plain.letters]
        letters[1] = replace(letters[1], anatomy=replace(letters[1].anatomy, **{figure: value}))
        return replace(plain, letters=tuple(letters))

    def heavy_of(found: Study) -> set[int]:
        return {i for f in fill.check(found) if f.severity in HEAVY for i in f.letters}

    assert heavy_of(with_second(careful)) == set()
    assert heavy_of(with_second(told)) == {2}
