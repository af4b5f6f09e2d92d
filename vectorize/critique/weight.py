"""A Study comes in; out goes whether its strokes are equally heavy: stem beside stem, curve beside curve, curve beside stem."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import median

from vectorize.critique.upright import allowance
from vectorize.critique.words import about, called, ladder, percent
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import Letter, Study
from vectorize.trade.critique import (
    CURVE_FIX,
    CURVE_HEAVIEST,
    CURVE_LIGHTEST,
    CURVE_LOOK,
    CURVE_NOTE,
    WEIGHT_FIX,
    WEIGHT_LOOK,
    WEIGHT_NOTE,
)
from vectorize.trade.parts import CAPITALS, EVEN_STEMS, ROUND_SIDES

CHECK = "weight"

Reading = tuple[Letter, float]


def check(study: Study) -> tuple[Finding, ...]:
    """Each stem against the middle of the others, each bowl's side likewise; capitals beside capitals."""
    found: list[Finding] = []
    for group in _cases(study.letters):
        stems = [(x, w) for x in group if (w := x.anatomy.stem_ratio) and _even(x)]
        curves = [(x, w) for x in group if (w := x.anatomy.curve_ratio) and _round(x)]
        found += _outliers(study, stems, "stem", allowance, (WEIGHT_NOTE, WEIGHT_LOOK, WEIGHT_FIX))
        found += _outliers(study, curves, "curved stroke", lambda _: 1.0, (CURVE_NOTE, CURVE_LOOK, CURVE_FIX))
        found += _curves_beside_stems(stems, curves)
    return _with_holding(study, found)


def _cases(letters: Sequence[Letter]) -> list[list[Letter]]:
    """Capitals, which models draw a little heavier, and the others."""
    return [[x for x in letters if (x.base in CAPITALS) is upper] for upper in (False, True)]


def _even(letter: Letter) -> bool:
    return letter.name is None or letter.base in EVEN_STEMS


def _round(letter: Letter) -> bool:
    return letter.base in ROUND_SIDES or (letter.name is None and bool(letter.anatomy.counters))


def _outliers(
    study: Study,
    readings: Sequence[Reading],
    part: str,
    factor: Callable[[Letter], float],
    limits: tuple[float, float, float],
) -> list[Finding]:
    """Letters whose stroke differs from the middle of all; of two that differ neither is called the wrong one."""
    if len(readings) < 2:
        return []
    middle = median(w for _, w in readings)
    found = []
    for letter, width in readings:
        off = width / middle - 1.0
        note, look, fix = (factor(letter) * v for v in limits)
        severity = ladder(abs(off), note, look, fix)
        if severity is Severity.HOLDS:
            continue
        way, turn = ("heavier", "Leave some pencil off its inner edge") if off > 0 else ("lighter", "Fill it out")
        text = (
            f"the {part} of {called(letter, study.letters)} is {percent(off)} {way} than the {part}s beside it. "
            f"{turn} until it matches them."
        )
        found.append(about(CHECK, (letter,), (off, note, "of the stroke"), severity, text, _place(letter, part)))
    if len(readings) == 2 and len(found) == 2:
        return [_two(study, readings, part, found)]
    return found


def _two(study: Study, readings: Sequence[Reading], part: str, found: Sequence[Finding]) -> Finding:
    heavy, light = sorted(readings, key=lambda r: -r[1])
    off = heavy[1] / light[1] - 1.0
    text = (
        f"the {part} of {called(heavy[0], study.letters)} is {percent(off)} heavier than that of "
        f"{called(light[0], study.letters)}. Decide for one weight and draw both in it."
    )
    severity = max((f.severity for f in found), key=lambda s: s.rank)
    return about(CHECK, (heavy[0], light[0]), (off, found[0].limit, "of the stroke"), severity, text)


def _place(letter: Letter, part: str) -> Box | None:
    if part != "stem" or not letter.anatomy.stems:
        return None
    return max(letter.anatomy.stems, key=lambda s: s.width_ratio).box_u


def _curves_beside_stems(stems: Sequence[Reading], curves: Sequence[Reading]) -> list[Finding]:
    """Curved strokes a little heavier than stems are right; thinner ones look starved, much heavier ones swollen."""
    if not stems or not curves:
        return []
    ratio = median(w for _, w in curves) / median(w for _, w in stems)
    letters = [x for x, _ in curves]
    if ratio < CURVE_LIGHTEST:
        text = (
            f"the curved strokes are {percent(1.0 - ratio)} lighter than the stems and look starved. "
            "Swell each bowl at its side until it is a little heavier than a stem."
        )
        severity = ladder(CURVE_LIGHTEST - ratio, 0.0, CURVE_NOTE, CURVE_FIX)
        return [about(CHECK, letters, (ratio, float(CURVE_LIGHTEST), "of the stem"), severity, text)]
    if ratio > CURVE_HEAVIEST:
        text = (
            f"the curved strokes are {percent(ratio - 1.0)} heavier than the stems; a tenth is enough for both to look "
            "alike. Thin the bowls at their sides."
        )
        severity = ladder(ratio - CURVE_HEAVIEST, 0.0, CURVE_NOTE, CURVE_FIX)
        return [about(CHECK, letters, (ratio, float(CURVE_HEAVIEST), "of the stem"), severity, text)]
    return []


def _with_holding(study: Study, found: Sequence[Finding]) -> tuple[Finding, ...]:
    touched = {i for f in found for i in f.letters}
    stems = [x for x in study.letters if x.anatomy.stem_ratio and _even(x)]
    even = [x for x in stems if x.index not in touched]
    if len(even) < 2:
        return tuple(found)
    middle = median(x.anatomy.stem_ratio or 0.0 for x in even)
    worst = max(abs((x.anatomy.stem_ratio or 0.0) / middle - 1.0) / allowance(x) for x in even)
    who = "The stems are" if len(even) == len(stems) else "The other stems are"
    text = f"{who} equally heavy, about {percent(middle)} of the x-height"
    curves = [w for x in study.letters if (w := x.anatomy.curve_ratio) and _round(x) and x.index not in touched]
    beside = median(curves) / middle if curves else 0.0
    # Less than half a per cent would be told as none.
    if curves and 1.005 <= beside <= CURVE_HEAVIEST:
        text += f"; the curved strokes are {percent(beside - 1.0)} heavier, which is right"
    letters = even if found else ()
    return (about(CHECK, letters, (worst, float(WEIGHT_NOTE), "of the stem"), Severity.HOLDS, f"{text}."), *found)
