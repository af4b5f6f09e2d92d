"""A letter's profile comes in; out goes what its left and its right side show to the space: a stem, a bowl or white.

Told from the edge itself, never from the letter's name, so that an a with one storey and an a with two are each taken
as they are drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum

import numpy as np

from vectorize.spacing.profile import BOTTOM_RATIO, ROW_RATIO, ROWS, Profile, Rows
from vectorize.spacing.records import Kind
from vectorize.trade.spacing import (
    CURVE_SHARE,
    FACING_DEPTH,
    SERIF_REACH,
    STRAIGHT_SHARE,
    STRAIGHT_WITHIN,
    UPRIGHT_WITHIN,
)


class Side(StrEnum):
    """What one side of a letter shows to the space beside it."""

    STRAIGHT = "straight"
    CURVE = "curve"
    OPEN = "open"


def sides(letter: Profile, ceiling: float | None) -> tuple[Side, Side]:
    """The left and the right side, looked at from the baseline to the letter's head, or to `ceiling`."""
    top = min(letter.box.y1, math.inf if ceiling is None else ceiling)
    start, stop = _row(max(0.0, letter.box.y0)), _row(top)
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
    if height < 3:
        return Side.OPEN
    start, stop = _longest_run(edge <= FACING_DEPTH)
    part = edge[start:stop]
    leans_deg = _straight_leans_deg(part, math.ceil(STRAIGHT_SHARE * height))
    if (leans_deg <= UPRIGHT_WITHIN).any():
        return Side.STRAIGHT
    diagonal = (_straight_leans_deg(part, math.ceil(0.8 * len(part))) > UPRIGHT_WITHIN).any()
    return Side.CURVE if len(part) >= CURVE_SHARE * height and not diagonal else Side.OPEN


def seriffed(letters: Sequence[Profile]) -> bool | None:
    """Whether most upright stems stand on feet that reach beyond them; None where no side is a stem."""
    edges: list[Rows] = []
    for letter in letters:
        start, stop = _row(max(0.0, letter.box.y0)), _row(min(letter.box.y1, 1.0))
        edges.extend((letter.left_edge[start:stop], letter.right_edge[start:stop]))
    votes = [float(np.median(e) - e.min()) >= SERIF_REACH for e in edges if side(e) is Side.STRAIGHT]
    return None if not votes else sum(votes) * 2 > len(votes)


def _straight_leans_deg(edge: Rows, rows: int) -> Rows:
    """Lean of every part of so many rows that keeps within STRAIGHT_WITHIN of its least-squares line."""
    if rows < 2 or len(edge) < rows:
        return np.empty(0)
    parts = edge[np.arange(len(edge) - rows + 1)[:, None] + np.arange(rows)]
    along = np.arange(rows) - (rows - 1) / 2.0
    slope = parts @ along / (along @ along)
    bulge = np.abs(parts - parts.mean(axis=1, keepdims=True) - slope[:, None] * along).max(axis=1)
    return np.asarray(np.degrees(np.arctan(np.abs(slope[bulge <= STRAIGHT_WITHIN]) / ROW_RATIO)))


def _longest_run(mask: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> tuple[int, int]:
    """First row of the longest unbroken run and the row after it."""
    bounds = np.flatnonzero(np.diff(np.concatenate(((0,), mask.astype(int), (0,)))))
    runs = bounds.reshape(-1, 2)
    if not len(runs):
        return 0, 0
    start, stop = runs[np.argmax(runs[:, 1] - runs[:, 0])]
    return int(start), int(stop)


def _row(height: float) -> int:
    return int(np.clip(np.ceil((height - BOTTOM_RATIO) / ROW_RATIO - 0.5), 0, ROWS))
