"""A Study comes in; out goes whether its counters are open as they should be, and those of kin equally large."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from vectorize.critique.words import about, called, ladder, percent, together
from vectorize.findings import Finding, Severity
from vectorize.study import Letter, Study
from vectorize.trade.critique import (
    COUNTER_FIX,
    COUNTER_LOOK,
    COUNTER_NOTE,
    COUNTER_SHAPE_FIX,
    COUNTER_SHAPE_LOOK,
    COUNTER_SHAPE_NOTE,
    ROUND_COUNTER,
)
from vectorize.trade.parts import BOWLS, COUNTERS

CHECK = "counters"


def check(study: Study) -> tuple[Finding, ...]:
    """Counters closed up or opened out where the letter's name is known; areas of b d p q o beside each other."""
    wrong = [f for x in study.letters if (f := _number(study, x))]
    kin = _kin(study, [x for x in study.letters if _bowled(x)])
    off = [*wrong, *(f for f in kin if f.severity is not Severity.HOLDS)]
    held = [f for f in kin if f.severity is Severity.HOLDS]
    closed = [x for x in study.letters if x.base in COUNTERS and 0 not in COUNTERS[x.base]]
    if closed and not wrong and not held:
        one = f"the counter of {called(closed[0], study.letters)} stands open."
        text = "All counters stand open." if len(closed) > 1 else one
        held = [about(CHECK, closed, (None, None, ""), Severity.HOLDS, text)]
    return (*held, *off)


def _number(study: Study, letter: Letter) -> Finding | None:
    """A letter with fewer or more closed counters than its name has; the picture may have done it, so it is doubtful."""
    usual = COUNTERS.get(letter.base or "")
    count = len(letter.anatomy.counters)
    if usual is None or count in usual:
        return None
    if count < min(usual):
        text = (
            (
                f"no closed counter is seen in {called(letter, study.letters)}"
                if count == 0
                else f"one of the counters of {called(letter, study.letters)} is not seen"
            )
            + ": it has filled up, or opened out through a gap in its outline. Keep the white clear and the outline closed."
        )
    elif max(usual) == 0:
        text = (
            f"{called(letter, study.letters)} shows a closed counter where it should stay open. "
            "Look whether two strokes have run together, or the fill has left a hole."
        )
    else:
        text = f"{called(letter, study.letters)} shows {count} counters; look whether the fill has left a hole in a stroke."
    return about(CHECK, (letter,), (float(count), float(max(usual)), "counters"), Severity.LOOK_AGAIN, text)


def _bowled(letter: Letter) -> bool:
    return (letter.base in BOWLS or letter.base == "o") and len(letter.anatomy.counters) == 1


def _area(letter: Letter) -> float:
    """Area of the counter; that of the o, a little wider by nature, brought to a bowl's."""
    area = letter.anatomy.counters[0].area_ratio
    return area / ROUND_COUNTER if letter.base == "o" else area


def _kin(study: Study, letters: Sequence[Letter]) -> list[Finding]:
    if len({x.base for x in letters}) < 2:
        return []
    if len(letters) == 2:
        return [_two(study, letters)]
    middle = median(_area(x) for x in letters)
    found, good = [], []
    shapes = [_shape(x) for x in letters if x.base != "o"]
    for x in letters:
        off = _area(x) / middle - 1.0
        severity = ladder(abs(off), COUNTER_NOTE, COUNTER_LOOK, COUNTER_FIX)
        if severity is Severity.HOLDS:
            shaped = _shaped(study, x, median(shapes)) if len(shapes) > 2 and x.base != "o" else None
            found += [shaped] if shaped else []
            good += [] if shaped else [x]
            continue
        way, turn = ("larger", "Close it in a little") if off > 0 else ("smaller", "Open it up")
        text = (
            f"the counter of {called(x, study.letters)} is {percent(off)} {way} than those of its kin. "
            f"{turn}; round letters share their white."
        )
        found.append(
            about(CHECK, (x,), (off, float(COUNTER_NOTE), "of the area"), severity, text, x.anatomy.counters[0].box_u)
        )
    if len(good) > 1:
        names = together(good, study.letters)
        worst = max(abs(_area(x) / middle - 1.0) for x in good)
        text = f"The counters of {names} are equally large and open."
        found.append(about(CHECK, good, (worst, float(COUNTER_NOTE), "of the area"), Severity.HOLDS, text))
    return found


def _two(study: Study, letters: Sequence[Letter]) -> Finding:
    """Of two that differ neither is called the wrong one."""
    large, small = sorted(letters, key=lambda x: -_area(x))
    off = _area(large) / _area(small) - 1.0
    severity = ladder(off, COUNTER_NOTE, COUNTER_LOOK, COUNTER_FIX)
    figures = (off, float(COUNTER_NOTE), "of the area")
    if severity is Severity.HOLDS:
        text = f"The counters of {together(letters, study.letters)} are equally large and open."
        return about(CHECK, letters, figures, severity, text)
    text = (
        f"the counter of {called(large, study.letters)} is {percent(off)} larger than that of "
        f"{called(small, study.letters)}. Round letters share their white: decide for one size and draw both in it."
    )
    return about(CHECK, (large, small), figures, severity, text, large.anatomy.counters[0].box_u)


def _shape(letter: Letter) -> float:
    box = letter.anatomy.counters[0].box_u
    return box.width / max(box.height, 1.0)


def _shaped(study: Study, letter: Letter, middle: float) -> Finding | None:
    """A counter as large as its kin's but narrower and higher, or wider and lower; None where it is like them."""
    off = _shape(letter) / middle - 1.0
    severity = ladder(abs(off), COUNTER_SHAPE_NOTE, COUNTER_SHAPE_LOOK, COUNTER_SHAPE_FIX)
    if severity is Severity.HOLDS:
        return None
    text = (
        f"the counter of {called(letter, study.letters)} is as large as those of its kin but "
        f"{'wider and lower' if off > 0 else 'narrower and higher'}, by {percent(off)} of its width. Give it their shape."
    )
    figures = (off, float(COUNTER_SHAPE_NOTE), "of the width")
    return about(CHECK, (letter,), figures, severity, text, letter.anatomy.counters[0].box_u)
