"""A Study comes in; out goes how its letters sit: on the baseline, and tall ones under their line."""

from __future__ import annotations

from collections.abc import Sequence

from vectorize.critique.overshoot import Overshoot, at, beyond, foot_band, head_band, known, overshoot
from vectorize.critique.words import about, called, in_mm, ladder, percent, together
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import Letter, Study
from vectorize.trade.critique import OVERSHOOT_MOST, SEAT_FIX, SEAT_LOOK, SEAT_NOTE
from vectorize.trade.parts import CAPITALS, DESCENDING, ROUND_FOOT, STANDING, TALL

CHECK = "seat"

# The lowest part of a letter that lies further from the baseline, letter units, is a tail or a sign of punctuation.
LOWEST_FOOT_U, HIGHEST_FOOT_U = -200.0, 400.0
# A round foot is said to pass the baseline from here on, letter units: half of the usual overshoot.
PASSING_U = 10.0
# Shown above and below a foot or head and its line, letter units, so that both are seen.
MARGIN_U = 60.0


def check(study: Study) -> tuple[Finding, ...]:
    """Letters that float above or sink below the baseline, stop short of or overrun the line above or below them.

    The overshoot of round letters is right and not counted.
    """
    over = overshoot(study)
    feet = [(x, _foot(study, x, over)) for x in study.letters if _stands(x)]
    reaching = [f for x in study.letters for f in (_head(study, x, over), _tail(study, x)) if f]
    off = tuple(f for f in (*(f for _, f in feet), *reaching) if f.severity is not Severity.HOLDS)
    sitting = [(x, f) for x, f in feet if f.severity is Severity.HOLDS]
    if not sitting:
        return off
    worst = max(abs(f.measured or 0.0) for _, f in sitting)
    text = _sits(study, [x for x, _ in sitting])
    letters = () if len(sitting) == len(study.letters) else [x for x, _ in sitting]
    return (about(CHECK, letters, (worst, float(SEAT_NOTE), "x-heights"), Severity.HOLDS, text), *off)


def _sits(study: Study, sitting: Sequence[Letter]) -> str:
    """What holds, said of the letters that have a foot and stand with it."""
    if len(sitting) == len(study.letters) > 1:
        who, verb = "every letter", "sits"
    else:
        who, verb = together(sitting, study.letters), "sits" if len(sitting) == 1 else "sit"
    text = f"{who} {verb} on the baseline"
    if not known(study.guides.baseline):
        text = f"no baseline is drawn; {who} {verb} on the line that the feet agree on"
    passing = [x for x in sitting if x.base in ROUND_FOOT and x.anatomy.body_u and x.anatomy.body_u.y0 < -PASSING_U]
    if len(passing) == 1 and len(sitting) > 1:
        return f"{text}; {called(passing[0], study.letters)}, being round, passes it a little, which is right."
    return f"{text}; the round ones pass it a little, which is right." if len(passing) > 1 else f"{text}."


def _stands(letter: Letter) -> bool:
    """Whether the letter's lowest part is a foot on the baseline: by its name, else by where it lies."""
    body = letter.anatomy.body_u
    if body is None or letter.base in STANDING:
        return body is not None
    # Figures of some models hang below the baseline.
    return (letter.name is None or letter.name.isdigit()) and LOWEST_FOOT_U < body.y0 < HIGHEST_FOOT_U


def _foot(study: Study, letter: Letter, over: Overshoot) -> Finding:
    body = letter.anatomy.body_u or letter.outline.box_u
    off = beyond(body.y0 - at(study.guides.baseline, body.centre[0]), *foot_band(letter, over)) / 1000.0
    verb = "floats above" if off > 0 else "sinks below"
    doubt = "" if known(study.guides.baseline) else "No baseline is drawn, so the reading is doubtful. "
    way = "down" if off > 0 else "up"
    text = (
        f"{called(letter, study.letters)} {verb} the baseline by {percent(off)} of the x-height"
        f"{_mm(study, off)}. {doubt}Bring it {way} to the line."
    )
    place = _place(body, 0.0, body.y0)
    return _finding(letter, off, text, place, doubtful=bool(doubt))


def _head(study: Study, letter: Letter, over: Overshoot) -> Finding | None:
    """The head of a capital or ascender against its drawn line; None where no line is drawn for it."""
    body, line, called_line = letter.anatomy.body_u, None, ""
    if letter.base in CAPITALS:
        line, called_line = study.guides.cap_line, "cap line"
    elif letter.base in TALL:
        line, called_line = study.guides.ascender_line, "ascender line"
    if body is None or line is None or not known(line):
        return None
    height = at(line, body.centre[0])
    off = beyond(body.y1 - height, *head_band(letter, over)) / 1000.0
    verb = "overruns" if off > 0 else "stops short of"
    text = (
        f"{called(letter, study.letters)} {verb} the {called_line} by {percent(off)} of the x-height"
        f"{_mm(study, off)}. Draw its head to the line."
    )
    place = _place(body, height, body.y1)
    return _finding(letter, off, text, place, doubtful=False)


def _tail(study: Study, letter: Letter) -> Finding | None:
    """The tail of a small letter against the drawn descender line; None where none is drawn for it."""
    body, line = letter.anatomy.body_u, study.guides.descender_line
    if letter.base not in DESCENDING or body is None or line is None or not known(line):
        return None
    depth = at(line, body.centre[0])
    # A tail may end in a curve, which passes its line a little, or flat on it.
    off = beyond(body.y0 - depth, -1000.0 * OVERSHOOT_MOST, 0.0) / 1000.0
    verb = "stops short of" if off > 0 else "overruns"
    text = (
        f"the tail of {called(letter, study.letters)} {verb} the descender line by {percent(off)} of the x-height"
        f"{_mm(study, off)}. Draw it to the line."
    )
    place = _place(body, depth, body.y0)
    return _finding(letter, off, text, place, doubtful=False)


def _place(body: Box, line_u: float, edge_u: float) -> Box:
    """Between a line and the edge that should stand on it, with a margin above and below."""
    return Box(body.x0, min(line_u, edge_u) - MARGIN_U, body.x1, max(line_u, edge_u) + MARGIN_U)


def _finding(letter: Letter, off: float, text: str, place: Box, *, doubtful: bool) -> Finding:
    severity = ladder(abs(off), SEAT_NOTE, SEAT_LOOK, SEAT_FIX)
    if doubtful and severity is Severity.FIX:
        severity = Severity.LOOK_AGAIN
    return about(CHECK, (letter,), (off, float(SEAT_NOTE), "x-heights"), severity, text, place)


def _mm(study: Study, ratio: float) -> str:
    length = in_mm(study, ratio)
    return f" ({length})" if length else ""
