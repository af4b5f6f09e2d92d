"""Bowed sides of a sheet come in; out goes the lens's bend that makes them straight, and its best flat stand-in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vectorize.geometry import Homography, Points, frozen
from vectorize.reading.sides import Side, side_between

LEAST_BOW_PX = 3.0
"""A side that bows less is straight as far as it can be measured."""
EXPLAINED = 0.75
"""Share of the squared bows that one lens must account for; a curled sheet bows its sides otherwise."""


@dataclass(frozen=True, slots=True, eq=False)
class Lens:
    """Radial bend: a point at distance r from `centre` (in half long sides of the picture) belongs at r (1 + bend r^2).

    The polynomial model with one term (D. C. Brown, Close-range camera calibration, 1971), written from the picture
    to where a straight lens would have put the point.
    """

    centre: Points
    radius_px: float
    bend: float

    def straightened(self, points: Points) -> Points:
        """Picture px (n, 2) as a straight lens would show them."""
        d = (np.asarray(points, float) - self.centre) / self.radius_px
        r2 = (d * d).sum(axis=1, keepdims=True)
        out: Points = self.centre + self.radius_px * d * (1.0 + self.bend * r2)
        return out

    def bent(self, points: Points) -> Points:
        """The way back, by fixed-point iteration; good to .01 px for the bends that are accepted."""
        wanted = (np.asarray(points, float) - self.centre) / self.radius_px
        d = wanted
        for _ in range(12):
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
    bend d l^2 (all in half long sides of the picture).
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
    return Lens(centre, radius, bend)


def flat_stand_in(lens: Lens, to_straight: Homography, around: Points) -> Homography:
    """The homography nearest to `to_straight` seen through the lens, over the region spanned by `around` (n, 2).

    Least squares over a grid (direct linear transform, Hartley and Zisserman, 4.1). Over a word the bend is nearly
    one scale and one shear, so that a word stands true to some thousandths of its length; the sheet's far corners do not.
    """
    (x0, y0), (x1, y1) = around.min(axis=0), around.max(axis=0)
    grid = np.array([(x, y) for x in np.linspace(x0, x1, 7) for y in np.linspace(y0, y1, 5)])
    seen = lens.bent(to_straight.apply(grid))
    size = max(x1 - x0, y1 - y0, 1.0)
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    g, s = (grid - middle) / size, (seen - lens.centre) / lens.radius_px
    rows, right = [], []
    for (x, y), (u, v) in zip(g, s, strict=True):
        rows += [(x, y, 1, 0, 0, 0, -u * x, -u * y), (0, 0, 0, x, y, 1, -v * x, -v * y)]
        right += [u, v]
    h = np.append(np.linalg.lstsq(np.array(rows), np.array(right), rcond=None)[0], 1.0).reshape(3, 3)
    shrink = np.array([(1 / size, 0, -middle[0] / size), (0, 1 / size, -middle[1] / size), (0, 0, 1)])
    grow = np.array([(lens.radius_px, 0, lens.centre[0]), (0, lens.radius_px, lens.centre[1]), (0, 0, 1)])
    m = grow @ h @ shrink
    return Homography(frozen(m / m[2, 2]))
