"""Corners of an edge come in; those that are cut off go out as the two corners of their bevel.

A blurred wedge draws back from its tip by a length that follows from its angle and the blur alone. A tip that has
drawn back further was blunt to begin with: a bevel, the end of a serif, an ink trap's floor.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.outlines.corners import Corners
from vectorize.outlines.ring import Ring, as_complex, best_line, directions

Floats = NDArray[np.float64]

# Lengths in x-heights: of the arms, and how much further than the blur explains a blunt tip has drawn back.
_ARM, _BLUNT = 0.05, 0.010
# The same as a factor, and the least turn in degrees that is looked at; direction of the tip at this smoothing.
_BLUNT_FACTOR, _LEAST_TURN, _SIGMA = 1.35, 50.0, 0.010
# A tip whose sides lie within so many degrees of parallel is the end of a hairline, which is cut off, not sharp.
_NARROWEST = 10.0
# Samples that part the two corners of a bevel at least, and at most.
_APART, _APART_MOST = 3, 16
# An arm begins where the blur of the tip ends, so many sigmas from it; it takes this share of the way to the next corner
# at most, and begins earlier where it would have fewer samples than this.
_HIDDEN, _ROOM, _FEWEST = 2.0, 0.8, 4
# Angle in radians of the narrowest wedge that its turn tells truly: beyond it the arms run as good as side by side.
_SHARPEST = 0.2
# Lines whose directions have a smaller cross product meet nowhere that is known: 3 degrees.
_PARALLEL = 0.05


def drawn_back(turn: Floats) -> Floats:
    """How far the half-level line of a wedge draws back from its tip, in sigmas of the blur.

    turn: pi less the angle of the wedge, radians. On the axis of a narrow wedge half the weight of the Gaussian lies
    inside where the half-width reaches the normal quartile .6745; a tenth more fits all angles within .04.
    """
    return np.asarray(0.6745 / wedge_slope(turn) + 0.1)


def wedge_slope(turn: Floats) -> Floats:
    """Slope of a wedge's sides against its axis; turn as for `drawn_back`, one narrower than _SHARPEST taken as that."""
    return np.asarray(np.tan(np.maximum(np.pi - turn, _SHARPEST) / 2))


def with_bevels(ring: Ring, corners: Corners, blur: float) -> Corners:
    """The corners with blunt ones replaced by two. blur: sigma of the edge, x-heights."""
    at: list[int] = []
    turn: list[float] = []
    tangents = directions(ring, _SIGMA)
    n = len(ring.points)
    for i, t in zip(corners.at, corners.turn, strict=True):
        # To the next corner and to the one before; all the way round where it is the only one.
        room, back = min((corners.at - i - 1) % n + 1), min((i - corners.at - 1) % n + 1)
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
    z = as_complex(ring.points)
    hidden = ring.samples(_HIDDEN * blur)
    arms = []
    for sign, space in ((-1, room[0]), (1, room[1])):
        far = min(hidden + ring.samples(_ARM), int(_ROOM * space))
        near = min(hidden, max(1, far - _FEWEST))
        if far - near < 2:
            return None
        arms.append(best_line(ring.points[(at + sign * np.arange(near, far + 1)) % n]))
    tip = at
    if abs(_cross(arms[0][1], arms[1][1])) > np.sin(np.radians(_NARROWEST)):
        apex = _meet(*arms[0], *arms[1])
        if apex is None:
            return None
        around = at + np.arange(-hidden - 2, hidden + 3)
        gaps = np.abs(z[around % n] - apex)
        tip = int(around[gaps.argmin()])
        if gaps.min() < _BLUNT_FACTOR * float(drawn_back(np.array(turn))) * blur + _BLUNT:
            return None
    ends = [_meet(*arm, z[tip % n], tangents[tip % n]) for arm in arms]
    if ends[0] is None or ends[1] is None:
        return None
    half = round(abs(ends[1] - ends[0]) / ring.step / 2)
    return (tip - half, tip + half) if _APART <= 2 * half <= min(_APART_MOST, *room) else None


def _cross(d: complex, e: complex) -> float:
    return (d.conjugate() * e).imag


def _meet(p: complex, d: complex, q: complex, e: complex) -> complex | None:
    """Where two lines meet, each a place on it and its direction; None where they are as good as parallel."""
    cross = _cross(d, e)
    if abs(cross) < _PARALLEL:
        return None
    return p + _cross(q - p, e) / cross * d
