"""Corners of an edge come in; those that are cut off go out as the two corners of their bevel.

A blurred wedge draws back from its tip by a length that follows from its angle and the blur alone. A tip that has
drawn back further was blunt to begin with: a bevel, the end of a serif, an ink trap's floor.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.outlines.corners import Corners
from vectorize.outlines.ring import Ring, directions

Floats = NDArray[np.float64]

# Lengths in x-heights: of the arms, and how much further than the blur explains a blunt tip has drawn back.
_ARM, _BLUNT = 0.05, 0.010
# The same as a factor, and the least turn in degrees that is looked at; direction of the tip at this smoothing.
_BLUNT_FACTOR, _LEAST_TURN, _SIGMA = 1.35, 50.0, 0.010
# A tip whose sides lie within so many degrees of parallel is the end of a hairline, which is cut off, not sharp.
_NARROWEST = 10.0
# Samples that part the two corners of a bevel at least, and at most.
_APART, _APART_MOST = 3, 16


def drawn_back(turn: Floats) -> Floats:
    """How far the half-level line of a wedge draws back from its tip, in sigmas of the blur.

    turn: pi less the angle of the wedge, radians. On the axis of a narrow wedge half the weight of the Gaussian lies
    inside where the half-width reaches the normal quartile .6745; a tenth more fits all angles within .04.
    """
    return np.asarray(0.6745 / np.tan(np.maximum(np.pi - turn, 0.2) / 2) + 0.1)


def with_bevels(ring: Ring, corners: Corners, blur: float) -> Corners:
    """The corners with blunt ones replaced by two. blur: sigma of the edge, x-heights."""
    at: list[int] = []
    turn: list[float] = []
    tangents = directions(ring, _SIGMA)
    n = len(ring.points)
    for i, t in zip(corners.at, corners.turn, strict=True):
        room = min((corners.at - i - 1) % n + 1) if len(corners.at) > 1 else n
        back = min((i - corners.at - 1) % n + 1) if len(corners.at) > 1 else n
        pair = None if np.degrees(t) < _LEAST_TURN else _bevel(ring, tangents, int(i), float(t), blur, (back, room))
        at += [int(i)] if pair is None else list(pair)
        turn += [float(t)] if pair is None else [t / 2, t / 2]
    order = np.argsort(np.array(at, int) % n, kind="stable")
    return Corners((np.array(at, int) % n)[order], np.array(turn)[order])


def _bevel(
    ring: Ring, tangents: NDArray[np.complex128], at: int, turn: float, blur: float, room: tuple[int, int]
) -> tuple[int, int] | None:
    """The samples of a blunt tip's two corners; None for a sharp one."""
    n = len(ring.points)
    hidden = ring.samples(2.0 * blur)
    arms = []
    for sign, space in ((-1, room[0]), (1, room[1])):
        far = min(hidden + ring.samples(_ARM), int(0.8 * space))
        near = min(hidden, max(1, far - 4))
        if far - near < 2:
            return None
        p = ring.points[(at + sign * np.arange(near, far + 1)) % n]
        arms.append(_line(p))
    tip = 0
    if abs(_cross(arms[0][1], arms[1][1])) > np.sin(np.radians(_NARROWEST)):
        apex = _meet(*arms[0], *arms[1])
        if apex is None:
            return None
        around = np.arange(-hidden - 2, hidden + 3)
        p = ring.points[(at + around) % n]
        tip = int(around[np.hypot(*(p - apex).T).argmin()])
        gap = float(np.hypot(*(ring.points[(at + tip) % n] - apex)))
        if gap < _BLUNT_FACTOR * float(drawn_back(np.array(turn))) * blur + _BLUNT:
            return None
    z = tangents[(at + tip) % n]
    ends = [_meet(*arm, ring.points[(at + tip) % n], np.array((z.real, z.imag))) for arm in arms]
    if ends[0] is None or ends[1] is None:
        return None
    wide = float(np.hypot(*(ends[1] - ends[0]))) / ring.step
    half = round(wide / 2)
    return (at + tip - half, at + tip + half) if _APART <= 2 * half <= min(_APART_MOST, *room) else None


def _line(p: Points) -> tuple[Points, Points]:
    """A point on the best line through points and its direction."""
    middle = p.mean(axis=0)
    z = (p - middle) @ np.array((1.0, 1.0j))
    turn = np.exp(0.5j * np.angle((z * z).sum()))
    return middle, np.array((turn.real, turn.imag))


def _cross(d: Points, e: Points) -> float:
    return float(d[0] * e[1] - d[1] * e[0])


def _meet(p: Points, d: Points, q: Points, e: Points) -> Points | None:
    cross = _cross(d, e)
    if abs(cross) < 0.05:
        return None
    s = ((q[0] - p[0]) * e[1] - (q[1] - p[1]) * e[0]) / cross
    return np.asarray(p + s * d)
