"""The sheets' own type (an open font, see OFL.txt): a text and a size come in, its width goes out, or the file's path.

The type holds the Latin, Greek and Cyrillic alphabets with their accents. Where nothing else can draw a character
(print), it is written as its number in Unicode, so that no empty box stands for it.
"""

from __future__ import annotations

import unicodedata
from functools import cache, lru_cache
from pathlib import Path

from reportlab.pdfbase.ttfonts import TTFont

FAMILY = "Class Sheet"


def type_file(*, bold: bool) -> Path:
    """The TrueType file of the regular or the bold."""
    return Path(__file__).parent / ("bold.ttf" if bold else "regular.ttf")


def screen_file(*, bold: bool) -> Path:
    """The WOFF2 file of the Latin alphabet, to be put into a page for the screen."""
    return type_file(bold=bold).with_suffix(".woff2")


@cache
def typeface(*, bold: bool) -> TTFont:
    """The regular or the bold as the PDF library knows it, which the widths are taken from too."""
    return TTFont(f"{FAMILY} Bold" if bold else FAMILY, str(type_file(bold=bold)))


@cache
def _advances(*, bold: bool) -> tuple[dict[int, float], float]:
    """Advance of each character in ems, and of one that the font does not have."""
    face = typeface(bold=bold).face
    return {code: width / 1000.0 for code, width in face.charWidths.items()}, face.defaultWidth / 1000.0


def in_print(text: str) -> str:
    """The text with accents joined to their letters, and each character that the type lacks as 'U+4E2D'.

    Two such numbers in a row are parted by a space. Composition is Unicode's NFC (Unicode Standard Annex 15).
    """
    advances = _advances(bold=False)[0]
    parts: list[str] = []
    after_number = False
    for c in unicodedata.normalize("NFC", text):
        known = ord(c) in advances
        parts.append(c if known else f"{' ' * after_number}U+{ord(c):04X}")
        after_number = not known
    return "".join(parts)


def is_whole(text: str) -> bool:
    """Whether the type has every character of the text."""
    advances = _advances(bold=False)[0]
    return all(ord(c) in advances for c in text)


def width_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """Width of one line of text at this size of type, as `in_print` writes it."""
    return size_mm * _ems(text, bold=bold)


@lru_cache(maxsize=4096)
def _ems(text: str, *, bold: bool) -> float:
    advances, missing = _advances(bold=bold)
    return sum(advances.get(ord(c), missing) for c in in_print(text))


def fitted_size(text: str, size_mm: float, measure_mm: float, *, bold: bool = False) -> float:
    """The size at which one line fits the measure, at most `size_mm`."""
    wide = width_mm(text, size_mm, bold=bold)
    return size_mm if wide <= measure_mm else size_mm * measure_mm / wide


def shortened(text: str, size_mm: float, measure_mm: float, *, bold: bool = False) -> str:
    """The text, its end left out where one line is longer than the measure."""
    if width_mm(text, size_mm, bold=bold) <= measure_mm:
        return text
    while text and width_mm(f"{text}…", size_mm, bold=bold) > measure_mm:
        text = text[:-1]
    return f"{text}…"


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
