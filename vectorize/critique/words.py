"""Figures and letters come in; out go the words a teacher uses for them, and the weight a figure carries."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from typing import Final

from vectorize.findings import Finding, Severity
from vectorize.geometry import Box, Point
from vectorize.study import Letter, Study
from vectorize.trade.parts import part_of

ORDINALS: Final = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


# To each side of a point, letter units: two thirds of a stem, so that the place shows whole.
AROUND_U = 120.0


def ladder(size: float, note: float, look: float, fix: float) -> Severity:
    """The weight of a departure, by the three limits it may pass."""
    for limit, severity in ((fix, Severity.FIX), (look, Severity.LOOK_AGAIN), (note, Severity.NOTE)):
        if size >= limit:
            return severity
    return Severity.HOLDS


def degrees(value: float) -> str:
    """An angle without its sign: '1 degree', '0.8 degrees'."""
    figure = f"{abs(value):.1f}"
    return "1 degree" if figure == "1.0" else f"{figure} degrees"


def percent(ratio: float) -> str:
    """A share of the x-height, or of anything, without its sign: '6 per cent'."""
    return f"{abs(ratio) * 100:.0f} per cent"


def side(value: float) -> str:
    """Which way a stem leans."""
    return "right" if value > 0 else "left"


def called(letter: Letter, letters: Sequence[Letter]) -> str:
    """'the n', 'the second n' where the word has several, 'letter 3' where its name is not known."""
    if letter.name is None:
        return f"letter {letter.index}"
    twins = [x.index for x in letters if x.name == letter.name]
    if len(twins) == 1:
        return f"the {letter.name}"
    place = twins.index(letter.index)
    return f"the {ordinal(place)} {letter.name}"


def ordinal(place: int) -> str:
    """'first' for 0, up to 'tenth'; then '11th'."""
    if place < len(ORDINALS):
        return ORDINALS[place]
    number = place + 1
    last = number % 10 if number // 10 % 10 != 1 else 0
    return str(number) + {1: "st", 2: "nd", 3: "rd"}.get(last, "th")


def listed(names: Sequence[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def together(group: Sequence[Letter], letters: Sequence[Letter]) -> str:
    """Several letters in one breath: 'the a and the n', 'letters 2, 4 and 5'."""
    if len(group) > 1 and all(x.name is None for x in group):
        return f"letters {listed([str(x.index) for x in group])}"
    return listed([called(x, letters) for x in group])


def sentence(text: str) -> str:
    """The text with a capital at its head."""
    return text[:1].upper() + text[1:]


def about(
    check: str,
    letters: Sequence[Letter],
    figures: tuple[float | None, float | None, str],
    severity: Severity,
    text: str,
    place_u: Box | None = None,
) -> Finding:
    """A finding on letters: figures are what was measured, its limit and their unit.

    Its place is `place_u`, else the box around the letters; none for the whole word.
    """
    measured, limit, unit = figures
    box = place_u or (reduce(Box.joined, (x.outline.box_u for x in letters)) if letters else None)
    return Finding(
        check,
        tuple(x.index for x in letters),
        None if measured is None else round(measured, 4),
        None if limit is None else float(limit),
        unit,
        severity,
        sentence(text),
        None if box is None else (box.x0, box.y0, box.x1, box.y1),
    )


def around(at_u: Point) -> Box:
    """The place of something that shows at a point."""
    return Box(*at_u, *at_u).grown(AROUND_U)


def more(value: float, above: str, below: str) -> str:
    """The one word for what is more, the other for what is less."""
    return above if value > 0 else below


def in_mm(study: Study, ratio: float) -> str | None:
    """A share of the x-height as a length without its sign, '0.6 mm'; None where the true size is not known."""
    return None if study.scale.source == "assumed" else f"{abs(ratio) * study.scale.x_height_mm:.1f} mm"


def part(letter: Letter, at: Point) -> str:
    """Where on a letter a point lies, in the trade's name for the part where it has one: 'at the bowl', 'at the top right'."""
    body = letter.anatomy.body_u or letter.outline.box_u
    u = (at[0] - body.x0) / max(body.width, 1.0)
    name = part_of(letter.base, u, at[1] / 1000.0, body.y1 / 1000.0)
    return f"at the {name}" if name else region(letter, at)


def region(letter: Letter, at: Point) -> str:
    """Where on a letter a point lies: 'at the top right', 'in the middle left', 'at the foot'."""
    box = letter.anatomy.body_u or letter.outline.box_u
    u = (at[0] - box.x0) / max(box.width, 1.0)
    v = (at[1] - box.y0) / max(box.height, 1.0)
    across = "left" if u < 1 / 3 else "right" if u > 2 / 3 else ""
    if v > 2 / 3:
        return f"at the top {across}".rstrip()
    if v < 1 / 3:
        return f"at the foot {across}".rstrip()
    return f"in the middle {across}".rstrip()
