"""Which letters have stems, feet, heads and counters of which kind, and what the trade calls the parts of a letter."""

from __future__ import annotations

import unicodedata
from functools import cache
from typing import Final

STEMS: Final = dict.fromkeys("abdfgijklpqrtyBDEFGIJKLPRTY1", 1) | dict.fromkeys("hnuHMNU", 2) | {"m": 3}
"""How many upright stems a letter may have; bowls and curves beside them are none (common practice, no source)."""

STEMLESS: Final = frozenset("ceosvwxyzACOQSVWXZ03689&")
"""Letters of curves and diagonals alone (common practice, no source)."""

PARALLEL_PAIR: Final = frozenset("hnuHU")
"""Letters of two stems that stand parallel; those of M and N may spread (common practice, no source)."""

EVEN_STEMS: Final = frozenset("abdfhijklmnpqrtuBDEFHIJKLPRT")
"""Letters whose stems are drawn equally heavy; in M, N and U one may be thinner (common practice, no source)."""

SMALL: Final = frozenset("acemnorsuvwxz")
"""Small letters between baseline and mean line."""

DESCENDING: Final = frozenset("gjpqy")
"""Small letters that go below the baseline."""

HEADED_AS_SMALL: Final = frozenset("pqy")
"""Descending letters whose head stands at the mean line in every model; the g may have an ear, the j has a dot."""

TALL: Final = frozenset("bdfhkl")
"""Small letters with an ascender."""

CAPITALS: Final = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ")

STANDING: Final = (SMALL | TALL | CAPITALS | frozenset("itæœÆŒ")) - frozenset("fJQ")
"""Letters that stand on the baseline whatever the model; f, J and Q may go below it."""

ROUND_FOOT: Final = frozenset("abcdeostuæœBCDGOSUŒ03568")
"""Letters whose foot is a curve and passes the baseline a little (Claflin, Standard Lettering, 1922, p. 23: curves
pass the lines by 1/8 unit)."""

ROUND_HEAD: Final = frozenset("acegmnopqrsfCGOQS023689")
"""Letters whose head is a curve and passes its line a little (same source)."""

POINTED_FOOT: Final = frozenset("vwVWMN")
"""Letters whose foot is or may be a point, which passes the line further than a curve (Karow, Digital Formats for
Typefaces, p. 26: A by 5 per cent; quoted second-hand)."""

POINTED_HEAD: Final = frozenset("AMN")
"""Letters whose head is or may be a point (same source)."""

COUNTERS: Final = (
    dict.fromkeys("abdeopqADOPQR069", (1,))
    | dict.fromkeys("ÆŒ", (1,))
    | dict.fromkeys("B8æœ", (2,))
    | dict.fromkeys("gøØ", (1, 2))
    | {"4": (0, 1), "&": (0, 1, 2)}
    | dict.fromkeys("cfhijklmnrstuvwxyzCEFGHIJKLMNSTUVWXYZ12357", (0,))
)
"""How many closed counters a letter may have, as nearly all of 33 open families draw it (measured by us)."""

ROUND_SIDES: Final = frozenset("bcdegopqCDGOQ")
"""Letters with a bowl whose side is a curved stroke at its thickest."""

BOWLS: Final = frozenset("bdpq")
"""Letters of a stem and one bowl, drawn alike (Johnston, Writing & Illuminating, & Lettering, 1906: b d p q share
their parts; page from memory)."""

# Canonical combining class of marks above (Unicode Standard, 4.3), and the ring.
ABOVE = 230
RING = "\N{COMBINING RING ABOVE}"

Region = tuple[str, float, float, float, float]

