"""The sheets' own type (an open font, see OFL.txt): a text and a size come in, its width goes out, or the file's path."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from fontTools.ttLib import TTFont

FAMILY = "Class Sheet"


def type_file(*, bold: bool) -> Path:
    """The TrueType file of the regular or the bold."""
    return Path(__file__).parent / ("bold.ttf" if bold else "regular.ttf")


@cache
def _advances(*, bold: bool) -> tuple[dict[int, float], float]:
    """Advance of each character in ems, and of one that the font does not have."""
    with TTFont(type_file(bold=bold), lazy=True) as font:
        em = font["head"].unitsPerEm
        widths = font["hmtx"].metrics
        return {code: widths[name][0] / em for code, name in font.getBestCmap().items()}, widths[".notdef"][0] / em


def width_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """Width of one line of text at this size of type."""
    advances, missing = _advances(bold=bold)
    return size_mm * sum(advances.get(ord(c), missing) for c in text)


def wrapped(text: str, size_mm: float, measure_mm: float, *, bold: bool = False) -> tuple[str, ...]:
    """The text broken into lines of at most `measure_mm`; a single longer word keeps a line of its own."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, size_mm, bold=bold) <= measure_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)
