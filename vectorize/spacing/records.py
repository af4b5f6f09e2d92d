"""What the spacing stage hands on: each pair's white, and where every letter goes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from vectorize.geometry import Points


class Kind(StrEnum):
    """What faces the gap on either side."""

    CURVE_CURVE = "curve-curve"
    STRAIGHT_CURVE = "straight-curve"
    STRAIGHT_STRAIGHT = "straight-straight"
    OPEN = "open"
    WORD_SPACE = "word-space"


class Verdict(StrEnum):
    """How a gap looks beside the others of its word."""

    EVEN = "even"
    TIGHT = "tight"
    WIDE = "wide"


@dataclass(frozen=True, slots=True, eq=False)
class Pair:
    """Two neighbours and the white between them; ratios are fractions of the x-height.

    left, right: letter indices from 1. gap: box to box as drawn; target: in the corrected setting;
    move: how far the right letter moves relative to the left. nearest: shortest distance between the outlines in any
    direction. white, target_white: width of the straight channel that looks as wide, drawn and corrected.
    white_shape_u, target_shape_u: the counted white as a closed polygon (n, 2) in letter units, in the drawn and in the
    corrected setting; None for a word space.
    excess: how much wider the gap is than the one whose white would be the median of its word (below 0: tighter); the
    verdict rests on it. None for a word space.
    """

    left: int
    right: int
    kind: Kind
    gap_ratio: float
    target_ratio: float
    move_ratio: float
    nearest_ratio: float
    white_ratio: float | None
    target_white_ratio: float | None
    verdict: Verdict | None
    white_shape_u: Points | None = None
    target_shape_u: Points | None = None
    excess_ratio: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """The word re-spaced: `moves_u[i]` is how far letter i+1 moves along the baseline, in letter units.

    The first and the last letter of each word stay where they were drawn, unless letterspacing is added, with which the
    line grows to the right, or letters are placed by hand.
    median_white_ratio: the white that gaps are judged by, one for each word, None for a word of one letter.
    """

    pairs: tuple[Pair, ...]
    moves_u: tuple[float, ...]
    median_white_ratio: tuple[float | None, ...]