PARTS: Final[dict[str, tuple[Region, ...]]] = {
    "a": (
        ("tail", 0.72, -0.1, 1.1, 0.25),
        ("terminal", -0.1, 0.62, 0.4, 1.1),
        ("arch", 0.2, 0.75, 1.1, 1.1),
        ("bowl", -0.1, -0.1, 0.72, 0.66),
        ("stem", 0.6, 0.2, 1.1, 0.8),
    ),
    "b": (("stem", -0.2, -0.1, 0.3, 1.8), ("bowl", 0.2, -0.1, 1.1, 1.1)),
    "c": (
        ("upper terminal", 0.65, 0.6, 1.1, 1.1),
        ("lower terminal", 0.65, -0.1, 1.1, 0.4),
        ("curve", -0.1, -0.1, 0.75, 1.1),
    ),
    "d": (("stem", 0.7, -0.1, 1.2, 1.8), ("bowl", -0.1, -0.1, 0.8, 1.1)),
    "e": (
        ("bar", 0.15, 0.4, 1.1, 0.62),
        ("terminal", 0.72, -0.1, 1.1, 0.4),
        ("eye", 0.2, 0.5, 1.1, 1.1),
        ("curve", -0.1, -0.1, 0.8, 1.1),
    ),
    "f": (("hook", 0.3, 1.1, 1.2, 1.8), ("bar", -0.2, 0.8, 1.2, 1.1), ("stem", 0.0, -0.1, 0.8, 1.6)),
    "g": (
        ("ear", 0.7, 0.7, 1.2, 1.3),
        ("tail", -0.2, -0.8, 1.2, -0.05),
        ("bowl", -0.1, 0.2, 0.9, 1.1),
        ("link", -0.1, -0.1, 0.6, 0.25),
    ),
    "h": (
        ("arch", 0.35, 0.7, 1.1, 1.1),
        ("branch", 0.15, 0.55, 0.45, 1.0),
        ("left stem", -0.2, -0.1, 0.5, 1.8),
        ("right stem", 0.5, -0.1, 1.2, 0.8),
    ),
    "i": (("dot", -0.2, 1.08, 1.2, 1.8), ("stem", -0.2, -0.1, 1.2, 1.08)),
    "j": (("dot", -0.2, 1.08, 1.2, 1.8), ("tail", -0.2, -0.8, 1.2, 0.0), ("stem", -0.2, -0.1, 1.2, 1.08)),
    "k": (("arm", 0.35, 0.5, 1.2, 1.1), ("leg", 0.35, -0.1, 1.2, 0.5), ("stem", -0.2, -0.1, 0.4, 1.8)),
    "l": (("foot", -0.2, -0.1, 1.2, 0.15), ("stem", -0.2, 0.1, 1.2, 1.8)),
    "m": (
        ("branch", 0.1, 0.55, 0.25, 1.0),
        ("arches", 0.2, 0.7, 1.1, 1.1),
        ("left stem", -0.2, -0.1, 0.25, 1.1),
        ("middle stem", 0.35, -0.1, 0.65, 0.8),
        ("right stem", 0.75, -0.1, 1.2, 0.8),
    ),
    "n": (
        ("branch", 0.15, 0.55, 0.45, 0.95),
        ("arch", 0.35, 0.7, 1.1, 1.1),
        ("left stem", -0.2, -0.1, 0.5, 1.1),
        ("right stem", 0.5, -0.1, 1.2, 0.8),
    ),
    "o": (
        ("top", 0.2, 0.75, 0.8, 1.1),
        ("foot", 0.2, -0.1, 0.8, 0.25),
        ("left side", -0.1, 0.0, 0.5, 1.0),
        ("right side", 0.5, 0.0, 1.1, 1.0),
    ),
    "p": (("stem", -0.2, -0.8, 0.3, 1.1), ("bowl", 0.2, -0.1, 1.1, 1.1)),
    "q": (("stem", 0.7, -0.8, 1.2, 1.1), ("bowl", -0.1, -0.1, 0.8, 1.1)),
    "r": (("arm", 0.5, 0.6, 1.2, 1.1), ("branch", 0.25, 0.5, 0.6, 1.1), ("stem", -0.2, -0.1, 0.6, 1.1)),
    "s": (
        ("upper terminal", 0.6, 0.6, 1.1, 1.1),
        ("lower terminal", -0.1, -0.1, 0.4, 0.4),
        ("spine", 0.0, 0.25, 1.0, 0.75),
        ("upper curve", -0.1, 0.5, 1.1, 1.1),
        ("lower curve", -0.1, -0.1, 1.1, 0.5),
    ),
    "t": (
        ("bar", -0.2, 0.8, 1.2, 1.1),
        ("tail", 0.5, -0.1, 1.2, 0.35),
        ("head", -0.2, 1.1, 1.2, 1.5),
        ("stem", -0.2, -0.1, 0.9, 1.1),
    ),
    "u": (
        ("spur", 0.8, -0.1, 1.2, 0.15),
        ("branch", 0.6, 0.05, 0.85, 0.45),
        ("curve", 0.0, -0.1, 0.8, 0.3),
        ("left stem", -0.2, 0.2, 0.4, 1.1),
        ("right stem", 0.6, 0.1, 1.2, 1.1),
    ),
    "v": (
        ("point", 0.3, -0.1, 0.7, 0.3),
        ("left diagonal", -0.2, 0.2, 0.5, 1.1),
        ("right diagonal", 0.5, 0.2, 1.2, 1.1),
    ),
    "w": (
        ("points", 0.15, -0.1, 0.85, 0.3),
        ("outer diagonals", -0.2, 0.2, 0.25, 1.1),
        ("outer diagonals", 0.75, 0.2, 1.2, 1.1),
        ("inner diagonals", 0.25, 0.2, 0.75, 1.1),
    ),
    "x": (("crossing", 0.3, 0.35, 0.7, 0.65), ("arms", -0.2, 0.5, 1.2, 1.1), ("legs", -0.2, -0.1, 1.2, 0.5)),
    "y": (
        ("tail", -0.2, -0.8, 1.2, 0.0),
        ("left diagonal", -0.2, 0.0, 0.5, 1.1),
        ("right diagonal", 0.5, 0.0, 1.2, 1.1),
    ),
    "z": (("upper bar", -0.2, 0.75, 1.2, 1.1), ("lower bar", -0.2, -0.1, 1.2, 0.25), ("diagonal", 0.0, 0.2, 1.0, 0.8)),
}
"""Parts of small letters: name, and the box it lies in; x in widths of the body from its left, y in x-heights from the
baseline. The first box that holds a place names it (names: common practice; boxes measured on open text faces)."""

