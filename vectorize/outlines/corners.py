"""A closed edge comes in, the places where it has a corner go out.

A corner is where the direction turns within the reach of the blur and hardly at all beside it; a doubtful one must
also be something that a single smooth cubic cannot follow.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.outlines.ring import Directions, Ring, as_complex, directions, heading, smoothed, turning
from vectorize.trade.outlines import CORNER_TURN

Indices = NDArray[np.int_]

# Lengths in x-heights. The direction is taken on points smoothed by _SIGMA; a corner's turn shows within
# _REACH + _BLURS times the blur of the edge on either side of it.
_SIGMA, _REACH, _BLURS = 0.010, 0.010, 1.3
# Arms beside a candidate are this long; a cubic through a doubtful one reaches _AROUND to both sides.
_ARM, _AROUND = 0.085, 0.15
# Share of the corner's turn that may lie just outside its reach: on both sides, or on one side only.
_BESIDE_BOTH, _BESIDE_ONE, _BESIDE_OTHER = 0.36, 0.18, 0.79
# Paired corners: the turn in degrees within +-_LOBE, direction smoothed by _FINE, and the share of its peak to which
# the turning falls within _DIP_WITHIN on both sides.
_FINE, _LOBE, _PAIRED, _DIP, _DIP_WITHIN = 0.005, 0.018, 40.0, 0.5, 0.036
# A cubic that stays this near within +-_NEAR shows that there was no corner, where it turns by so many degrees.
_SMOOTH_ENOUGH, _DOUBTFUL, _NEAR = (0.0050, 0.0037), (38.0, 46.0), 0.04
# Candidates nearer than this to each other may be the two corners of a bevel, each turning this many degrees at least.
_PAIR, _LEAST_PAIRED = 0.11, 35.0
# Candidates within this share of a corner's reach are one corner.
_ONE = 0.7
# Turns in degrees: of a candidate that stands by its arms, straight or bent, one that needs no further test, the span of the test cubic.
_BY_ARMS, _BY_BENT_ARMS, _CERTAIN, _SPAN = 34.0, 38.0, 62.0, 130.0


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """Corners of a ring: indices of its points in rising order and how far the edge turns at each, radians."""

    at: Indices
    turn: NDArray[np.float64]


def find_corners(ring: Ring, blur: float) -> Corners:
    """The corners of a closed edge.

    blur: sigma of the edge in x-heights, all smoothing of ink and picture together.
    """
    reach = ring.samples(_REACH + _BLURS * float(np.hypot(blur, _SIGMA)))
    if len(ring.points) < 6 * reach:
        return Corners(np.zeros(0, int), np.zeros(0))
    tangents = directions(ring, _SIGMA)
    turn = _turn_within(tangents, reach)
    lobes = _lobes(ring)
    found = np.concatenate((_centred(tangents, _candidates(ring, tangents, turn, reach), reach), lobes))
    at = _merged(found, np.abs(turn[found]), reach, len(turn))
    size = np.abs(turn[at])
    sure = (size >= np.radians(_CERTAIN)) | _paired(at, lobes, size, ring)
    tests = [
        s or _needs_corner(ring, tangents, int(i), at[sure], float(t)) for i, t, s in zip(at, size, sure, strict=True)
    ]
    keep = np.array(tests, bool)
    return Corners(at[keep], _full_turn(ring, at[keep], size[keep], reach))


def _paired(at: Indices, lobes: Indices, size: NDArray[np.float64], ring: Ring) -> NDArray[np.bool_]:
    """Which of the candidates stand out beside a near neighbour: the two corners of a bevel, which a cubic follows."""
    if len(at) < 2:
        return np.zeros(len(at), bool)
    ahead = np.diff(np.append(at, at[0] + len(ring.points)))
    near = np.minimum(ahead, np.roll(ahead, 1)) <= ring.samples(_PAIR)
    return np.asarray(near & np.isin(at, lobes) & (size > np.radians(_LEAST_PAIRED)))


def _full_turn(ring: Ring, at: Indices, within: NDArray[np.float64], reach: int) -> NDArray[np.float64]:
    """How far each corner turns, its arms taken further out where it is so sharp that the blur reaches further."""
    turn = np.maximum(within, _arms_turn(ring, at, reach)[0])
    return np.where(turn > np.pi / 2, np.maximum(turn, _arms_turn(ring, at, 2 * reach)[0]), turn)


def _turn_within(tangents: Directions, reach: int) -> NDArray[np.float64]:
    along = heading(np.concatenate((tangents[-reach:], tangents, tangents[:reach])))[:-1]
    return np.asarray(along[2 * reach :] - along[: -2 * reach])


def _candidates(ring: Ring, tangents: Directions, turn: NDArray[np.float64], reach: int) -> Indices:
    size = np.abs(turn)
    around = np.stack([np.roll(size, k) for k in range(-(reach // 2), reach // 2 + 1)])
    peak = (size >= around.max(axis=0)) & (size > np.radians(CORNER_TURN))
    half = _turn_within(tangents, max(1, reach // 2))
    # _turn_within(reach // 2) centred 1.5 reaches away covers the reach just outside.
    away = reach + reach // 2
    before, after = np.abs(np.roll(half, away)), np.abs(np.roll(half, -away))
    most, least = np.maximum(before, after), np.minimum(before, after)
    alone = (most < _BESIDE_BOTH * size) | ((least < _BESIDE_ONE * size) & (most < _BESIDE_OTHER * size))
    found = np.flatnonzero(peak & alone)
    if not len(found):
        return found
    straight, bent = _arms_turn(ring, found, reach)
    strong = (np.maximum(size[found], straight) > np.radians(_BY_ARMS)) | (bent > np.radians(_BY_BENT_ARMS))
    return np.asarray(found[strong])


def _lobes(ring: Ring) -> Indices:
    """Places where the turning stands out on both sides: the paired corners of a serif, which hide each other."""
    tangents = directions(ring, _FINE)
    # From the place before to the place after, so that a mirrored edge has the mirrored lobes.
    density = np.abs(np.angle(np.roll(tangents, -1) * np.conj(np.roll(tangents, 1))))
    within = _turn_within(tangents, ring.samples(_LOBE))
    shifts = range(1, ring.samples(_DIP_WITHIN) + 1)
    before, after = (np.stack([np.roll(density, s * k) for k in shifts]) for s in (1, -1))
    peak = (density >= before[:3].max(axis=0)) & (density >= after[:3].max(axis=0))
    dips = np.maximum(before.min(axis=0), after.min(axis=0)) < _DIP * density
    return np.flatnonzero(peak & dips & (np.abs(within) > np.radians(_PAIRED)))


def _arms_turn(ring: Ring, at: Indices, reach: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Angle between the arms beside each place, as straight lines and as parabolas continued to it."""
    k = np.arange(reach, reach + ring.samples(_ARM) + 1)
    n = len(ring.points)
    angles = []
    for sign in (-1, 1):
        z = as_complex(ring.points[(at[:, None] + sign * k) % n])
        for degree in (1, 2):
            slope = np.linalg.pinv(np.vander(k.astype(float), degree + 1))[degree - 1]
            angles.append(sign * (z @ slope))
    line_in, bent_in, line_out, bent_out = angles
    return np.abs(np.angle(line_out / line_in)), np.abs(np.angle(bent_out / bent_in))


