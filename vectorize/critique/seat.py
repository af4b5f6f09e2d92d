"""A Study comes in; out goes how its letters sit: on the baseline, and tall ones under their line."""

from __future__ import annotations

from vectorize.critique.overshoot import Overshoot, at, beyond, foot_band, head_band, known, overshoot
from vectorize.critique.words import about, called, ladder, percent
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import GuideLine, Letter, Study
from vectorize.trade.critique import SEAT_FIX, SEAT_LOOK, SEAT_NOTE
from vectorize.trade.parts import CAPITALS, DESCENDING, TALL

CHECK = "seat"


def check(study: Study) -> tuple[Finding, ...]:
    """Letters that float above or sink below the baseline, stop short of or overrun the line above them.

    The overshoot of round letters is right and not counted.
    """
    over = overshoot(study)
    feet = [_foot(study, x, over) for x in study.letters if _stands(x)]
    heads = [f for x in study.letters if (f := _head(study, x, over))]
    off = tuple(f for f in (*feet, *heads) if f.severity is not Severity.HOLDS)
    if not feet:
        return off
    sitting = len(feet) - sum(f.severity is not Severity.HOLDS for f in feet)
    worst = max((abs(f.measured or 0.0) for f in feet if f.severity is Severity.HOLDS), default=0.0)
    if sitting == 0:
        return off
    text = "Every letter sits on the baseline" if sitting == len(feet) else "The other letters sit on the baseline"
    round_too = any(x.anatomy.body_u and x.anatomy.body_u.y0 < -10.0 for x in study.letters if _stands(x))
    text += "; the round ones pass it a little, which is right." if round_too else "."
    return (about(CHECK, (), (worst, float(SEAT_NOTE), "x-heights"), Severity.HOLDS, text), *off)


def _stands(letter: Letter) -> bool:
    """Whether the letter's lowest part is a foot on the baseline."""
    body = letter.anatomy.body_u
    if body is None:
        return False
    if letter.name is not None and not letter.name.isalnum():
        return False
    return letter.name not in DESCENDING and letter.name not in {"Q", "J", "f"} and -200.0 < body.y0 < 400.0


def _foot(study: Study, letter: Letter, over: Overshoot) -> Finding:
    body = letter.anatomy.body_u or letter.outline.box_u
    off = beyond(body.y0 - at(study.guides.baseline, body.centre[0]), *foot_band(letter, over)) / 1000.0
    verb = "floats above" if off > 0 else "sinks below"
    doubt = _doubt(study.guides.baseline, "baseline")
    way = "down" if off > 0 else "up"
    text = (
        f"{called(letter, study.letters)} {verb} the baseline by {percent(off)} of the x-height"
        f"{_mm(study, off)}. {doubt}Bring it {way} to the line."
    )
    place = (body.x0, min(0.0, body.y0) - 60.0, body.x1, max(0.0, body.y0) + 60.0)
    return _finding(letter, off, text, place, doubtful=bool(doubt))


def _head(study: Study, letter: Letter, over: Overshoot) -> Finding | None:
    """The head of a capital or ascender against its drawn line; None where no line is drawn for it."""
    body, line, called_line = letter.anatomy.body_u, None, ""
    if letter.name in CAPITALS and letter.name not in {"J", "Q"}:
        line, called_line = study.guides.cap_line, "cap line"
    elif letter.name in TALL:
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
    place = Box(body.x0, min(height, body.y1) - 60.0, body.x1, max(height, body.y1) + 60.0)
    return _finding(letter, off, text, (place.x0, place.y0, place.x1, place.y1), doubtful=False)


def _finding(
    letter: Letter, off: float, text: str, place: tuple[float, float, float, float], *, doubtful: bool
) -> Finding:
    severity = ladder(abs(off), SEAT_NOTE, SEAT_LOOK, SEAT_FIX)
    if doubtful and severity is Severity.FIX:
        severity = Severity.LOOK_AGAIN
    return about(CHECK, (letter,), (off, float(SEAT_NOTE), "x-heights"), severity, text, place)


def _doubt(line: GuideLine, name: str) -> str:
    return "" if known(line) else f"No {name} is drawn, so the reading is doubtful. "


def _mm(study: Study, ratio: float) -> str:
    """The same in mm where the true size is known."""
    return "" if study.scale.source == "assumed" else f" ({abs(ratio) * study.scale.x_height_mm:.1f} mm)"
