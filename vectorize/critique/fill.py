"""A Study comes in; out goes how evenly its letters are blackened: within a letter, between letters, and holes in the black."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from vectorize.critique.words import about, called, ladder, listed, part, percent, together
from vectorize.findings import Finding, Severity
from vectorize.study import Letter, Study
from vectorize.trade.critique import (
    CAREFUL_FILL,
    FILL_FIX,
    FILL_LOOK,
    FILL_NOTE,
    FLECK_FIX,
    FLECK_LOOK,
    FLECK_NOTE,
    RAGGED_FIX,
    RAGGED_LOOK,
    RAGGED_NOTE,
    TONE_FIX,
    TONE_LOOK,
    TONE_NOTE,
)

CHECK = "fill"

# More letters than this with the same fault are told in one sentence.
FEW = 3


def check(study: Study) -> tuple[Finding, ...]:
    """Blotches, holes and ragged edges of each letter's black, and letters lighter or darker than the word's own.

    The darkness judged has the picture's light taken out already, so a shadow on the sheet is no blotch.
    """
    seen = [x for x in study.letters if x.anatomy.fill_evenness is not None]
    if not seen:
        return ()
    inside = [(x, f) for x in seen if (f := _inside(study, x)).severity is not Severity.HOLDS]
    edges = [(x, f) for x in seen if (f := _edge(study, x)).severity is not Severity.HOLDS]
    off = [*_gathered(study, inside), *_gathered_edges(study, edges), *_tones(study, seen)]
    touched = {i for f in off for i in f.letters}
    good = [x for x in seen if x.index not in touched]
    if len(good) < 2:
        return tuple(off)
    worst = max(1.0 - (x.anatomy.fill_evenness or 0.0) for x in good)
    names = together(good, study.letters)
    text = (
        "The black is uniform, inside the letters and from one to the next."
        if not off
        else f"The black of {names} is uniform."
    )
    letters = good if off else ()
    return (about(CHECK, letters, (worst, float(FILL_NOTE), "of the black"), Severity.HOLDS, text), *off)


def _inside(study: Study, letter: Letter) -> Finding:
    """Holes in one letter's black, else its blotches; open places make it blotchy as well and are told first."""
    blotches = 1.0 - (letter.anatomy.fill_evenness or 0.0)
    flecks = letter.anatomy.fleck_ratio or 0.0
    by_blotches = ladder(blotches, FILL_NOTE, FILL_LOOK, FILL_FIX)
    by_flecks = ladder(flecks, FLECK_NOTE, FLECK_LOOK, FLECK_FIX)
    name = called(letter, study.letters)
    palest = letter.anatomy.palest_u
    where = f", most {part(letter, palest)}" if palest else ""
    if by_flecks is not Severity.HOLDS:
        text = (
            f"{percent(flecks)} of the black of {name} is open: paper shows through the pencil{where}. "
            "Colour over it in small circles until the white specks are gone."
        )
        severity = max(by_flecks, by_blotches, key=lambda s: s.rank)
        return about(CHECK, (letter,), (flecks, float(FLECK_NOTE), "of the fill"), severity, text)
    palest_where = f" and is palest {part(letter, palest)}" if palest else ""
    text = (
        f"the black of {name} is blotchy: its tone varies by {percent(blotches)}{palest_where}. "
        "Lay a second coat of pencil across the first, with even pressure."
    )
    return about(CHECK, (letter,), (blotches, float(FILL_NOTE), "of the black"), by_blotches, text)


def _edge(study: Study, letter: Letter) -> Finding:
    rough = letter.anatomy.ragged_ratio or 0.0
    text = (
        f"the edge of the black of {called(letter, study.letters)} is ragged: pencil strokes run over it or stop short of it. "
        "Draw the edge with a sharp point first, then fill up to it and not across."
    )
    severity = ladder(rough, RAGGED_NOTE, RAGGED_LOOK, RAGGED_FIX)
    return about(CHECK, (letter,), (rough, float(RAGGED_NOTE), "x-heights"), severity, text)


def _gathered_edges(study: Study, off: Sequence[tuple[Letter, Finding]]) -> list[Finding]:
    """Each letter's ragged edge, or one finding for all when many share it."""
    if len(off) <= FEW:
        return [f for _, f in off]
    worst_letter, worst = max(off, key=lambda o: o[1].measured or 0.0)
    text = (
        f"the edges of the black are ragged all through the word, most in {called(worst_letter, study.letters)}: pencil "
        "strokes run over them or stop short. Draw each edge with a sharp point first, then fill up to it and not across."
    )
    figures = (worst.measured, worst.limit, worst.unit)
    return [about(CHECK, [x for x, _ in off], figures, worst.severity, text)]


def _gathered(study: Study, off: Sequence[tuple[Letter, Finding]]) -> list[Finding]:
    """Each letter's finding, or one for all when many share it."""
    if len(off) <= FEW:
        return [f for _, f in off]
    worst_letter, worst = max(off, key=lambda o: (o[1].severity.rank, o[1].measured or 0.0))
    letters = [x for x, _ in off]
    who = "every letter" if len(off) == len(study.letters) else f"{len(off)} letters"
    text = (
        f"the black is uneven in {who}, most in {called(worst_letter, study.letters)}. "
        "Lay a second coat of pencil across the first, with even pressure, until no paper shows."
    )
    return [about(CHECK, letters, (worst.measured, worst.limit, worst.unit), worst.severity, text)]


def _tones(study: Study, seen: Sequence[Letter]) -> list[Finding]:
    """Letters darker or lighter than the word's own black; where the black is blotchy anyway, only clearer ones."""
    tones = [(x, t) for x in seen if (t := x.anatomy.darkness)]
    if len(tones) < 3:
        return []
    middle = median(t for _, t in tones)
    factor = max(1.0, median(1.0 - (x.anatomy.fill_evenness or 0.0) for x in seen) / CAREFUL_FILL)
    limits = (factor * TONE_NOTE, factor * TONE_LOOK, factor * TONE_FIX)
    off = [(x, t / middle - 1.0) for x, t in tones if abs(t / middle - 1.0) >= limits[0]]
    if len(off) <= FEW:
        return [_tone(study, x, d, limits) for x, d in off]
    worst = max((d for _, d in off), key=abs)
    dark = [called(x, study.letters) for x, d in off if d > 0]
    light = [called(x, study.letters) for x, d in off if d < 0]
    sides = [f"{listed(names)} {_are(names)} {how}" for names, how in ((dark, "darker"), (light, "lighter")) if names]
    text = f"the letters are not of one black: {'; '.join(sides)}. Bring all of them to the darkest with a second coat."
    letters = [x for x, _ in off]
    return [about(CHECK, letters, (worst, limits[0], "of the black"), ladder(abs(worst), *limits), text)]


def _tone(study: Study, letter: Letter, off: float, limits: tuple[float, float, float]) -> Finding:
    name = called(letter, study.letters)
    text = (
        f"the black of {name} is {percent(off)} darker than that of the others. Bring the others up to it."
        if off > 0
        else f"the black of {name} is {percent(off)} lighter than that of the others. Go over it once more."
    )
    return about(CHECK, (letter,), (off, limits[0], "of the black"), ladder(abs(off), *limits), text)


def _are(names: Sequence[str]) -> str:
    return "are" if len(names) > 1 else "is"
