"""A Study comes in; out goes whether the small letters are equally high between baseline and mean line."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from vectorize.critique.overshoot import Overshoot, at, beyond, foot_band, head_band, known, overshoot
from vectorize.critique.words import about, called, ladder, percent, together
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import Letter, Study
from vectorize.trade.critique import SIZE_FIX, SIZE_LOOK, SIZE_NOTE
from vectorize.trade.parts import DESCENDING, HEADED_AS_SMALL, SMALL

CHECK = "size"

# A letter without a name is taken for a small one where its head and its foot lie so near to their lines, letter units:
# ascenders and capitals end higher, tails lower.
LOWEST_HEAD_U, HIGHEST_HEAD_U, LOWEST_FOOT_U = 800.0, 1150.0, -150.0


def check(study: Study) -> tuple[Finding, ...]:
    """The height of each small letter against the drawn mean line, or against the other small letters without one."""
    small = [x for x in study.letters if _is_small(x)]
    if not small:
        return ()
    drawn = known(study.guides.mean_line)
    if not drawn and len(small) < 3:
        return ()
    # Against each other: the height that half of them stay below stands for the mean line.
    over = overshoot(study)
    shift = 0.0 if drawn else median(_excess(study, x, over) for x in small)
    found = [_finding(study, x, _excess(study, x, over) - shift, drawn=drawn) for x in small]
    off = tuple(f for f in found if f.severity is not Severity.HOLDS)
    even = [f for f in found if f.severity is Severity.HOLDS]
    if not even:
        return off
    worst = max(abs(f.measured or 0.0) for f in even)
    good = [x for x in small if any(x.index in f.letters for f in even)]
    letters = good if off or len(good) < len(study.letters) else ()
    figures = (worst, float(SIZE_NOTE), "x-heights")
    return (about(CHECK, letters, figures, Severity.HOLDS, _reaches(study, good, off, drawn=drawn)), *off)


def _reaches(study: Study, good: Sequence[Letter], off: Sequence[Finding], *, drawn: bool) -> str:
    """What holds; letters without a name may be capitals, so they are only said to be of one height."""
    if any(x.name is None for x in good):
        if len(good) == len(study.letters) > 1:
            return "The letters are of one height" + (" and reach the line ruled above them." if drawn else ".")
        names = together(good, study.letters)
        if len(good) == 1:
            return f"{names} reaches the line ruled above it." if drawn else f"{names} is as high as most."
        return f"{names} are of one height" + (" and reach the line ruled above them." if drawn else ".")
    if len(good) == 1:
        return f"{called(good[0], study.letters)} " + ("reaches the mean line." if drawn else "has the usual height.")
    who = "The small letters" if not off else "The other small letters"
    return f"{who} {'reach the mean line' if drawn else 'are of one height'}."


def _is_small(letter: Letter) -> bool:
    body = letter.anatomy.body_u
    if body is None:
        return False
    if letter.name is not None:
        return letter.base in SMALL or letter.base in HEADED_AS_SMALL
    return LOWEST_HEAD_U < body.y1 < HIGHEST_HEAD_U and body.y0 > LOWEST_FOOT_U


def _excess(study: Study, letter: Letter, over: Overshoot) -> float:
    """How far the letter is too high (positive) or too low, in letter units, its right overshoot left out."""
    body = letter.anatomy.body_u
    if body is None:
        return 0.0
    line = study.guides.mean_line
    mean = at(line, body.centre[0]) if line else 1000.0
    low, high = head_band(letter, over)
    if letter.base in DESCENDING:
        return beyond(body.y1 - mean, low, high)
    # The foot is the seat's affair: a letter drawn lower as a whole is not smaller.
    deepest, shallowest = foot_band(letter, over)
    return beyond(body.height - mean, low - shallowest, high - deepest)


def _finding(study: Study, letter: Letter, excess_u: float, *, drawn: bool) -> Finding:
    off = excess_u / 1000.0
    severity = ladder(abs(off), SIZE_NOTE, SIZE_LOOK, SIZE_FIX)
    others = "the other small letters" if letter.name else "the other letters of its kind"
    line = "the mean line" if letter.name else "the line ruled above it"
    if drawn:
        said = f"is {percent(off)} of the x-height too {'high' if off > 0 else 'low'} between the baseline and {line}"
    else:
        said = f"is {percent(off)} of the x-height {'higher' if off > 0 else 'lower'} than {others}"
    turn = "smaller" if off > 0 else "larger"
    text = f"{called(letter, study.letters)} {said}. Draw it {turn} in the next draft."
    body = letter.anatomy.body_u or letter.outline.box_u
    # From under the mean line to the head.
    place = Box(body.x0, 900.0, body.x1, max(1080.0, body.y1))
    return about(CHECK, (letter,), (off, float(SIZE_NOTE), "x-heights"), severity, text, place)
