"""An edge and its corners come in, the stretches that were meant straight go out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.outlines.corners import Corners
from vectorize.outlines.ring import Ring, as_complex, best_line, directions, smoothed, turning
from vectorize.trade.outlines import (
    GRAIN,
    STRAIGHT_BOW,
    STRAIGHT_BOW_SLOPE,
    STRAIGHT_FREE_SHORTEST,
    STRAIGHT_SHORTEST,
)

# Lengths in x-heights. Between two corners: greatest curvature, and the length below which none is asked for.
_CURVED, _SHORT = 1.2, 0.15
# Without corners: scatter about the line allowed beside the edge's own roughness, and greatest curvature at _LONG.
_SCATTER, _ROUGH, _BENT, _LONG = 0.0035, 1.25, 0.40, 0.45
# Ends nearer than this to a corner go to it; the search takes points every _STRIDE, at most _MOST_POINTS of them.
_SNAP, _STRIDE, _MOST_POINTS = 0.05, 0.024, 400
# A corner shows beside a straight where the edge, smoothed by _SIGMA, turns by _TURNS_AWAY degrees within _BEYOND of
# its end; it is looked for from _INSIDE the end on.
_SIGMA, _TURNS_AWAY, _BEYOND, _INSIDE = 0.010, 55.0, 0.06, 0.025
# A bow crosses its best line twice; an edge that crosses it _CROSSINGS times, each time beyond _WAVE of its greatest distance,
# waves, and may do so by _WAVING times as much.
_CROSSINGS, _WAVE, _WAVING = 3, 0.3, 1.75
# A run that sweeps away from the line of its middle (the share _MIDDLE left out at both ends) by more than the grain ends
# where it leaves that line by so much, and by so many times the scatter there.
_MIDDLE, _SWEEP, _SWEEP_SCATTER = 0.25, 0.0025, 5.0
# Share of a stretch that the blur of its two corners may take at each end.
_MOST_CUT = 0.35


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight stretch of a ring from sample `start` to sample `end`; past the last sample they count on."""

    start: int
    end: int


def find_straights(ring: Ring, corners: NDArray[np.int_], blur: float, roughness: float) -> tuple[Straight, ...]:
    """Straight stretches in order, not overlapping.

    corners: sample indices in rising order. blur: sigma of the edge; roughness: scatter of the edge about itself
    smoothed; both in x-heights.
    """
    n = len(ring.points)
    if not len(corners):
        # Begun where the edge bends most, so that no straight is parted at the ring's first sample.
        bent = int(np.abs(turning(directions(ring, _STRIDE))).argmax())
        return tuple(_runs(ring, bent, bent + n, roughness))
    found: list[Straight] = []
    for a, b in zip(corners, [*corners[1:], corners[0] + n], strict=True):
        if is_straight(ring, int(a), int(b), blur):
            found.append(Straight(int(a), int(b)))
        else:
            snap = ring.samples(_SNAP)
            for run in _runs(ring, int(a), int(b), roughness):
                start = int(a) if run.start - a <= snap else run.start
                end = int(b) if b - run.end <= snap else run.end
                free = start != a and end != b
                if (end - start) * ring.step > (STRAIGHT_FREE_SHORTEST if free else STRAIGHT_SHORTEST):
                    found.append(Straight(start, end))
    # A run that snaps to the ring's only corner at both ends goes nowhere.
    return tuple(s for s in found if (s.end - s.start) % n)


def corners_at_ends(ring: Ring, straights: tuple[Straight, ...], corners: Corners) -> Corners:
    """The corners and those that only show beside a straight: where the edge turns away right after its end."""
    n = len(ring.points)
    tangents = directions(ring, _SIGMA)
    beyond, inside = ring.samples(_BEYOND), ring.samples(_INSIDE)
    known = {int(i) for i in corners.at}
    at, turn = list(corners.at), list(corners.turn)
    for s in straights:
        z = complex(*(ring.points[s.end % n] - ring.points[s.start % n]))
        for end, sign in ((s.start % n, -1), (s.end % n, 1)):
            turned = abs(float(np.angle(tangents[(end + sign * beyond) % n] / z)))
            if end in known or turned < np.radians(_TURNS_AWAY):
                continue
            k = (end + sign * np.arange(-inside, beyond + 1)) % n
            corner = int(k[np.abs(np.angle(tangents[(k + 2) % n] / tangents[k - 2])).argmax()])
            if all(min((corner - i) % n, (i - corner) % n) > inside for i in known):
                at.append(corner)
                turn.append(turned)
                known.add(corner)
    order = np.argsort(np.array(at, int), kind="stable")
    return Corners(np.array(at, int)[order], np.array(turn)[order])


