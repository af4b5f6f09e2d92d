"""Two profiles come in; the shortest distance between the letters in any direction goes out."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.spacing.profile import NO_INK, Profile

_HAIR = 1e-9  # rounding: the pieces at the very edge of the box always take part


def nearest_ratio(left: Profile, right: Profile) -> float:
    """Shortest distance in x-heights as the letters stand, 0 where they touch or overlap.

    Two straight pieces that do not cross are nearest at an end of one of them, so ends against pieces are enough.
    """
    gap = right.box.x0 - left.box.x1
    if not (len(left.chords) and len(right.chords)):
        return max(gap, 0.0)
    inked = (left.right_edge < NO_INK) & (right.left_edge < NO_INK)
    across = (left.right_edge + right.left_edge)[inked]
    if len(across) and gap + across.min() <= 0.0:
        return 0.0
    # Pieces deeper than this are further apart than two that are known. Letters that share no row are no further apart than
    # across their facing edges and up from the one's foot to the other's head.
    around = left.box.joined(right.box)
    deepest = _HAIR + float(across.min() if len(across) else around.height + 2.0 * max(0.0, -gap))
    a = left.chords[(left.box.x1 - left.chords[:, ::2]).min(axis=1) <= deepest]
    b = right.chords[(right.chords[:, ::2] - right.box.x0).min(axis=1) <= deepest]
    return min(_ends_to_pieces(a, b), _ends_to_pieces(b, a))


def _ends_to_pieces(a: Points, b: Points) -> float:
    """Least distance from the starts of the pieces `a`, which are the ends of others, to the pieces `b`.

    Points are complex numbers here.
    """
    if not (len(a) and len(b)):
        return math.inf
    start, stop = _complex(b).T
    run = stop - start
    away = _complex(a)[:, :1] - start
    along = (away * run.conj()).real / np.maximum((run * run.conj()).real, 1e-18)
    off = away - np.minimum(np.maximum(along, 0.0), 1.0) * run
    return math.sqrt((off.real**2 + off.imag**2).min())


def _complex(pieces: Points) -> NDArray[np.complex128]:
    return np.ascontiguousarray(pieces).view(np.complex128)
