"""A Study comes in; out goes whether letters that are meant to be the same are: width, height, weight, counters, shape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt

from vectorize.critique.twins import overlay, twins, typical
from vectorize.critique.upright import allowance
from vectorize.critique.words import about, around, called, ladder, more, part, percent, sentence, together
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import Letter, Study
from vectorize.trade.critique import (
    COUNTER_FIX,
    COUNTER_LOOK,
    COUNTER_NOTE,
    COUNTER_TREMOR,
    SHAPE_FIX,
    SHAPE_LOOK,
    SHAPE_NOTE,
    TWIN_FIX,
    TWIN_LOOK,
    TWIN_NOTE,
    WEIGHT_FIX,
    WEIGHT_LOOK,
    WEIGHT_NOTE,
)

CHECK = "likeness"

TWIN = (float(TWIN_NOTE), float(TWIN_LOOK), float(TWIN_FIX))
SHAPE = (float(SHAPE_NOTE), float(SHAPE_LOOK), float(SHAPE_FIX))


@dataclass(frozen=True, slots=True)
class Difference:
    """One way in which a letter differs from its twin: figure with sign, limits, unit, words for it, and its place.

    most: where the two differ most, as the end of a sentence; empty where `text` says it.
    """

    size: float
    limits: tuple[float, float, float]
    unit: str
    text: str
    place_u: Box | None = None
    most: str = ""

    @property
    def severity(self) -> Severity:
        """By the ladder of its own limits."""
        return ladder(abs(self.size), *self.limits)

    @property
    def excess(self) -> float:
        """The figure as a multiple of its first limit, so that differences of all kinds compare."""
        return abs(self.size) / self.limits[0]


def check(study: Study) -> tuple[Finding, ...]:
    """Each group of twins: those that are alike, then each letter that differs, in what it differs most."""
    found: list[Finding] = []
    for group in twins(study):
        found += _pair(study, group) if len(group) == 2 else _several(study, group)
    return tuple(sorted(found, key=lambda f: f.severity is not Severity.HOLDS))


def _pair(study: Study, group: Sequence[Letter]) -> list[Finding]:
    worst = max(differences(group[0], group[1]), key=lambda d: d.excess)
    if worst.severity is Severity.HOLDS:
        return [_alike(study, group, worst)]
    text = (
        f"{_meant(study, group)}: {called(group[0], study.letters)} {worst.text} than {called(group[1], study.letters)}"
        f"{worst.most}. {_guessed(group, 'choose the better one and draw the other after it.')}"
    )
    figures = (worst.size, worst.limits[0], worst.unit)
    return [about(CHECK, group, figures, _weighed(group, worst.severity), text, worst.place_u)]


def _several(study: Study, group: Sequence[Letter]) -> list[Finding]:
    middle = typical(group)
    worst = {x.index: max(differences(x, middle), key=lambda d: d.excess) for x in group if x is not middle}
    off = [x for x in group if x is not middle and worst[x.index].severity is not Severity.HOLDS]
    alike = [x for x in group if x not in off]
    found = []
    if len(alike) > 1:
        most = max((worst[x.index] for x in alike if x is not middle), key=lambda d: d.excess)
        found.append(_alike(study, alike, most))
    for x in off:
        d = worst[x.index]
        text = (
            f"{called(x, study.letters)} {d.text} than {called(middle, study.letters)}{d.most}"
            f"{_meant_too(study, group)}. Lay the next draft over that one on a light box and draw it again."
        )
        found.append(about(CHECK, (x,), (d.size, d.limits[0], d.unit), _weighed(group, d.severity), text, d.place_u))
    return found


def differences(a: Letter, b: Letter) -> list[Difference]:
    """In what the first letter differs from the second."""
    p, q = a.anatomy.body_u or a.outline.box_u, b.anatomy.body_u or b.outline.box_u
    wide, high = (p.width - q.width) / 1000.0, (p.height - q.height) / 1000.0
    found = [
        Difference(wide, TWIN, "x-heights", f"is {percent(wide)} of the x-height {more(wide, 'wider', 'narrower')}"),
        Difference(high, TWIN, "x-heights", f"is {percent(high)} of the x-height {more(high, 'higher', 'lower')}"),
        *_stem(a, b),
        *_counters(a, b),
    ]
    laid = overlay(a, b)
    where = part(a, laid.at_u)
    # Where the edges part by less than half of what is worth a note, there is no place to name.
    if laid.greatest_u >= 0.5 * 1000.0 * SHAPE_NOTE:
        found = [replace(d, most=f", and the two part most {where}") for d in found]
    size = laid.greatest_u / 1000.0 * (1.0 if laid.outside else -1.0)
    told = f"goes {percent(size)} of the x-height {more(size, 'further out', 'less far')} {where}"
    found.append(Difference(size, SHAPE, "x-heights", told, around(laid.at_u)))
    return found


def _stem(a: Letter, b: Letter) -> list[Difference]:
    mine, others = a.anatomy.stem_ratio, b.anatomy.stem_ratio
    if mine is None or others is None:
        return []
    off, factor = mine / others - 1.0, max(allowance(a), allowance(b))
    limits = (factor * WEIGHT_NOTE, factor * WEIGHT_LOOK, factor * WEIGHT_FIX)
    told = f"has a stem {percent(off)} {more(off, 'heavier', 'lighter')}"
    return [Difference(off, limits, "of the stem", told)]


def _counters(a: Letter, b: Letter) -> list[Difference]:
    mine, others = a.anatomy.counters, b.anatomy.counters
    if len(mine) != len(others):
        told = f"has {more(len(mine) - len(others), 'more closed counters', 'fewer closed counters')}"
        # One more or less is another letter: it weighs as much as a difference can.
        return [Difference(float(len(mine) - len(others)), (0.25, 0.5, 1.0), "counters", told, a.outline.box_u)]
    found = []
    for c, d in zip(mine, others, strict=True):
        off = c.area_ratio / d.area_ratio - 1.0
        factor = max(1.0, COUNTER_TREMOR / sqrt(d.area_ratio) / COUNTER_NOTE)
        limits = (factor * COUNTER_NOTE, factor * COUNTER_LOOK, factor * COUNTER_FIX)
        told = f"has a counter {percent(off)} {more(off, 'larger', 'smaller')}"
        found.append(Difference(off, limits, "of the area", told, c.box_u))
        wide = (c.box_u.width - d.box_u.width) / 1000.0
        told = f"has a counter {percent(wide)} of the x-height {more(wide, 'wider', 'narrower')}"
        found.append(Difference(wide, TWIN, "x-heights", told, c.box_u))
    return found


def _alike(study: Study, group: Sequence[Letter], most: Difference) -> Finding:
    text = f"{together(group, study.letters)} {'are' if group[0].name else 'look'} alike"
    return about(CHECK, group, (most.size, most.limits[0], most.unit), Severity.HOLDS, f"{text}.")


def _meant(study: Study, group: Sequence[Letter]) -> str:
    if group[0].name is None:
        return f"{together(group, study.letters)} look meant to be the same"
    return f"{together(group, study.letters)} differ"


def _meant_too(study: Study, group: Sequence[Letter]) -> str:
    if group[0].name is not None:
        return ""
    return f"; {together(group, study.letters)} look meant to be the same, which is a guess by their shape and doubtful"


def _guessed(group: Sequence[Letter], advice: str) -> str:
    """The advice, under a condition where only their shape says that the letters are the same."""
    if group[0].name is not None:
        return sentence(advice)
    return f"That is a guess by their shape and doubtful; if it is right, {advice}"


def _weighed(group: Sequence[Letter], severity: Severity) -> Severity:
    """Never more than a note where only their shape says that the letters are the same."""
    return severity if group[0].name is not None else min(severity, Severity.NOTE, key=lambda s: s.rank)