CAPITAL_PARTS: Final[dict[str, tuple[Region, ...]]] = {
    "A": (
        ("apex", 0.3, 0.85, 0.7, 1.1),
        ("bar", 0.25, 0.2, 0.75, 0.45),
        ("left diagonal", -0.1, -0.1, 0.5, 0.9),
        ("right diagonal", 0.5, -0.1, 1.1, 0.9),
    ),
    "B": (("stem", -0.1, -0.1, 0.3, 1.1), ("upper bowl", 0.25, 0.52, 1.1, 1.1), ("lower bowl", 0.25, -0.1, 1.1, 0.52)),
    "C": (
        ("upper terminal", 0.6, 0.6, 1.1, 1.1),
        ("lower terminal", 0.6, -0.1, 1.1, 0.4),
        ("curve", -0.1, -0.1, 0.7, 1.1),
    ),
    "D": (("stem", -0.1, -0.1, 0.3, 1.1), ("bowl", 0.25, -0.1, 1.1, 1.1)),
    "E": (
        ("upper arm", 0.3, 0.75, 1.2, 1.1),
        ("middle arm", 0.3, 0.35, 1.2, 0.65),
        ("lower arm", 0.3, -0.1, 1.2, 0.25),
        ("stem", -0.1, -0.1, 0.4, 1.1),
    ),
    "F": (("upper arm", 0.3, 0.75, 1.2, 1.1), ("middle arm", 0.3, 0.3, 1.2, 0.65), ("stem", -0.1, -0.1, 0.4, 1.1)),
    "G": (
        ("bar", 0.5, 0.3, 1.2, 0.6),
        ("spur", 0.75, -0.1, 1.2, 0.3),
        ("terminal", 0.6, 0.6, 1.1, 1.1),
        ("curve", -0.1, -0.1, 0.8, 1.1),
    ),
    "H": (("bar", 0.25, 0.35, 0.75, 0.65), ("left stem", -0.1, -0.1, 0.4, 1.1), ("right stem", 0.6, -0.1, 1.1, 1.1)),
    "J": (("tail", -0.2, -0.4, 0.6, 0.3), ("stem", 0.4, 0.1, 1.2, 1.1)),
    "K": (("arm", 0.3, 0.5, 1.2, 1.1), ("leg", 0.3, -0.1, 1.2, 0.5), ("stem", -0.1, -0.1, 0.4, 1.1)),
    "L": (("arm", 0.3, -0.1, 1.2, 0.25), ("stem", -0.1, -0.1, 0.5, 1.1)),
    "M": (
        ("left stem", -0.1, -0.1, 0.25, 1.1),
        ("right stem", 0.75, -0.1, 1.1, 1.1),
        ("diagonals", 0.15, -0.1, 0.85, 1.1),
    ),
    "N": (
        ("left stem", -0.1, -0.1, 0.22, 1.1),
        ("right stem", 0.78, -0.1, 1.1, 1.1),
        ("diagonal", 0.15, -0.1, 0.85, 1.1),
    ),
    "P": (("stem", -0.1, -0.1, 0.3, 1.1), ("bowl", 0.25, 0.3, 1.1, 1.1)),
    "Q": (("tail", 0.45, -0.5, 1.2, 0.2), ("curve", -0.1, -0.1, 1.1, 1.1)),
    "R": (("leg", 0.3, -0.1, 1.2, 0.42), ("bowl", 0.25, 0.4, 1.1, 1.1), ("stem", -0.1, -0.1, 0.35, 1.1)),
    "S": (
        ("upper terminal", 0.6, 0.6, 1.1, 1.1),
        ("lower terminal", -0.1, -0.1, 0.4, 0.4),
        ("spine", 0.0, 0.25, 1.0, 0.75),
        ("upper curve", -0.1, 0.5, 1.1, 1.1),
        ("lower curve", -0.1, -0.1, 1.1, 0.5),
    ),
    "T": (("arms", -0.2, 0.75, 1.2, 1.1), ("stem", 0.2, -0.1, 0.8, 0.9)),
    "U": (("curve", 0.0, -0.1, 1.0, 0.35), ("left stem", -0.1, 0.2, 0.4, 1.1), ("right stem", 0.6, 0.2, 1.1, 1.1)),
    "V": (
        ("point", 0.3, -0.1, 0.7, 0.25),
        ("left diagonal", -0.1, 0.1, 0.5, 1.1),
        ("right diagonal", 0.5, 0.1, 1.1, 1.1),
    ),
    "Y": (("stem", 0.3, -0.1, 0.7, 0.45), ("left arm", -0.2, 0.4, 0.5, 1.1), ("right arm", 0.5, 0.4, 1.2, 1.1)),
    "Z": (("upper bar", -0.1, 0.8, 1.1, 1.1), ("lower bar", -0.1, -0.1, 1.1, 0.2), ("diagonal", 0.0, 0.1, 1.0, 0.9)),
}
"""The same for capitals, y in heights of the capital from the baseline."""


@cache
def base_of(name: str | None) -> str | None:
    """The letter without its accents, whose parts, foot and head it shares: 'o' for 'ö'.

    Marks that run into the letter leave it as it is: those below it (ç) and the ring (å), drawn joined by many a model.
    """
    if name is None:
        return None
    parts = unicodedata.normalize("NFD", name)
    return parts[0] if all(unicodedata.combining(m) == ABOVE and m != RING for m in parts[1:]) else name


def part_of(name: str | None, u: float, y: float, cap: float) -> str | None:
    """What the trade calls the part of a letter at a place; None where it has no name for it.

    u: from the body's left edge in widths of the body. y: height above the baseline and cap: height of the letter, both
    in x-heights.
    """
    if name in PARTS:
        regions, v = PARTS[name or ""], y
    elif name in CAPITAL_PARTS:
        regions, v = CAPITAL_PARTS[name or ""], y / max(cap, 0.1)
    else:
        return None
    return next((part for part, u0, v0, u1, v1 in regions if u0 <= u <= u1 and v0 <= v <= v1), None)
