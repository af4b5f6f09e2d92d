"""Profiles, a band and a gap come in; the counted white goes out as a closed polygon to draw."""

from __future__ import annotations

import numpy as np

from vectorize.geometry import Points, frozen
from vectorize.spacing.profile import BOTTOM_RATIO, ROW_MIDDLES, ROW_RATIO, Profile


def white_shape_u(left: Profile, right: Profile, rows: tuple[int, int], left_move: float, gap: float) -> Points:
    """The white that the rule counts between two letters, shadow and fading included; (n, 2) in letter units.

    left_move: how far the left letter has moved from where it was drawn. gap: box to box, as the letters stand now.
    Where the letters overlap the shape has no width. It runs up the left side and down the right one.
    """
    start, stop = rows
    edge = left.box.x1 + left_move
    from_x = edge - left.right[start:stop]
    to_x = edge + gap + right.left[start:stop]
    middle = (from_x + to_x) / 2.0
    from_x, to_x = np.minimum(from_x, middle), np.maximum(to_x, middle)
    y = ROW_MIDDLES[start:stop].copy()
    y[0], y[-1] = BOTTOM_RATIO + start * ROW_RATIO, BOTTOM_RATIO + stop * ROW_RATIO
    up, down = np.column_stack((from_x, y)), np.column_stack((to_x, y))[::-1]
    return frozen(1000.0 * np.concatenate((up, down)))
