"""A Study comes in; out goes whether letters that are meant to be the same are: width, height, weight, counters, shape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt

from vectorize.critique.twins import overlay, twins, typical
from vectorize.critique.upright import allowance
from vectorize.critique.words import about, called, ladder, listed, part, percent
from vectorize.findings import Finding, Severity
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


@dataclass(frozen=True, slots=True)
class Difference:
    """One way in which a letter differs from its twin: figure with sign, limits, unit, words for it, and its place.

    most: where the two differ most, as the end of a sentence; empty where `text` says it.
    """

    size: float
    limits: tuple[float, float, float]
    unit: str
    text: str
    place: tuple[float, float, float, float] | None = None
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
        f"{worst.most}. {_if_meant(group)}hoose the better one and draw the other after it."
    )
    figures = (worst.size, worst.limits[0], worst.unit)
    return [about(CHECK, group, figures, _weighed(group, worst.severity), text, worst.place)]


def _several(study: Study, group: Sequence[Letter]) -> list[Finding]:
    model = typical(group)
    worst = {x.index: max(differences(x, model), key=lambda d: d.excess) for x in group if x is not model}
    off = [x for x in group if x is not model and worst[x.index].severity is not Severity.HOLDS]
    alike = [x for x in group if x not in off]
    found = []
    if len(alike) > 1:
        most = max((worst[x.index] for x in alike if x is not model), key=lambda d: d.excess)
        found.append(_alike(study, alike, most))
    for x in off:
        d = worst[x.index]
        text = (
            f"{called(x, study.letters)} {d.text} than {called(model, study.letters)}{d.most}"
            f"{_meant_too(group)}. Lay the next draft over that one on a light box and draw it again."
        )
        found.append(about(CHECK, (x,), (d.size, d.limits[0], d.unit), _weighed(group, d.severity), text, d.place))
    return found


def differences(a: Letter, b: Letter) -> list[Difference]:
    """In what the first letter differs from the second."""
    p, q = a.anatomy.body_u or a.outline.box_u, b.anatomy.body_u or b.outline.box_u
    twin = (float(TWIN_NOTE), float(TWIN_LOOK), float(TWIN_FIX))
    wide, high = (p.width - q.width) / 1000.0, (p.height - q.height) / 1000.0
    found = [
        Difference(wide, twin, "x-heights", f"is {percent(wide)} of the x-height {_more(wide, 'wider', 'narrower')}"),
        Difference(high, twin, "x-heights", f"is {percent(high)} of the x-height {_more(high, 'higher', 'lower')}"),
        *_stem(a, b),
        *_counters(a, b),
    ]
    laid = overlay(a, b)
    x, y = laid.at_u
    where = part(a, laid.at_u)
    if laid.greatest_u >= 500.0 * SHAPE_NOTE:
        found = [replace(d, most=f", and the two part most {where}") for d in found]
    shape = (float(SHAPE_NOTE), float(SHAPE_LOOK), float(SHAPE_FIX))
    size = laid.greatest_u / 1000.0 * (1.0 if laid.outside else -1.0)
    told = f"goes {percent(size)} of the x-height {_more(size, 'further out', 'less far')} {where}"
    found.append(Difference(size, shape, "x-heights", told, (x - 120.0, y - 120.0, x + 120.0, y + 120.0)))
    return found


def _stem(a: Letter, b: Letter) -> list[Difference]:
    mine, others = a.anatomy.stem_ratio, b.anatomy.stem_ratio
    if mine is None or others is None:
        return []
    off, factor = mine / others - 1.0, max(allowance(a), allowance(b))
    limits = (factor * WEIGHT_NOTE, factor * WEIGHT_LOOK, factor * WEIGHT_FIX)
    told = f"has a stem {percent(off)} {_more(off, 'heavier', 'lighter')}"
    return [Difference(off, limits, "of the stem", told)]


def _counters(a: Letter, b: Letter) -> list[Difference]:
    mine, others = a.anatomy.counters, b.anatomy.counters
    if len(mine) != len(others):
        box = a.outline.box_u
        told = f"has {_more(len(mine) - len(others), 'more closed counters', 'fewer closed counters')}"
        place = (box.x0, box.y0, box.x1, box.y1)
        return [Difference(float(len(mine) - len(others)), (0.25, 0.5, 1.0), "counters", told, place)]
    found = []
    for c, d in zip(mine, others, strict=True):
        off = c.area_ratio / d.area_ratio - 1.0
        factor = max(1.0, COUNTER_TREMOR / sqrt(d.area_ratio) / COUNTER_NOTE)
        limits = (factor * COUNTER_NOTE, factor * COUNTER_LOOK, factor * COUNTER_FIX)
        told = f"has a counter {percent(off)} {_more(off, 'larger', 'smaller')}"
        box = c.box_u
        place = (box.x0, box.y0, box.x1, box.y1)
        found.append(Difference(off, limits, "of the area", told, place))
        wide = (c.box_u.width - d.box_u.width) / 1000.0
        told = f"has a counter {percent(wide)} of the x-height {_more(wide, 'wider', 'narrower')}"
        found.append(Difference(wide, (float(TWIN_NOTE), float(TWIN_LOOK), float(TWIN_FIX)), "x-heights", told, place))
    return found


def _more(value: float, more: str, less: str) -> str:
    return more if value > 0 else less


def _alike(study: Study, group: Sequence[Letter], most: Difference) -> Finding:
    names = [called(x, study.letters) for x in group]
    text = f"{listed(names)} are alike" if group[0].name else f"{_numbers(group)} look alike"
    return about(CHECK, group, (most.size, most.limits[0], most.unit), Severity.HOLDS, f"{text}.")


def _numbers(group: Sequence[Letter]) -> str:
    return f"letters {listed([str(x.index) for x in group])}"


def _meant(study: Study, group: Sequence[Letter]) -> str:
    if group[0].name is None:
        return f"{_numbers(group)} look meant to be the same"
    return f"{listed([called(x, study.letters) for x in group])} differ"


def _meant_too(group: Sequence[Letter]) -> str:
    if group[0].name is not None:
        return ""
    return f"; {_numbers(group)} look meant to be the same, which is a guess by their shape and doubtful"


def _if_meant(group: Sequence[Letter]) -> str:
    return "C" if group[0].name is not None else "That is a guess by their shape and doubtful; if it is right, c"


def _weighed(group: Sequence[Letter], severity: Severity) -> Severity:
    """Never more than a note where only their shape says that the letters are the same."""
    return severity if group[0].name is not None else min(severity, Severity.NOTE, key=lambda s: s.rank)
