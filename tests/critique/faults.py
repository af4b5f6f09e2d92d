"""Faults planted alone into drawings of a careful hand, at multiples of the limit that a check goes by, and their score."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from tests.critique.drawn import Drawing, outlines, study
from tests.specimens.recipe import Hand
from vectorize.anatomy.measure import measure
from vectorize.critique.judge import judge
from vectorize.findings import Finding, Severity
from vectorize.trade import critique as limits
from vectorize.trade.spacing import EVEN_WITHIN

SIZES = (1.0, 2.0, 4.0)
"""Multiples of the limit: what hardly shows, what a teacher would name, what nobody overlooks."""

FAMILIES = ("source-sans-3", "jost", "lora", "lato", "source-serif-4", "overpass", "bodoni-moda")

Plant = Callable[[str, str, int, int, float], Drawing]


@dataclass(frozen=True)
class Fault:
    """check: which check should speak. words: with the letters, from 0, that may carry the fault; plant: how.

    also: other checks that may name it as rightly.
    """

    check: str
    words: tuple[tuple[str, tuple[int, ...]], ...]
    plant: Plant
    whole: bool = False
    also: tuple[str, ...] = field(default=())


@cache
def _plain(family: str, letter: str) -> tuple[float, float, float]:
    """Stem, width and bowl counter of a letter of the font as designed, x-heights."""
    outline = outlines(Drawing(letter, family, hand=Hand(wobble=0.0)))[0]
    anatomy = measure(outline, None, None)
    return anatomy.stem_ratio or 0.17, outline.box_u.width / 1000.0, anatomy.thin_ratio or 0.1


def _sign(seed: int) -> float:
    return 1.0 if seed % 2 else -1.0


def _level(word: str, family: str, _i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, drawing_deg=_sign(seed) * m * limits.LEVEL_NOTE_DEG)


def _parallel(word: str, family: str, _i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, mean_extra_deg=_sign(seed) * m * limits.PARALLEL_NOTE_DEG)


def _upright(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, hand=Hand(lean={i: _sign(seed) * m * limits.UPRIGHT_NOTE_DEG}))


def _seat(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, hand=Hand(drop={i: _sign(seed) * m * limits.SEAT_NOTE}))


def _size(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, hand=Hand(size={i: 1.0 + _sign(seed) * m * limits.SIZE_NOTE}))


def _weight(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    added = _sign(seed) * m * limits.WEIGHT_NOTE * _plain(family, "n")[0] / 2.0
    return Drawing(word, family, seed=seed, hand=Hand(weight={i: added}))


def _contrast(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    """Level strokes of an o thickened: only there is its thinnest stroke level, so that the figure is known."""
    thin = _plain(family, word[i])[2]
    limit = max(float(limits.THIN_NOTE), limits.THIN_SHARE * thin)
    return Drawing(word, family, seed=seed, level_strokes={i: m * limit / 2.0})


def _counters(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    area = 1.0 + _sign(seed) * m * limits.COUNTER_NOTE
    return Drawing(word, family, seed=seed, hand=Hand(counter={i: math.sqrt(area)}))


def _stretched(limit: float, part: float) -> Plant:
    def plant(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
        width = _plain(family, word[i])[1] * part
        return Drawing(word, family, seed=seed, stretch={i: 1.0 + _sign(seed) * m * limit / width})

    return plant


def _edge(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    # Read without a picture: a wobble of .006 gives .0007, .0215 gives the limit of .0020, .04 gives .0031.
    return Drawing(word, family, seed=seed, wobble_of={i: 0.0215 * m})


def _spaces(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, hand=Hand(gaps={i: _sign(seed) * m * EVEN_WITHIN}))


FAULTS = (
    Fault("level", (("hamburg", (0,)), ("mono", (0,))), _level, whole=True),
    Fault("parallel", (("hamburg", (0,)), ("denim", (0,))), _parallel, whole=True),
    Fault("upright", (("handlung", (0, 2, 3, 4, 6)), ("mitbring", (0, 3, 4, 6))), _upright),
    Fault("seat", (("hanover", (0, 1, 2, 3, 5)), ("brunch", (0, 1, 2, 4))), _seat),
    Fault("size", (("monsun", (0, 1, 2, 3, 4)), ("nascence", (0, 1, 2, 3, 4))), _size),
    Fault("weight", (("handlung", (0, 2, 3, 4, 6)), ("mundrun", (0, 1, 2, 3))), _weight),
    Fault("contrast", (("monotono", (1, 3, 5)), ("oboso", (0, 2, 4))), _contrast),
    Fault("counters", (("badpod", (0, 2, 3, 4, 5)), ("podqb", (0, 1, 2, 3, 4))), _counters, also=("likeness",)),
    Fault("likeness", (("onion", (0, 1, 3, 4)), ("nanuna", (0, 2, 4))), _stretched(limits.TWIN_NOTE, 1.0)),
    Fault("kin", (("unhahnin", (2,)), ("bodpoq", (0, 2, 3))), _stretched(limits.KIN_NOTE, 0.72)),
    Fault("edge", (("hanover", (0, 2, 4, 5)), ("mono", (0, 1, 2))), _edge),
    Fault("spaces", (("handlung", (1, 2, 3, 4)), ("mononom", (1, 2, 3, 4))), _spaces),
)


@dataclass
class Score:
    """Of `tried` drawings: in how many the fault was found, and the right letter named."""

    tried: int = 0
    found: int = 0
    named: int = 0


def speaks(finding: Finding) -> bool:
    """Whether a finding speaks of something that does not hold."""
    return finding.severity is not Severity.HOLDS


def cases(fault: Fault, families: tuple[str, ...], seeds: range) -> Iterator[tuple[str, str, int, int]]:
    """(word, family, letter, seed), letters in turn."""
    for family in families:
        for word, letters in fault.words:
            for seed in seeds:
                yield word, family, letters[seed % len(letters)], seed


def score(fault: Fault, size: float, families: tuple[str, ...], seeds: range) -> Score:
    """Plant the fault alone into each case and ask the whole critique."""
    total = Score()
    for word, family, letter, seed in cases(fault, families, seeds):
        findings = [f for f in judge(study(fault.plant(word, family, letter, seed, size))) if speaks(f)]
        own = [f for f in findings if f.check in {fault.check, *fault.also}]
        right = {letter + 1, letter + 2} if fault.check == "spaces" else {letter + 1}
        total.tried += 1
        total.found += bool(own)
        total.named += (fault.whole and bool(own)) or any(right & set(f.letters) for f in own)
    return total


PLAIN_WORDS = ("hamburg", "nobody", "onion", "mahnung", "handlung", "vexing", "Banana", "stripe", "murmur", "quickly")


def false_findings(
    families: tuple[str, ...], seeds: range, words: tuple[str, ...] = PLAIN_WORDS
) -> tuple[int, dict[str, int]]:
    """Drawings without a fault, and how many findings of look-again or fix each check made on all of them."""
    drawings, found = 0, dict[str, int]()
    for family in families:
        for word in words:
            for seed in seeds:
                named = bool(np.random.default_rng(seed).integers(3))
                drawings += 1
                for f in judge(study(Drawing(word, family, seed=seed, named=named))):
                    if f.severity in {Severity.LOOK_AGAIN, Severity.FIX}:
                        found[f.check] = found.get(f.check, 0) + 1
    return drawings, found
