"""A Study comes in; out goes where strokes swell and thin: along stems, at the joints of arches, in bowls and diagonals."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median
from typing import Final

from vectorize.critique.words import about, around, called, ladder, listed, percent, region
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import Letter, Study
from vectorize.trade.critique import (
    CURVE_NOTE,
    SWELL_FIX,
    SWELL_LOOK,
    SWELL_NOTE,
    THIN_FIX,
    THIN_LOOK,
    THIN_NOTE,
    THIN_SHARE,
)
from vectorize.trade.parts import EVEN_STEMS

CHECK = "contrast"

ROUND: Final = ("o", "O")

# The branch of n, m, h and r leaves its stem above this height, letter units; that of the u as far below the mean line.
BRANCH_FROM_U = 400.0

FAMILIES: Final = (
    ("nmh", "the branch"),
    ("u", "the branch"),
    ("r", "the branch"),
    ("bdpq", "the bowl"),
    *((names, "the bowl") for names in ROUND),
    ("c", "the bowl"),
    ("e", "the bowl"),
    ("vwy", "the thin stroke"),
)
"""Letters whose thinnest stroke is the same part, and what it is called. Open text faces thin c and e differently, and r and
u differently from n, capitals differently from small letters: those are held against their own kind alone."""


def check(study: Study) -> tuple[Finding, ...]:
    """The thinnest stroke of each letter beside that of its kin, and stems that do not keep their thickness.

    What holds is told with the word's thick and thin.
    """
    found: list[Finding] = list(_along_stems(study))
    for names, part in FAMILIES:
        kin = [x for x in study.letters if x.base and x.base in names and _at_its_part(x)]
        thin = _family(study, kin, part)
        found += thin or (_swollen(study, kin) if names in ROUND else [])
    return (*_holding(study, found), *found)


def _along_stems(study: Study) -> list[Finding]:
    """Stems that swell to one end; how much all of them do is the model's build."""
    # Where the name is not known a diagonal may run into the stem, as in an N.
    upright = [x for x in study.letters if x.base in EVEN_STEMS]
    stems = [(x, s, s.swell_ratio) for x in upright for s in x.anatomy.stems if s.swell_ratio is not None]
    if len(stems) < 3:
        return []
    usual = median(swell for _, _, swell in stems)
    found = []
    for letter, stem, swell in stems:
        off = swell - usual
        severity = ladder(abs(off), SWELL_NOTE, SWELL_LOOK, SWELL_FIX)
        if severity is Severity.HOLDS:
            continue
        head, foot = ("head", "foot") if off > 0 else ("foot", "head")
        text = (
            f"a stem of {called(letter, study.letters)} swells along its length: it is {percent(off)} of the x-height "
            f"thicker at its {head} than at its {foot}, beside the other stems. Rule both of its edges parallel."
        )
        found.append(about(CHECK, (letter,), (off, float(SWELL_NOTE), "x-heights"), severity, text, stem.box_u))
    return found


def _family(study: Study, kin: Sequence[Letter], part: str) -> list[Finding]:
    if len(kin) < 2:
        return []
    middle = median(_thin(x) for x in kin)
    share = max(1.0, THIN_SHARE * middle / THIN_NOTE)
    note, look, fix = share * THIN_NOTE, share * THIN_LOOK, share * THIN_FIX
    off = [x for x in kin if abs(_thin(x) - middle) >= note / (2.0 if len(kin) == 2 else 1.0)]
    if len(kin) == 2 and off:
        return [_two(study, kin, part, (note, look, fix))]
    return [_one(study, x, middle, part, (note, look, fix)) for x in off]


def _swollen(study: Study, kin: Sequence[Letter]) -> list[Finding]:
    """Round letters that are thicker somewhere than their kin: in a model of even stroke its thinnest says nothing of it."""
    thick = [(x, t) for x in kin if (t := x.anatomy.thick_ratio)]
    if len(thick) < 3:
        return []
    middle = median(t for _, t in thick)
    share = max(1.0, CURVE_NOTE * middle / THIN_NOTE)
    limits = (share * THIN_NOTE, share * THIN_LOOK, share * THIN_FIX)
    found = []
    for letter, t in thick:
        if t - middle >= limits[0]:
            text = (
                f"the stroke of {called(letter, study.letters)} swells {percent(t - middle)} of the x-height beyond its "
                "kin's at its thickest. Bring it back to the thickness of the others."
            )
            severity = ladder(t - middle, *limits)
            found.append(about(CHECK, (letter,), (t - middle, limits[0], "x-heights"), severity, text))
    return found


def _one(study: Study, letter: Letter, middle: float, part: str, limits: tuple[float, float, float]) -> Finding:
    off = _thin(letter) - middle
    way = "thicker" if off > 0 else "thinner"
    text = (
        f"{part} of {called(letter, study.letters)} is {_thin(letter) / middle:.1f} times as thick as in its kin: "
        f"{percent(off)} of the x-height {way} at its thinnest{_where(letter)}. Bring that place to theirs."
    )
    return about(CHECK, (letter,), (off, limits[0], "x-heights"), ladder(abs(off), *limits), text, _place(letter))


def _two(study: Study, kin: Sequence[Letter], part: str, limits: tuple[float, float, float]) -> Finding:
    thick, thin = sorted(kin, key=lambda x: -_thin(x))
    off = _thin(thick) - _thin(thin)
    text = (
        f"{part} of {called(thick, study.letters)} is {percent(off)} of the x-height thicker at its thinnest than that "
        f"of {called(thin, study.letters)}. Decide how thin the stroke gets there and draw both alike."
    )
    return about(CHECK, (thick, thin), (off, limits[0], "x-heights"), ladder(off, *limits), text, _place(thick))


def _at_its_part(letter: Letter) -> bool:
    """Whether the letter's thinnest stroke was seen where its kind has it: arches branch high, the u low."""
    at = letter.anatomy.thin_at_u
    if at is None or not letter.anatomy.thin_ratio:
        return False
    if letter.base == "u":
        return at[1] < 1000.0 - BRANCH_FROM_U
    return at[1] > BRANCH_FROM_U if letter.base in set("nmhr") else True


def _where(letter: Letter) -> str:
    at = letter.anatomy.thin_at_u
    return f", {region(letter, at)}" if at else ""


def _thin(letter: Letter) -> float:
    return letter.anatomy.thin_ratio or 0.0


def _place(letter: Letter) -> Box | None:
    at = letter.anatomy.thin_at_u
    return None if at is None else around(at)


def _holding(study: Study, found: Sequence[Finding]) -> tuple[Finding, ...]:
    """The word's thick and thin, told as it is: how much contrast a letter has is the model's choice."""
    both = [(x.anatomy.thick_ratio, x.anatomy.thin_ratio) for x in study.letters]
    shares = [thin / thick for thick, thin in both if thick and thin]
    families = [n for n, _ in FAMILIES if sum(x.base is not None and x.base in n for x in study.letters) > 1]
    if not shares or not families:
        return ()
    middle = median(shares)
    off = {i for f in found for i in f.letters}
    good = [
        called(x, study.letters)
        for x in study.letters
        if x.base and x.index not in off and any(x.base in n for n in families)
    ]
    if len(good) < 2:
        return ()
    text = f"The stroke thins alike in {listed(good)}: to about {percent(middle)} of its thickest."
    return (about(CHECK, (), (middle, None, "of the thick stroke"), Severity.HOLDS, text),)