def is_straight(ring: Ring, start: int, end: int, blur: float) -> bool:
    """Whether the stretch between two corners was meant straight: bowed little, for its length, and evenly."""
    if not (end - start) % len(ring.points):
        return False
    length = (end - start) * ring.step
    cut = min(round(2.0 * blur / ring.step), int(_MOST_CUT * (end - start)))
    p = ring.points[np.arange(start + cut, end - cut + 1) % len(ring.points)]
    if len(p) < 3:
        return True
    along, off = _about_line(p)
    even = smoothed(np.concatenate((off, off[::-1])), float(GRAIN), ring.step)[: len(off)]
    allowed = (STRAIGHT_BOW + STRAIGHT_BOW_SLOPE * length) * (_WAVING if _waves(even) else 1.0)
    if np.abs(even).max() > allowed:
        return False
    return length < _SHORT or abs(2.0 * float(np.polyfit(along, off, 2)[0])) < _CURVED


def _waves(off: Points) -> bool:
    """Whether an edge goes to and fro about its line, which is a hand's doing; one that bows or leans out is meant."""
    side = np.sign(off[np.abs(off) > _WAVE * np.abs(off).max()])
    return int(np.count_nonzero(np.diff(side))) >= _CROSSINGS


def _about_line(p: Points) -> tuple[Points, Points]:
    """Points along and off their best straight line."""
    middle, way = best_line(p)
    z = (as_complex(p) - middle) * way.conjugate()
    return z.real, z.imag


def _runs(ring: Ring, start: int, end: int, roughness: float) -> list[Straight]:
    """The longest straight runs inside a stretch, longest first taken, then in order."""
    stride = max(ring.samples(_STRIDE), (end - start) // _MOST_POINTS)
    at = np.arange(start, end + 1, stride)
    shortest = int(np.ceil(STRAIGHT_SHORTEST / ring.step / stride))
    if len(at) <= shortest:
        return []
    i, j = np.triu_indices(len(at), shortest)
    rms, bend = _line_fits(ring, start, end, at[i], at[j])
    length = (at[j] - at[i]) * ring.step
    allowed = _BENT * np.sqrt(np.maximum(1.0, _LONG / length))
    good = (rms < _ROUGH * roughness + _SCATTER) & (np.abs(bend) < allowed)
    i, j, rms = i[good], j[good], rms[good]
    found: list[Straight] = []
    while len(i):
        k = int(np.lexsort((rms, i - j))[0])
        best = Straight(int(at[i[k]]), int(at[j[k]]))
        found.append(_without_sweep(ring, best))
        apart = (at[j] <= best.start) | (at[i] >= best.end)
        i, j, rms = i[apart], j[apart], rms[apart]
    return sorted(found, key=lambda s: s.start)


def _without_sweep(ring: Ring, run: Straight) -> Straight:
    """A run without the ends that sweep outward from the line of its middle, as the brackets of serifs do."""
    p = ring.points[np.arange(run.start, run.end + 1) % len(ring.points)]
    first, last = round(_MIDDLE * len(p)), round((1.0 - _MIDDLE) * len(p))
    middle, way = best_line(p[first:last])
    z = (as_complex(p) - middle) * way.conjugate()
    # Ink lies to the left, so what sweeps outward goes to the right.
    away = -z.imag if (z[-1] - z[0]).real > 0.0 else z.imag
    scatter = _SWEEP_SCATTER * float(away[first:last].std())
    swept, bare = away > max(float(GRAIN), scatter), away > max(_SWEEP, scatter)
    start, end = run.start, run.end
    if swept[:first].any():
        start += int(np.flatnonzero(bare[:first])[-1]) + 1
    if swept[last:].any():
        end = run.start + last + int(np.flatnonzero(bare[last:])[0]) - 1
    return Straight(start, end)


def _line_fits(
    ring: Ring, start: int, end: int, a: NDArray[np.int_], b: NDArray[np.int_]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Scatter about the best line, and the curvature of the best parabola, of each stretch a..b (by running sums)."""
    p = ring.points[np.arange(start, end + 1) % len(ring.points)]
    p = p - p.mean(axis=0)
    z = as_complex(p)
    k = (np.arange(len(z)) - len(z) / 2) * ring.step
    columns = np.stack((np.ones_like(k) + 0j, z, z * z, z * z.conj(), k * z, k * k * z))
    sums = np.concatenate((np.zeros((6, 1), complex), np.cumsum(columns, axis=1)), axis=1)
    n, s1, s2, sa, sk, skk = sums[:, b - start + 1] - sums[:, a - start]
    mean = s1 / n
    # Second moments about the mean: spread along and across the best line.
    round_part, long_part = (sa / n).real - np.abs(mean) ** 2, np.abs(s2 / n - mean**2)
    rms = np.sqrt(np.maximum(0.5 * (round_part - long_part), 0.0))
    # Projection on the second discrete Legendre polynomial gives the second derivative by arc length.
    count = n.real
    middle = (k[a - start] + k[b - start]) / 2
    moment = skk - 2 * middle * sk + middle**2 * s1
    spread = ring.step**2 * (count**2 - 1) / 12.0
    norm = ring.step**4 * count * (count**2 - 1) * (count**2 - 4) / 180.0
    second = 2.0 * (moment - spread * s1) / norm
    return rms, np.abs(second)
