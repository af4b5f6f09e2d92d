"""Faults planted alone into drawings of a careful hand, at multiples of the limit that a check goes by, and their score.

The same faults are read without a picture (`study` of tests.critique.drawn) or through one (tests.critique.pictured).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from tests.critique.drawn import Drawing, outlines, study
from tests.specimens.recipe import Fill, Hand
from vectorize.anatomy.measure import measure
from vectorize.critique.judge import judge
from vectorize.errors import VectorizeError
from vectorize.findings import Finding, Severity
from vectorize.study import Study
from vectorize.trade import critique as limits
from vectorize.trade.spacing import EVEN_WITHIN

SIZES = (0.5, 1.0, 2.0)
"""Multiples of the limit: below it, at it, and what a teacher would name."""

SETTING = ("source-sans-3", "jost", "lora", "lato", "source-serif-4", "overpass", "bodoni-moda")
"""Families that the limits were set with."""

HELD_OUT = ("figtree", "asap", "domine", "newsreader")
"""Families that no limit was set with: two without serifs, two with; they only score."""

Read = Callable[[Drawing, int], Study]
"""(drawing, number of the case) to all that is found out about it."""

Plant = Callable[[str, str, int, int, float], Drawing]
Words = tuple[tuple[str, tuple[int, ...]], ...]


@dataclass(frozen=True)
class Fault:
    """check: which check should speak. words: with the letters, from 0, that may carry the fault; plant: how.

    short: words for pictures, of six letters at most. whole: a fault of the word, no letter need be named.
    also: other checks that may name it as rightly. name: of the fault where a check has several.
    """

    check: str
    words: Words
    short: Words
    plant: Plant
    whole: bool = False
    also: tuple[str, ...] = field(default=())
    name: str = ""


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


def _blotchy(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    # The pencil's pressure varies by .28 of its blotches; a careful fill has .35 of them, and no fewer are planted.
    blotches = max(0.35, m * limits.FILL_NOTE / 0.28)
    return Drawing(word, family, seed=seed, fills={i: Fill(blotches=blotches)})


def _holed(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, fills={i: Fill(holes=m * limits.FLECK_NOTE)})


def _paler(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    return Drawing(word, family, seed=seed, fills={i: Fill(darkness=Fill().darkness * (1.0 - m * limits.TONE_NOTE))})


def _ragged(word: str, family: str, i: int, seed: int, m: float) -> Drawing:
    # Strokes that run over the edge by .18 mm at an x-height of 20 mm give the limit.
    return Drawing(word, family, seed=seed, fills={i: Fill(ragged=0.18 * m)})


PLAIN = (("hamburg", (0,)), ("mono", (0,)))
STEMMED = (("handlung", (0, 2, 3, 4, 6)), ("mitbring", (0, 3, 4, 6)))
SEATED = (("hanover", (0, 1, 2, 3, 5)), ("brunch", (0, 1, 2, 4)))
SMALL = (("monsun", (0, 1, 2, 3, 4)), ("nascence", (0, 1, 2, 3, 4)))
HEAVY = (("handlung", (0, 2, 3, 4, 6)), ("mundrun", (0, 1, 2, 3)))
ROUND = (("monotono", (1, 3, 5)), ("oboso", (0, 2, 4)))
BOWLS = (("badpod", (0, 2, 3, 4, 5)), ("podqb", (0, 1, 2, 3, 4)))
TWINS = (("onion", (0, 1, 3, 4)), ("nanuna", (0, 2, 4)))
KIN = (("unhahnin", (2,)), ("bodpoq", (0, 2, 3)))
EDGES = (("hanover", (0, 2, 4, 5)), ("mono", (0, 1, 2)))
SPACES = (("handlung", (1, 2, 3, 4)), ("mononom", (1, 2, 3, 4)))
FILLED = (("mundo", (0, 1, 2, 3, 4)), ("hinge", (0, 2, 3, 4)))

FAULTS = (
    Fault("level", PLAIN, (("mono", (0,)), ("denim", (0,))), _level, whole=True),
    Fault("parallel", (PLAIN[0], ("denim", (0,))), (("mono", (0,)), ("denim", (0,))), _parallel, whole=True),
    Fault("upright", STEMMED, (("linden", (0, 2, 3, 5)), ("nimbud", (0, 2, 3, 4, 5))), _upright),
    Fault("seat", SEATED, (("humane", (0, 1, 2, 4)), SEATED[1]), _seat),
    Fault("size", SMALL, (SMALL[0], ("nascen", (0, 1, 2, 3, 4))), _size),
    Fault("weight", HEAVY, (("handlu", (0, 2, 3, 4)), ("mundru", (0, 1, 2, 3))), _weight),
    Fault("contrast", ROUND, (("onolo", (0, 2, 4)), ROUND[1]), _contrast),
    Fault("counters", BOWLS, BOWLS, _counters, also=("likeness",)),
    Fault("likeness", TWINS, TWINS, _stretched(limits.TWIN_NOTE, 1.0)),
    Fault("kin", KIN, (("nunhun", (3,)), KIN[1]), _stretched(limits.KIN_NOTE, 0.72)),
    Fault("edge", EDGES, (("hanove", (0, 2, 4, 5)), EDGES[1]), _edge),
    Fault("spaces", SPACES, (("handlu", (1, 2, 3)), ("monono", (1, 2, 3))), _spaces),
)
"""What the outlines alone can show."""

FILL_FAULTS = (
    Fault("fill", FILLED, FILLED, _blotchy, name="fill: blotches"),
    Fault("fill", FILLED, FILLED, _holed, name="fill: holes"),
    Fault("fill", FILLED, FILLED, _paler, name="fill: paler letter"),
    Fault("fill", FILLED, FILLED, _ragged, name="fill: ragged edge"),
)
"""What only a picture can show."""


@dataclass
class Score:
    """Of `tried` drawings: in how many the fault was found, and the right letter named."""

    tried: int = 0
    found: int = 0
    named: int = 0


def speaks(finding: Finding) -> bool:
    """Whether a finding speaks of something that does not hold."""
    return finding.severity is not Severity.HOLDS


def cases(words: Words, families: tuple[str, ...], seeds: range) -> Iterator[tuple[str, str, int, int]]:
    """(word, family, letter, seed), letters in turn."""
    for family in families:
        for word, letters in words:
            for seed in seeds:
                yield word, family, letters[seed % len(letters)], seed


def without_picture(drawing: Drawing, _case: int) -> Study:
    """The drawing's outlines themselves."""
    return study(drawing)


