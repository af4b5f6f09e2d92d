"""Which letters have stems, feet, heads and counters of which kind, and what the trade calls the parts of a letter."""

from __future__ import annotations

from typing import Final

STEMS: Final = dict.fromkeys("abdfgijklpqrtyBDEFGIJKLPRTY1", 1) | dict.fromkeys("hnuHMNU", 2) | {"m": 3}
"""How many upright stems a letter may have; bowls and curves beside them are none (common practice, no source)."""

STEMLESS: Final = frozenset("ceosvwxyzACOQSVWXZ03689&")
"""Letters of curves and diagonals alone (common practice, no source)."""

EVEN_STEMS: Final = frozenset("abdfhijklmnpqrtuBDEFHIJKLPRT")
"""Letters whose stems are drawn equally heavy; in M, N and U one may be thinner (common practice, no source)."""

SMALL: Final = frozenset("acemnorsuvwxz")
"""Small letters between baseline and mean line."""

DESCENDING: Final = frozenset("gjpqy")
"""Small letters that go below the baseline."""

TALL: Final = frozenset("bdfhkl")
"""Small letters with an ascender."""

CAPITALS: Final = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ")

ROUND_FOOT: Final = frozenset("abcdeostuBCDGOSU03568")
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
    | dict.fromkeys("B8", (2,))
    | {"g": (1, 2)}
    | dict.fromkeys("cfhijklmnrstuvwxyzCEFGHIJKLMNSTUVWXYZ12357", (0,))
)
"""How many closed counters a letter may have (common practice, no source)."""

ROUND_SIDES: Final = frozenset("bcdegopqCDGOQ")
"""Letters with a bowl whose side is a curved stroke at its thickest."""

BOWLS: Final = frozenset("bdpq")
"""Letters of a stem and one bowl, drawn alike (Johnston, Writing & Illuminating, & Lettering, 1906: b d p q share
their parts; page from memory)."""

ARCHES: Final = frozenset("nhmu")
"""Letters of stems joined by arches, drawn alike (common practice, no source)."""
