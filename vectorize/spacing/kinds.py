"""A letter's profile comes in; out goes what its left and its right side show to the space: a stem, a bowl or white.

Told from the edge itself, never from the letter's name, so that an a with one storey and an a with two are each taken
as they are drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from functools import cache

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import frozen
from vectorize.spacing.profile import ROW_RATIO, Profile, Rows, row_from
from vectorize.spacing.records import Kind
from vectorize.trade.spacing import (
    CURVE_SHARE,
    FACING_DEPTH,
    SERIF_REACH,
    STRAIGHT_SHARE,
    STRAIGHT_WITHIN,
    UPRIGHT_WITHIN,
)

DIAGONAL_SHARE = 0.8  # of what faces the space: so much of a bowl is never straight
FEWEST_ROWS = 3  # fewer have no shape


class Side(StrEnum):
    """What one side of a letter shows to the space beside it."""

    STRAIGHT = "straight"
    CURVE = "curve"
    OPEN = "open"


def sides(letter: Profile, ceiling: float | None) -> tuple[Side, Side]:
    """The left and the right side, looked at from the baseline to the letter's head, or to `ceiling`."""
    top = min(letter.box.y1, math.inf if ceiling is None else ceiling)
    start, stop = row_from(max(0.0, letter.box.y0)), row_from(top)
    return side(letter.left_edge[start:stop]), side(letter.right_edge[start:stop])


def kind(left: Side, right: Side) -> Kind:
    """The kind of the space between a right side (of the left letter) and a left side (of the right letter)."""
    if Side.OPEN in (left, right):
        return Kind.OPEN
    if left is right:
        return Kind.STRAIGHT_STRAIGHT if left is Side.STRAIGHT else Kind.CURVE_CURVE
    return Kind.STRAIGHT_CURVE


def side(edge: Rows) -> Side:
    """One side from the depths of its edge, lowest row first.

    An upright straight part of at least STRAIGHT_SHARE of the height is a stem; a bulge that faces the space over
    CURVE_SHARE of the height is a bowl; arms, diagonals, terminals and feet leave the side open.
    """
    height = len(edge)
    if height < FEWEST_ROWS:
        return Side.OPEN
    facing = (edge <= FACING_DEPTH).tobytes()
    longest = max(facing.split(b"\0"), key=len)
    start = facing.index(longest)
    part = edge[start : start + len(longest)]
    upright = math.tan(math.radians(UPRIGHT_WITHIN)) * ROW_RATIO
    if (_straight_slopes(part, math.ceil(STRAIGHT_SHARE * height)) <= upright).any():
        return Side.STRAIGHT
    if len(part) < CURVE_SHARE * height:
        return Side.OPEN
    diagonal = (_straight_slopes(part, math.ceil(DIAGONAL_SHARE * len(part))) > upright).any()
    return Side.OPEN if diagonal else Side.CURVE


def seriffed(letters: Sequence[Profile]) -> bool | None:
    """Whether most upright stems stand on feet that reach beyond them; None where no side is a stem."""
    edges: list[Rows] = []
    for letter in letters:
        start, stop = row_from(max(0.0, letter.box.y0)), row_from(min(letter.box.y1, 1.0))
        edges.extend((letter.left_edge[start:stop], letter.right_edge[start:stop]))
    votes = [float(np.median(e) - e.min()) >= SERIF_REACH for e in edges if side(e) is Side.STRAIGHT]
    return None if not votes else sum(votes) * 2 > len(votes)


def _straight_slopes(edge: Rows, rows: int) -> Rows:
    """Slope, without its sign, of every part of so many rows that keeps within STRAIGHT_WITHIN of a straight line."""
    if rows < 2 or len(edge) < rows:
        return np.empty(0)
    index, along, length = _windows(len(edge), rows)
    parts = edge[index]
    slope = parts @ along / length
    bulge = np.abs(parts - parts.sum(axis=1, keepdims=True) / rows - slope[:, None] * along).max(axis=1)
    return np.asarray(np.abs(slope[bulge <= STRAIGHT_WITHIN]))


@cache
def _windows(height: int, rows: int) -> tuple[NDArray[np.intp], Rows, float]:
    """Indices of every part of so many rows, the rows counted from a part's middle, and their sum of squares."""
    along = np.arange(rows, dtype=np.float64) - (rows - 1) / 2.0
    index = np.arange(height - rows + 1)[:, None] + np.arange(rows)
    return frozen(index), frozen(along), float(along @ along)