def findings_of(read: Read, drawing: Drawing, case: int) -> tuple[Finding, ...]:
    """The critique of a drawing; none where its letters could not be told apart."""
    try:
        seen = read(drawing, case)
    except VectorizeError:
        return ()
    return judge(seen) if len(seen.letters) == len(drawing.word) else ()


def dealt(words: Words, families: tuple[str, ...], seeds: range) -> Iterator[tuple[str, str, int, int]]:
    """The same, but each family and seed draws one of the words only, in turns: pictures take long."""
    for seed in seeds:
        for k, family in enumerate(families):
            word, letters = words[(k + seed) % len(words)]
            yield word, family, letters[(k + seed) % len(letters)], k + 10 * seed


def score(
    fault: Fault,
    size: float,
    families: tuple[str, ...],
    seeds: range,
    read: Read = without_picture,
    *,
    short: bool = False,
) -> Score:
    """Plant the fault alone into each case and ask the whole critique."""
    total = Score()
    planted = dealt(fault.short, families, seeds) if short else cases(fault.words, families, seeds)
    for case, (word, family, letter, seed) in enumerate(planted):
        found = [f for f in findings_of(read, fault.plant(word, family, letter, seed, size), case) if speaks(f)]
        # A figure without a limit says that something could not be judged: that is no find.
        own = [f for f in found if f.check in {fault.check, *fault.also} and f.limit is not None]
        right = {letter + 1, letter + 2} if fault.check == "spaces" else {letter + 1}
        total.tried += 1
        total.found += bool(own)
        total.named += (fault.whole and bool(own)) or any(right & set(f.letters) for f in own)
    return total


PLAIN_WORDS = ("hamburg", "nobody", "onion", "mahnung", "handlung", "vexing", "Banana", "stripe", "murmur", "quickly")


def false_findings(
    families: tuple[str, ...], seeds: range, words: tuple[str, ...] = PLAIN_WORDS, read: Read = without_picture
) -> tuple[int, dict[str, int]]:
    """Drawings without a fault, and how many findings of look-again or fix each check made on all of them."""
    drawings, found = 0, dict[str, int]()
    for family in families:
        for word in words:
            for seed in seeds:
                named = bool(np.random.default_rng(seed).integers(3))
                drawings += 1
                for f in judge(read(Drawing(word, family, seed=seed, named=named), drawings)):
                    if f.severity in {Severity.LOOK_AGAIN, Severity.FIX}:
                        found[f.check] = found.get(f.check, 0) + 1
    return drawings, found
