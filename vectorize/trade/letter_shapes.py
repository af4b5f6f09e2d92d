"""What is known of each letter before it is drawn: how wide, how many counters, where it rises and falls.

Widths are the medians of the ink's width in x-heights over 33 open families (sans and serif, weights 300, 500, 700),
measured on their outlines; spread is the standard deviation of the width's logarithm. A table of shapes, not of taste:
it only helps to tell which part of the ink is which letter of a word that was told.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, replace
from functools import cache

from vectorize.trade.parts import ABOVE, COUNTERS, DESCENDING, TALL


@dataclass(frozen=True, slots=True)
class Shape:
    """One letter's usual shape.

    width_ratio: width in x-heights; spread: of its logarithm. counters: numbers of counters it may have.
    rises: it passes the mean line by a fifth of the x-height or more (None: either). falls: it passes the baseline.
    marks: separate parts above it, dots and accents. base: the letter without its accents, empty where it is unknown.
    """

    width_ratio: float
    spread: float
    counters: tuple[int, ...] = (0,)
    rises: bool | None = False
    falls: bool | None = False
    marks: int = 0
    base: str = ""


ASCII_LETTERS = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")

WIDTHS = {
    "a": (0.89, 0.09), "b": (1.00, 0.12), "c": (0.84, 0.08), "d": (0.99, 0.11), "e": (0.87, 0.07), "f": (0.72, 0.16),
    "g": (0.98, 0.10), "h": (1.00, 0.17), "i": (0.38, 0.46), "j": (0.47, 0.30), "k": (1.00, 0.16), "l": (0.43, 0.53),
    "m": (1.63, 0.12), "n": (1.00, 0.17), "o": (0.97, 0.07), "p": (0.99, 0.12), "q": (1.00, 0.12), "r": (0.68, 0.20),
    "s": (0.74, 0.10), "t": (0.65, 0.11), "u": (1.00, 0.16), "v": (1.02, 0.10), "w": (1.53, 0.10), "x": (0.99, 0.10),
    "y": (1.03, 0.10), "z": (0.80, 0.09), "A": (1.30, 0.12), "B": (1.06, 0.13), "C": (1.13, 0.13), "D": (1.21, 0.15),
    "E": (0.97, 0.16), "F": (0.93, 0.14), "G": (1.22, 0.14), "H": (1.28, 0.19), "I": (0.45, 0.62), "J": (0.72, 0.27),
    "K": (1.20, 0.16), "L": (0.95, 0.18), "M": (1.49, 0.17), "N": (1.24, 0.18), "O": (1.27, 0.13), "P": (1.01, 0.12),
    "Q": (1.38, 0.16), "R": (1.12, 0.17), "S": (0.94, 0.09), "T": (1.11, 0.14), "U": (1.19, 0.17), "V": (1.28, 0.13),
    "W": (1.90, 0.13), "X": (1.24, 0.15), "Y": (1.21, 0.13), "Z": (1.04, 0.12), "0": (0.99, 0.11), "1": (0.66, 0.24),
    "2": (0.90, 0.10), "3": (0.91, 0.10), "4": (1.03, 0.09), "5": (0.88, 0.11), "6": (0.94, 0.09), "7": (0.91, 0.10),
    "8": (0.93, 0.09), "9": (0.94, 0.09), "ß": (1.09, 0.15), "æ": (1.44, 0.10), "ø": (0.98, 0.10), "œ": (1.61, 0.10),
    "Æ": (1.76, 0.12), "Ø": (1.28, 0.12), "Œ": (1.76, 0.12), "&": (1.30, 0.14), "ı": (0.38, 0.46), "ł": (0.53, 0.45),
}  # fmt: skip
"""Width in x-heights and spread of its logarithm."""

RISING = TALL | {"ß"}
MAY_RISE = frozenset("tij0123456789&ø")
MAY_FALL = frozenset("fzJQ0123456789ßøØ,;&")

UNKNOWN = Shape(0.9, 0.7, (0, 1, 2), None, None, 0)
"""A sign that the table does not hold."""


def shape_of(name: str) -> Shape:
    """The usual shape of a letter; an accented one has its base's shape and its accents as marks."""
    parts = unicodedata.normalize("NFD", name)
    base = parts[0]
    marks = sum(_stands_above(m) for m in parts[1:])
    if base not in WIDTHS:
        return UNKNOWN
    if base in "ij":
        marks = max(1, marks)
    if any(unicodedata.name(m, "") == "COMBINING DIAERESIS" for m in parts[1:]):
        marks += 1
    width, spread = WIDTHS[base]
    rises: bool | None = base in RISING or base.isupper()
    falls: bool | None = base in DESCENDING
    if base in MAY_RISE or (marks and not base.isupper() and base not in RISING):
        rises = None
    if base in MAY_FALL or (base in "cCsStT" and len(parts) > 1):
        falls = None
    return Shape(width, spread, COUNTERS.get(base, (0,)), rises, falls, marks, base)


@cache
def known_shapes() -> tuple[tuple[Shape, float], ...]:
    """The shapes of all signs of the table and of letters with accents, each with its rarity: 0 for small letters.

    Rarity is a negative log-likelihood, in round figures: capitals are rarer than small letters within words, figures
    rarer still, ligatures and the ampersand rarest.
    """
    rarest: dict[Shape, float] = {}
    named = [(shape_of(name), _rarity(name)) for name in WIDTHS]
    named += [(replace(shape_of(n), marks=k), 0.5) for n in "aceinosuyzAEIOU" for k in (1, 2)]
    for shape, rarity in named:
        rarest[shape] = min(rarity, rarest.get(shape, rarity))
    return tuple(sorted(rarest.items(), key=repr))


def _rarity(name: str) -> float:
    if name not in ASCII_LETTERS:
        return 1.0 if name.isdigit() else 3.0
    return 0.3 if name.isupper() else 0.0


def _stands_above(mark: str) -> bool:
    return unicodedata.combining(mark) == ABOVE