def _centred(tangents: Directions, found: Indices, reach: int) -> Indices:
    """Each candidate moved to the centroid of the turning within its reach."""
    k = np.arange(-reach, reach)
    steps = turning(tangents)[(found[:, None] + k) % len(tangents)]
    weight = np.maximum(steps * np.sign(steps.sum(axis=1, keepdims=True)), 0.0)
    shift = (weight * (k + 0.5)).sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-9)
    return np.asarray(np.rint(found + shift).astype(int) % len(tangents))


def _merged(at: Indices, size: NDArray[np.float64], reach: int, n: int) -> Indices:
    """Of candidates closer than _ONE of the reach only the one with the greatest turn; in rising order."""
    kept: list[int] = []
    for i in at[np.argsort(-size, kind="stable")]:
        apart = [min((i - j) % n, (j - i) % n) for j in kept]
        if not apart or min(apart) >= _ONE * reach:
            kept.append(int(i))
    return np.array(sorted(kept), int)


def _needs_corner(ring: Ring, tangents: Directions, at: int, others: Indices, turn: float) -> bool:
    """Whether one free cubic over the neighbourhood of `at` misses the edge there."""
    n = len(ring.points)
    most = min(ring.samples(_AROUND), n // 2 - 1)
    steps = np.abs(turning(tangents))
    ends = []
    for sign in (-1, 1):
        gaps = [g for g in ((sign * (int(j) - at)) % n for j in others) if g > 0]
        reach = min([most, *gaps])
        k = np.arange(reach) if sign > 0 else -np.arange(1, reach + 1)
        turned = np.cumsum(steps[(at + k) % n])
        ends.append(max(3, int(np.searchsorted(turned, np.radians(_SPAN) / 2))))
    k = np.arange(-ends[0], ends[1] + 1)
    missed = _missed_by_cubic(ring.points[(at + k) % n])
    near = np.abs(k) <= ring.samples(_NEAR)
    off = smoothed(missed, _SIGMA, ring.step)[near]
    return bool(np.abs(off).max() > np.interp(turn, np.radians(_DOUBTFUL), _SMOOTH_ENOUGH))


def _missed_by_cubic(points: Points) -> Points:
    """Signed distances of points from the one cubic that fits them best (least squares, feet renewed twice)."""
    step = np.hypot(*np.diff(points, axis=0).T)
    t = np.concatenate(((0.0,), np.cumsum(step)))
    t /= t[-1]
    for _ in range(3):
        powers = np.vander(t, 4)
        curve = np.linalg.lstsq(powers, points, rcond=None)[0]
        slope = np.vander(t, 3) @ (curve[:3] * np.array([[3.0], [2.0], [1.0]]))
        off = points - powers @ curve
        t = t + (off * slope).sum(1) / np.maximum((slope**2).sum(1), 1e-12)
    normal = np.column_stack((-slope[:, 1], slope[:, 0])) / np.maximum(np.hypot(*slope.T), 1e-12)[:, None]
    return np.asarray((off * normal).sum(1))
