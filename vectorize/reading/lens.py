"""Bowed sides of a sheet come in; out goes the lens's bend that makes them straight."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.reading.sides import Side, side_between

LEAST_BOW_PX = 3.0
"""A side that bows less is straight as far as it can be measured."""
EXPLAINED = 0.75
"""Share of the squared bows that one lens must account for; a curled sheet bows its sides otherwise."""

REFINED, BEND_STEP = 4, 1e-4
"""Steps after which the bend no longer changes; how far it is moved to see what that does."""
ROUNDS = 12
"""Of the iteration that bends."""


@dataclass(frozen=True, slots=True, eq=False)
class Lens:
    """Radial bend: a point at distance r from `centre` (in half long sides of the picture) belongs at r (1 + bend r^2).

    The polynomial model with one term (D. C. Brown, Close-range camera calibration, 1971), written from the picture
    to where a straight lens would have put the point. As a map it goes from there into the picture; undone, back.
    """

    centre: Points
    radius_px: float
    bend: float
    undone: bool = False

    def apply(self, points: Points) -> Points:
        """Points of shape (n, 2) mapped."""
        return self.straightened(points) if self.undone else self.bent(points)

    def inverse(self) -> Lens:
        """The map back."""
        return replace(self, undone=not self.undone)

    def straightened(self, points: Points) -> Points:
        """Picture px (n, 2) as a straight lens would show them."""
        d = (np.asarray(points, float) - self.centre) / self.radius_px
        r2 = (d * d).sum(axis=1, keepdims=True)
        out: Points = self.centre + self.radius_px * d * (1.0 + self.bend * r2)
        return out

    def bent(self, points: Points) -> Points:
        """The way back, by fixed-point iteration; good to a thousandth of a px for bends of up to .05 either way."""
        wanted = (np.asarray(points, float) - self.centre) / self.radius_px
        d = wanted
        for _ in range(ROUNDS):
            d = wanted / (1.0 + self.bend * (d * d).sum(axis=1, keepdims=True))
        out: Points = self.centre + self.radius_px * d
        return out

    def straight_side(self, side: Side) -> Side:
        """A bowed side as the straight one it is."""
        p, q = self.straightened(side.ends)
        return side_between(p, q, (p + q) / 2 + side.normal, seen=side.seen)


def lens_of(sides: tuple[Side, ...], picture_px: tuple[int, int]) -> Lens | None:
    """The lens whose bend explains how the sides bow; None where they are straight or bow in some other way.

    Plumb-line method (Brown 1971): a straight edge at distance d from the middle, of half length l, bows by
    bend d l^2 (all in half long sides of the picture), to begin with; then the bend that makes the arcs straight, by
    Gauss and Newton's steps.
    """
    centre, radius = np.array(picture_px) / 2.0, max(picture_px) / 2.0
    bows = np.array([-s.bow_px for s in sides]) / radius
    if len(sides) < 3 or np.abs(bows).max() * radius < LEAST_BOW_PX:
        return None
    reach = np.array([-float(s.distance(centre[None, :])[0]) for s in sides]) / radius
    half = np.array([float(np.linalg.norm(s.ends[1] - s.ends[0])) / 2.0 for s in sides]) / radius
    leverage = -reach * half**2
    bend = float(bows @ leverage / (leverage @ leverage))
    left = bows - bend * leverage
    if left @ left > (1.0 - EXPLAINED) * (bows @ bows):
        return None
    for _ in range(REFINED):
        now, more = (_bows(Lens(centre, radius, b), sides) for b in (bend, bend + BEND_STEP))
        slope = (more - now) / BEND_STEP
        bend -= float(now @ slope / (slope @ slope))
    return Lens(centre, radius, bend)


def _bows(lens: Lens, sides: tuple[Side, ...]) -> NDArray[np.float64]:
    """How far the middle of each side's arc lies off its ends' chord once it is straightened, px."""
    off = []
    for side in sides:
        middle = side.ends.mean(axis=0) + side.bow_px * side.normal
        p, m, q = lens.straightened(np.array([side.ends[0], middle, side.ends[1]]))
        across = np.array([p[1] - q[1], q[0] - p[0]]) / np.linalg.norm(q - p)
        off.append(float((m - p) @ across))
    return np.array(off)
