"""A Study comes in; out goes how its stems stand: each against the word's own slant, and the word against the vertical."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vectorize.anatomy.records import Stem
from vectorize.anatomy.stems import shared, weighted_median
from vectorize.critique.words import about, called, degrees, ladder, side
from vectorize.findings import Finding, Severity
from vectorize.study import Letter, Study
from vectorize.trade.critique import (
    SLOPED_DEG,
    UPRIGHT_ALONE,
    UPRIGHT_FIX_DEG,
    UPRIGHT_LENGTH,
    UPRIGHT_LOOK_DEG,
    UPRIGHT_NOTE_DEG,
    WORD_UPRIGHT_FIX_DEG,
    WORD_UPRIGHT_LOOK_DEG,
    WORD_UPRIGHT_NOTE_DEG,
)
from vectorize.trade.parts import PARALLEL_PAIR

CHECK = "upright"


def check(study: Study) -> tuple[Finding, ...]:
    """What holds of the stems, the word's own slant, then each letter that leaves it."""
    standing = [x for x in study.letters if x.anatomy.stem_deg is not None]
    if not standing:
        return ()
    slant = _slant(standing)
    whole = _whole(slant, len(standing))
    reference = slant if whole else 0.0
    off = tuple(f for x in standing if (f := _letter(study, x, reference)).severity is not Severity.HOLDS)
    straight = [x for x in standing if not any(x.index in f.letters for f in off)]
    alike = not whole or (abs(slant) >= SLOPED_DEG and len(straight) > 1)
    holds = (_holding(reference, straight, off),) if straight and alike else ()
    return (*holds, *whole, *off)


def _slant(standing: Sequence[Letter]) -> float:
    """The lean that half of the length of all stems stays below: one leaning letter does not move it.

    Of two letters what both lean by, for either may be the one that leaves the other's slant.
    """
    if len(standing) == 2:
        return shared(*(x.anatomy.stem_deg or 0.0 for x in standing))
    stems = [s for x in standing for s in x.anatomy.stems]
    return weighted_median(np.array([s.lean_deg for s in stems]), np.array([s.edge_length_u for s in stems]))


def _whole(slant: float, count: int) -> tuple[Finding, ...]:
    """What the word's slant says by itself; of a single stem only whether it is sloped on purpose."""
    figures = (slant, float(WORD_UPRIGHT_NOTE_DEG), "deg")
    if count == 1:
        text = (
            f"The only stem of the word slopes {degrees(slant)} to the {side(slant)}. If the slope is meant, the other "
            "letters should share it; if not, draw the stem along a ruled upright."
        )
        return (about(CHECK, (), figures, Severity.NOTE, text),) if abs(slant) >= SLOPED_DEG else ()
    if abs(slant) >= SLOPED_DEG:
        text = (
            f"The word slopes {degrees(slant)} to the {side(slant)}. If the slope is meant, it only has to be the same "
            "in every letter; rule a few slanted pencil lines to hold it."
        )
        return (about(CHECK, (), figures, Severity.NOTE, text),)
    severity = ladder(abs(slant), WORD_UPRIGHT_NOTE_DEG, WORD_UPRIGHT_LOOK_DEG, WORD_UPRIGHT_FIX_DEG)
    if severity is Severity.HOLDS:
        return ()
    text = (
        f"The stems lean {degrees(slant)} to the {side(slant)} all through the word. "
        "Rule a few upright pencil lines with a set square and draw the stems along them."
    )
    return (about(CHECK, (), figures, severity, text),)


def _letter(study: Study, letter: Letter, reference: float) -> Finding:
    lean = (letter.anatomy.stem_deg or 0.0) - reference
    factor = allowance(letter)
    note, look, fix = (factor * v for v in (UPRIGHT_NOTE_DEG, UPRIGHT_LOOK_DEG, UPRIGHT_FIX_DEG))
    whose = "the vertical" if reference == 0.0 else "the slant of the word"
    severity = ladder(abs(lean), note, look, fix)
    stem = _leaning_stem(letter, reference)
    if stem is not None and stem.severity.rank > severity.rank:
        return stem.told(study, letter, whose)
    text = (
        f"{called(letter, study.letters)} leans {degrees(lean)} to the {side(lean)} of {whose}. "
        "Hold its stem against a ruled upright before it is filled in."
    )
    if reference != 0.0:
        text = text.replace("a ruled upright", "a ruled line of that slant")
    return about(CHECK, (letter,), (lean, note, "deg"), severity, text)


@dataclass(frozen=True, slots=True)
class LeaningStem:
    """One stem of several, its lean against the word's, and the first limit it passed."""

    stem: Stem
    side: str
    lean_deg: float
    limit_deg: float
    severity: Severity

    def told(self, study: Study, letter: Letter, whose: str) -> Finding:
        """The finding on this stem alone."""
        text = (
            f"the {self.side} stem of {called(letter, study.letters)} leans {degrees(self.lean_deg)} to the "
            f"{side(self.lean_deg)} of {whose}, its other stem does not. Bring the two parallel before they are filled in."
        )
        return about(CHECK, (letter,), (self.lean_deg, self.limit_deg, "deg"), self.severity, text, self.stem.box_u)


def _leaning_stem(letter: Letter, reference: float) -> LeaningStem | None:
    """The one of two stems that leans by itself; None for letters with one stem or with stems that may spread."""
    stems = letter.anatomy.stems
    if letter.base not in PARALLEL_PAIR or len(stems) != 2:
        return None
    readings = []
    for stem, place in zip(stems, ("left", "right"), strict=True):
        factor = UPRIGHT_ALONE * _allowed(stem.edge_length_u)
        lean = stem.lean_deg - reference
        limits = (factor * UPRIGHT_NOTE_DEG, factor * UPRIGHT_LOOK_DEG, factor * UPRIGHT_FIX_DEG)
        readings.append(LeaningStem(stem, place, lean, limits[0], ladder(abs(lean), *limits)))
    off = [r for r in readings if r.severity is not Severity.HOLDS]
    return off[0] if len(off) == 1 else None


def allowance(letter: Letter) -> float:
    """Factor on the limits: the lean of short stems is both seen and drawn less exactly than that of long ones."""
    return _allowed(_length(letter))


def _allowed(length_u: float) -> float:
    return math.sqrt(min(3.0, max(1.0, 1000.0 * UPRIGHT_LENGTH / max(length_u, 1.0))))


def _length(letter: Letter) -> float:
    """Length of straight edge that the letter's lean was read from, letter units."""
    return sum(s.edge_length_u for s in letter.anatomy.stems)


def _holding(reference: float, straight: Sequence[Letter], off: Sequence[Finding]) -> Finding:
    several = sum(len(x.anatomy.stems) for x in straight) > 1
    who = f"The {'other ' if off else ''}{'stems' if several else 'stem'}"
    text = f"{who} {'stand' if several else 'stands'} upright."
    if reference != 0.0:
        slant = f"slant of {degrees(reference)} to the {side(reference)}"
        text = f"{who} share one {slant}." if several else f"{who} keeps the word's {slant}."
    leans = [abs((x.anatomy.stem_deg or 0.0) - reference) for x in straight]
    letters = straight if off else ()
    return about(CHECK, letters, (max(leans, default=0.0), float(UPRIGHT_NOTE_DEG), "deg"), Severity.HOLDS, text)
