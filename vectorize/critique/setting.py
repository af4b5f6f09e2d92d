"""A Study comes in; out goes how its setting stands as a whole: words apart, tightness, the trade's order of spaces."""

from __future__ import annotations

from statistics import fmean, median

from vectorize.critique.words import percent
from vectorize.findings import Finding, Severity
from vectorize.spacing.kinds import seriffed
from vectorize.spacing.profile import profile
from vectorize.spacing.records import Kind
from vectorize.study import Letter, Study
from vectorize.trade.spacing import (
    OPEN_ABOVE,
    OPEN_ABOVE_STEM,
    TIGHT_BELOW,
    TIGHT_BELOW_STEM,
    WORD_SPACE_NARROW,
    WORD_SPACE_OF_O,
    WORD_SPACE_WIDE,
)

CHECK = "spaces"

# From the closest to the widest.
ORDER = (Kind.CURVE_CURVE, Kind.STRAIGHT_CURVE, Kind.STRAIGHT_STRAIGHT)


def word_spaces(study: Study) -> tuple[Finding, ...]:
    """Each word space against the width of an o; told, never moved."""
    o_width = _o_width_ratio(study.letters)
    if o_width is None:
        return ()
    found = []
    for p in study.setting.pairs:
        if p.kind is not Kind.WORD_SPACE:
            continue
        share = p.gap_ratio / o_width
        severity, said = (
            Severity.HOLDS,
            "it parts the words and keeps the line together; the trade leaves the width of an o",
        )
        if share < WORD_SPACE_NARROW:
            severity, said = Severity.LOOK_AGAIN, "the words run together; the trade leaves the width of an o"
        elif share > WORD_SPACE_WIDE:
            severity, said = Severity.LOOK_AGAIN, "the line falls apart; the trade leaves the width of an o"
        text = f"The space between the words after letter {p.left} is {percent(share)} of an o: {said}."
        found.append(
            Finding(CHECK, (p.left, p.right), round(share, 2), float(WORD_SPACE_OF_O), "widths of an o", severity, text)
        )
    return tuple(found)


def _o_width_ratio(letters: tuple[Letter, ...]) -> float | None:
    """Width of an o in x-heights: the drawing's own o where it has one, else its letters with a round counter."""
    own = [x for x in letters if x.base in {"o", "O"}]
    round_ = own or [x for x in letters if len(x.anatomy.counters) == 1]
    widths = [x.outline.box_u.width / 1000.0 for x in round_]
    return median(widths) if widths else None


def tightness(study: Study) -> tuple[Finding, ...]:
    """The common white against the letters' own counters, or against their stems where no letter has a counter."""
    whites = [p.white_ratio for p in study.setting.pairs if p.white_ratio is not None]
    if not whites:
        return ()
    counters = [
        c.area_ratio / (c.box_u.height / 1000.0)
        for x in study.letters
        for c in x.anatomy.counters
        if c.box_u.height > 0.0
    ]
    stems = [x.anatomy.stem_ratio for x in study.letters if x.anatomy.stem_ratio]
    white = median(whites)
    if counters:
        return _tightness(white / fmean(counters), float(TIGHT_BELOW), float(OPEN_ABOVE), "counters")
    if stems:
        return _tightness(white / median(stems), float(TIGHT_BELOW_STEM), float(OPEN_ABOVE_STEM), "stems")
    return ()


def _tightness(share: float, tight: float, open_: float, measure: str) -> tuple[Finding, ...]:
    beside = f"the white between the letters is {share:.1f} times as wide as their {measure}"
    unit = f"widths of the {measure}"
    if share < tight:
        text = (
            f"The word as a whole is set tight: {beside}, and it closes into a dark band. Give every space more white."
        )
        return (Finding(CHECK, (), round(share, 2), tight, unit, Severity.LOOK_AGAIN, text),)
    if share > open_:
        text = f"The word as a whole is set open: {beside}, and letters begin to stand alone. Bring all of them closer."
        return (Finding(CHECK, (), round(share, 2), open_, unit, Severity.LOOK_AGAIN, text),)
    text = f"The word as a whole is neither too tight nor too open: {beside}."
    return (Finding(CHECK, (), round(share, 2), None, unit, Severity.HOLDS, text),)


def order(study: Study) -> tuple[Finding, ...]:
    """The trade's order of box gaps, told where letters without serifs keep it; silent otherwise."""
    if seriffed([profile(x.outline) for x in study.letters]) is not False:
        return ()
    means = [[p.gap_ratio for p in study.setting.pairs if p.kind is k] for k in ORDER]
    known = [(fmean(m), k) for m, k in zip(means, ORDER, strict=True) if m]
    if len(known) < 2 or [m for m, _ in known] != sorted(m for m, _ in known):
        return ()
    figures = ", ".join(f"{k.value.replace('-', ' and ')} {percent(m)}" for m, k in known)
    text = f"The spaces keep the trade's order, the rounder the closer (of the x-height, edge to edge): {figures}."
    return (Finding(CHECK, (), None, None, "", Severity.HOLDS, text),)
