"""A Study comes in; out goes where each letter's foot and head belong, the overshoot of curves and points counted as right."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median

from vectorize.reading.records import GuideSource
from vectorize.study import GuideLine, Letter, Study
from vectorize.trade.critique import OVERSHOOT, OVERSHOOT_MOST, POINT_OVERSHOOT_MOST
from vectorize.trade.parts import POINTED_FOOT, POINTED_HEAD, ROUND_FOOT, ROUND_HEAD, SMALL

# Own overshoot is read from the word when at least this many round letters agree on it.
ENOUGH = 3


@dataclass(frozen=True, slots=True)
class Overshoot:
    """How far round letters of this word pass their lines at the foot and at the head, letter units, both positive."""

    foot_u: float
    head_u: float


def at(line: GuideLine, x: float) -> float:
    """Height of a guideline in letter units above x."""
    (x0, y0), (x1, y1) = line.units
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0) if x1 != x0 else y0


def known(line: GuideLine | None) -> bool:
    """Whether the line stands on the sheet or was given, not merely inferred from the letters."""
    return line is not None and line.source is not GuideSource.INFERRED


def overshoot(study: Study) -> Overshoot:
    """The word's own overshoot where enough round letters show it, within what the trade knows; else the trade's."""
    feet = [-_foot(study, x) for x in study.letters if x.base in ROUND_FOOT]
    line = study.guides.mean_line
    heads = [
        x.anatomy.body_u.y1 - (at(line, x.anatomy.body_u.centre[0]) if line else 1000.0)
        for x in study.letters
        if x.anatomy.body_u and x.base in ROUND_HEAD and x.base in SMALL
    ]
    return Overshoot(_settled(feet), _settled(heads))


def _settled(values: list[float]) -> float:
    usual = 1000.0 * OVERSHOOT
    if len(values) < ENOUGH:
        return usual
    return min(max(median(values), 0.0), 1000.0 * OVERSHOOT_MOST)


def _foot(study: Study, letter: Letter) -> float:
    body = letter.anatomy.body_u
    return 0.0 if body is None else body.y0 - at(study.guides.baseline, body.centre[0])


def foot_band(letter: Letter, over: Overshoot) -> tuple[float, float]:
    """Lowest and highest right place of a foot against the baseline, letter units."""
    if letter.base is None:
        return -1000.0 * OVERSHOOT_MOST, 0.0
    if letter.base in POINTED_FOOT:
        return -1000.0 * POINT_OVERSHOOT_MOST, 0.0
    if letter.base == "t":
        return -over.foot_u, 0.0
    place = -over.foot_u if letter.base in ROUND_FOOT else 0.0
    return place, place


def head_band(letter: Letter, over: Overshoot) -> tuple[float, float]:
    """Lowest and highest right place of a head against its line, letter units."""
    if letter.base is None:
        return 0.0, 1000.0 * OVERSHOOT_MOST
    if letter.base in POINTED_HEAD:
        return 0.0, 1000.0 * POINT_OVERSHOOT_MOST
    if letter.base in ROUND_HEAD:
        # Some models let the arch of n, m, r rise no higher than the stem's own head.
        return (over.head_u if letter.base not in "nmrp" else 0.5 * over.head_u), over.head_u
    return 0.0, 0.5 * over.head_u


def beyond(value: float, low: float, high: float) -> float:
    """How far a value lies outside low to high, with its sign; 0 inside."""
    return min(0.0, value - low) + max(0.0, value - high)
