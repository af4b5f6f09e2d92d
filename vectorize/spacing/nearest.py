"""Two profiles come in; the shortest distance between the letters in any direction goes out."""

from __future__ import annotations

import math

import numpy as np

from vectorize.geometry import Points
from vectorize.spacing.profile import NO_INK, Profile, Rows


def nearest_ratio(left: Profile, right: Profile, gap: float) -> float:
    """Shortest distance in x-heights, 0 where the letters touch or overlap; of the outlines as straight pieces.

    Two pieces that do not cross are nearest at an end of one of them, so ends against pieces are enough.
    """
    if not (len(left.chords) and len(right.chords)):
        return max(gap, 0.0)
    inked = (left.right_edge < NO_INK) & (right.left_edge < NO_INK)
    straight_across: Rows = (left.right_edge + right.left_edge)[inked]
    if len(straight_across) and gap + straight_across.min() <= 0.0:
        return 0.0
    reach = gap + (straight_across.min() if len(straight_across) else left.box.height + right.box.height)
    a, b = _within(left, reach, gap, -1.0), _within(right, reach, gap, 1.0)
    return math.sqrt(min(_ends_to_pieces(a, b), _ends_to_pieces(b, a)))


def _within(letter: Profile, reach: float, gap: float, side: float) -> Points:
    """The pieces of a letter that can be nearer than `reach`, seen from the middle of the gap."""
    edge = letter.box.x1 if side < 0.0 else letter.box.x0
    chords = letter.chords - np.array((edge, 0.0, edge, 0.0)) + side * gap / 2.0 * np.array((1.0, 0.0, 1.0, 0.0))
    near = np.minimum(side * chords[:, 0], side * chords[:, 2]) <= reach - gap / 2.0 + 1e-9
    return np.asarray(chords[near])


def _ends_to_pieces(a: Points, b: Points) -> float:
    """Least squared distance from the starts of the pieces `a` to the pieces `b`."""
    if not (len(a) and len(b)):
        return math.inf
    run_x, run_y = b[:, 2] - b[:, 0], b[:, 3] - b[:, 1]
    from_x: Rows = np.concatenate((a[:, 0], a[:, 2]))[:, None] - b[:, 0]
    from_y: Rows = np.concatenate((a[:, 1], a[:, 3]))[:, None] - b[:, 1]
    along = (from_x * run_x + from_y * run_y) / np.maximum(run_x**2 + run_y**2, 1e-18)
    along = np.clip(along, 0.0, 1.0)
    return float(((from_x - along * run_x) ** 2 + (from_y - along * run_y) ** 2).min())
