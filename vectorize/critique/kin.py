"""A Study comes in; out goes whether letters that share parts share them: arches of n m h u, bowls of b d p q, c e o."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from statistics import median

from vectorize.critique.words import about, called, ladder, listed, percent
from vectorize.findings import Finding, Severity
from vectorize.study import Letter, Study
from vectorize.trade.critique import KIN_FIX, KIN_LOOK, KIN_NOTE
from vectorize.trade.parts import BOWLS

CHECK = "kin"

Reading = tuple[Letter, float, tuple[float, float, float, float]]


def check(study: Study) -> tuple[Finding, ...]:
    """Widths of arches and bowls beside those of the letters' kin; letters of one name alone are likeness's affair."""
    arches = [r for x in study.letters if x.name in {"n", "h"} for r in _arches(x)]
    joined = [r for x in study.letters if x.name == "m" for r in _arches(x)]
    bowls = [r for x in study.letters if x.name in BOWLS for r in _bowl(x)]
    found: list[Finding] = []
    for readings, part in ((arches, "arch"), (joined, "arch"), (bowls, "bowl")):
        if len({r[0].name for r in readings}) > 1 or (part == "arch" and readings is joined):
            found += _family(study, readings, part)
    return tuple(sorted(found, key=lambda f: f.severity is not Severity.HOLDS))


def _arches(letter: Letter) -> list[Reading]:
    """Width of each arch, from the middle of one stem to the middle of the next."""
    found = []
    for a, b in pairwise(letter.anatomy.stems):
        width = (b.box_u.centre[0] - a.box_u.centre[0]) / 1000.0
        found.append((letter, width, (a.box_u.x0, 0.0, b.box_u.x1, 1050.0)))
    return found


def _bowl(letter: Letter) -> list[Reading]:
    """Width of a bowl: the letter's without its stem."""
    body, stems = letter.anatomy.body_u, letter.anatomy.stems
    if body is None or len(stems) != 1:
        return []
    edge = stems[0].box_u
    left = letter.name in {"b", "p"}
    x0, x1 = (edge.x1, body.x1) if left else (body.x0, edge.x0)
    centre = edge.centre[0] + (0.5 if left else -0.5) * 1000.0 * stems[0].width_ratio
    width = (body.x1 - centre if left else centre - body.x0) / 1000.0
    return [(letter, width, (x0, 0.0, x1, 1000.0))]


def _family(study: Study, readings: Sequence[Reading], part: str) -> list[Finding]:
    if len(readings) < 2:
        return []
    middle = median(w for _, w, _ in readings)
    spread = [(x, w - middle, place) for x, w, place in readings]
    if len(readings) == 2:
        return [_two(study, readings, part)]
    off = [s for s in spread if abs(s[1]) >= KIN_NOTE]
    found = [_one(study, x, d, place, part) for x, d, place in off]
    good = [x for x, d, _ in spread if abs(d) < KIN_NOTE]
    names = list(dict.fromkeys(called(x, study.letters) for x in good))
    if len(names) > 1:
        worst = max(abs(d) for _, d, _ in spread if abs(d) < KIN_NOTE)
        text = f"{listed(names)} share one width of {part}."
        unique = list(dict.fromkeys(good))
        found.append(about(CHECK, unique, (worst, float(KIN_NOTE), "x-heights"), Severity.HOLDS, text))
    return found


def _one(study: Study, letter: Letter, off: float, place: tuple[float, float, float, float], part: str) -> Finding:
    way = "wider" if off > 0 else "narrower"
    text = (
        f"the {part} of {called(letter, study.letters)} is {percent(off)} of the x-height {way} than its kin's. "
        "Lay it over one of them on a light box and take their width."
    )
    severity = ladder(abs(off), KIN_NOTE, KIN_LOOK, KIN_FIX)
    return about(CHECK, (letter,), (off, float(KIN_NOTE), "x-heights"), severity, text, place)


def _two(study: Study, readings: Sequence[Reading], part: str) -> Finding:
    (a, wide, place), (b, narrow, _) = sorted(readings, key=lambda r: -r[1])
    off = wide - narrow
    severity = ladder(off, KIN_NOTE, KIN_LOOK, KIN_FIX)
    figures = (off, float(KIN_NOTE), "x-heights")
    if a is b:
        names = f"the two arches of {called(a, study.letters)}"
        text = (
            f"{names} are equally wide."
            if severity is Severity.HOLDS
            else (f"{names} differ by {percent(off)} of the x-height. Space its three stems evenly.")
        )
        return about(CHECK, (a,), figures, severity, text, None if severity is Severity.HOLDS else place)
    names = listed([called(x, study.letters) for x in (a, b)])
    if severity is Severity.HOLDS:
        return about(CHECK, (a, b), figures, severity, f"{names} share one width of {part}.")
    text = (
        f"the {part} of {called(a, study.letters)} is {percent(off)} of the x-height wider than that of "
        f"{called(b, study.letters)}. They share the part: draw both in one width."
    )
    return about(CHECK, (a, b), figures, severity, text, place)
