"""Published spacing tables, typed out as data.

FHWA 1966: Federal Highway Administration, Standard Alphabets for Highway Signs, 1966 (work of the US government, public
domain), read in a third-party transcription whose table of classes and table of letters agree. A gap is told by a code
from the letter before it and the letter after it; code 1 is the widest.
FHWA 2000: Standard Alphabets for Traffic Control Devices, 2000, side spaces of n o H O at a cap height of 4 units,
from the same transcription.
"""

from __future__ import annotations

PRECEDING = ("HIJMNU", "BDGOPQRS", "CEFKXZ", "ALTVWY")
FOLLOWING = ("BDEFHIKLMNPRU", "CGOQSXZ", "AJTVWY")
CODE = ((1, 1, 2), (1, 2, 2), (2, 2, 3), (2, 2, 4))
SPACE_IN_STROKES = {1: 1.5, 2: 1.2, 3: 0.8, 4: 0.4}
STROKE_C = 1.125  # series C, cap height 8

SIDES_2000 = {
    "B": {"left": {"n": 0.32, "o": 0.2, "H": 0.44, "O": 0.32}, "right": {"n": 0.28, "o": 0.2, "H": 0.44, "O": 0.32}},
    "C": {"left": {"n": 0.36, "o": 0.24, "H": 0.44, "O": 0.36}, "right": {"n": 0.32, "o": 0.24, "H": 0.44, "O": 0.36}},
    "D": {"left": {"n": 0.4, "o": 0.24, "H": 0.48, "O": 0.4}, "right": {"n": 0.36, "o": 0.24, "H": 0.48, "O": 0.4}},
}


def classes(pair: str) -> tuple[int, int]:
    """Place of a pair of capitals in the code table."""
    before = next(i for i, s in enumerate(PRECEDING) if pair[0] in s)
    after = next(i for i, s in enumerate(FOLLOWING) if pair[1] in s)
    return before, after


def code(pair: str) -> int:
    """1 (widest) to 4 of a pair of capitals."""
    before, after = classes(pair)
    return CODE[before][after]


def gap_2000(series: str, pair: str) -> float:
    """Gap of a pair of n o H O in a series of the 2000 edition, cap heights."""
    sides = SIDES_2000[series]
    return (sides["right"][pair[0]] + sides["left"][pair[1]]) / 4.0
