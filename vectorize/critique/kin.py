"""A Study comes in; out goes whether letters that share parts share them: arches of n m h u, bowls of b d p q, o c e."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from vectorize.anatomy.crossings import heights_at, places_at
from vectorize.critique.words import about, called, ladder, percent, together
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import Letter, Study
from vectorize.trade.critique import KIN_FIX, KIN_LOOK, KIN_NOTE
from vectorize.trade.parts import BOWLS

CHECK = "kin"


@dataclass(frozen=True, slots=True)
class Part:
    """A part that kin share: its name, what it is when larger and smaller, what is shared, and what to do."""

    name: str
    more: str
    less: str
    shared: str
    advice: str


LIGHT_BOX = "Lay it over one of them on a light box and take their "
ARCH = Part("arch", "wider", "narrower", "one width of arch", f"{LIGHT_BOX}width.")
BOWL = Part("bowl", "wider", "narrower", "one width of bowl", f"{LIGHT_BOX}width.")
SHOULDER = Part("shoulder", "higher", "lower", "one height of shoulder", f"{LIGHT_BOX}curve.")
ROUND_SIDE = Part("left side", "rounder", "flatter", "one round side", f"{LIGHT_BOX}curve.")

# The round side of o, c and e is held against itself at these heights, letter units, and not where terminals begin.
SIDE_HEIGHTS_U = (150.0, 250.0, 750.0, 850.0)
# The underside of an arch lies above this height.
ARCH_FROM_U = 300.0

Reading = tuple[Letter, float, Box]
"""A letter, the size of its part in x-heights, and where that lies."""


def check(study: Study) -> tuple[Finding, ...]:
    """Widths of arches and bowls, shoulders and round sides beside those of the letters' kin.

    Letters of one name alone are likeness's affair; the weight of kin's stems is told with that of all stems.
    """
    letters = study.letters
    families = (
        (ARCH, [r for x in letters if x.base in {"n", "h", "u"} for r in _arches(x)]),
        (ARCH, [r for x in letters if x.base == "m" for r in _arches(x)]),
        (BOWL, [r for x in letters if x.base in BOWLS for r in _bowl(x)]),
        (SHOULDER, [r for x in letters if x.base in {"n", "h", "m"} for r in _shoulders(x)]),
        (ROUND_SIDE, [r for x in letters if x.base in {"o", "c", "e"} for r in _round_side(x)]),
    )
    found: list[Finding] = []
    for part, readings in families:
        names = {r[0].base for r in readings}
        if len(names) > 1 or (part is ARCH and names == {"m"}):
            found += _family(study, readings, part)
    return tuple(sorted(found, key=lambda f: f.severity is not Severity.HOLDS))


def _arches(letter: Letter) -> list[Reading]:
    """Width of each arch, from the middle of one stem to the middle of the next."""
    found = []
    for a, b in pairwise(letter.anatomy.stems):
        width = (b.box_u.centre[0] - a.box_u.centre[0]) / 1000.0
        found.append((letter, width, Box(a.box_u.x0, 0.0, b.box_u.x1, 1050.0)))
    return found


def _bowl(letter: Letter) -> list[Reading]:
    """Width of a bowl: the letter's without its stem."""
    body, stems = letter.anatomy.body_u, letter.anatomy.stems
    if body is None or len(stems) != 1:
        return []
    stem, half = stems[0].box_u, 500.0 * stems[0].width_ratio
    if letter.base in {"b", "p"}:
        width, place = body.x1 - (stem.centre[0] + half), Box(stem.x1, 0.0, body.x1, 1000.0)
    else:
        width, place = stem.centre[0] - half - body.x0, Box(body.x0, 0.0, stem.x0, 1000.0)
    return [(letter, width / 1000.0, place)]


def _shoulders(letter: Letter) -> list[Reading]:
    """Height of the underside of each arch, midway between its stems."""
    found = []
    for a, b in pairwise(letter.anatomy.stems):
        middle = (a.box_u.centre[0] + b.box_u.centre[0]) / 2.0
        above = [y for y in heights_at(letter.outline, middle) if y > ARCH_FROM_U]
        if above:
            place = Box(a.box_u.x1, above[0] - 80.0, b.box_u.x0, 1050.0)
            found.append((letter, (above[0] - _foot(letter)) / 1000.0, place))
    return found


def _round_side(letter: Letter) -> list[Reading]:
    """How far the left side draws back from its leftmost place at its shoulder and foot, together."""
    box = letter.anatomy.body_u or letter.outline.box_u
    found = [places_at(letter.outline, y + _foot(letter)) for y in SIDE_HEIGHTS_U]
    if not all(found):
        return []
    drawn_back = sum(f[0] - box.x0 for f in found) / len(found) / 1000.0
    return [(letter, drawn_back, Box(box.x0 - 40.0, 0.0, box.centre[0], 1000.0))]


def _foot(letter: Letter) -> float:
    """Where the letter stands, so that one that sinks or floats is not another shape."""
    return letter.anatomy.body_u.y0 if letter.anatomy.body_u else 0.0


def _family(study: Study, readings: Sequence[Reading], part: Part) -> list[Finding]:
    if len(readings) < 2:
        return []
    if len(readings) == 2:
        return [_two(study, readings, part)]
    middle = median(w for _, w, _ in readings)
    spread = [(x, w - middle, place) for x, w, place in readings]
    off = [s for s in spread if abs(s[1]) >= KIN_NOTE]
    found = [_one(study, x, d, place, part) for x, d, place in off]
    # An m with one arch of its kin's width and one of another does not share it.
    touched = {x.index for x, _, _ in off}
    good = list(dict.fromkeys(x for x, _, _ in spread if x.index not in touched))
    if len(good) > 1:
        worst = max(abs(d) for x, d, _ in spread if x.index not in touched)
        text = f"{together(good, study.letters)} share {part.shared}."
        found.append(about(CHECK, good, (worst, float(KIN_NOTE), "x-heights"), Severity.HOLDS, text))
    return found


def _one(study: Study, letter: Letter, off: float, place: Box, part: Part) -> Finding:
    way = part.more if off > 0 else part.less
    text = (
        f"the {part.name} of {called(letter, study.letters)} is {percent(off)} of the x-height {way} than its kin's. "
        f"{part.advice}"
    )
    severity = ladder(abs(off), KIN_NOTE, KIN_LOOK, KIN_FIX)
    return about(CHECK, (letter,), (off, float(KIN_NOTE), "x-heights"), severity, text, place)


def _two(study: Study, readings: Sequence[Reading], part: Part) -> Finding:
    (a, wide, place), (b, narrow, _) = sorted(readings, key=lambda r: -r[1])
    off = wide - narrow
    severity = ladder(off, KIN_NOTE, KIN_LOOK, KIN_FIX)
    figures = (off, float(KIN_NOTE), "x-heights")
    if a is b:
        # Only an m has the same part twice.
        names = f"the two arches of {called(a, study.letters)}"
        text = f"{names} are equally wide."
        if severity is not Severity.HOLDS:
            text = f"{names} differ by {percent(off)} of the x-height. Space its three stems evenly."
        return about(CHECK, (a,), figures, severity, text, None if severity is Severity.HOLDS else place)
    names = together((a, b), study.letters)
    if severity is Severity.HOLDS:
        return about(CHECK, (a, b), figures, severity, f"{names} share {part.shared}.")
    text = (
        f"the {part.name} of {called(a, study.letters)} is {percent(off)} of the x-height {part.more} than that of "
        f"{called(b, study.letters)}. They share the part: draw both alike."
    )
    return about(CHECK, (a, b), figures, severity, text, place)
