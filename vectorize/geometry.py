"""Points, boxes and areas; affine maps, homographies and chains of maps. Arrays of points have shape (n, 2)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

Point: TypeAlias = tuple[float, float]
Points: TypeAlias = NDArray[np.float64]
AnyArray = TypeVar("AnyArray", bound=NDArray[Any])


def frozen(array: AnyArray) -> AnyArray:
    """The same array, read-only from here on."""
    array.setflags(write=False)
    return array


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle; x0 <= x1 and y0 <= y1 in whatever frame it is used."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """x1 - x0."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """y1 - y0."""
        return self.y1 - self.y0

    @property
    def centre(self) -> Point:
        """The middle of the box."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    @property
    def corners(self) -> Points:
        """The four corners in the order x0y0, x1y0, x1y1, x0y1; shape (4, 2)."""
        return np.array([(self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1)])

    def moved(self, dx: float, dy: float = 0.0) -> Box:
        """The box moved by (dx, dy)."""
        return Box(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def joined(self, other: Box) -> Box:
        """The smallest box around both."""
        return Box(min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1))

    def grown(self, margin: float) -> Box:
        """The box with `margin` added on each side."""
        return Box(self.x0 - margin, self.y0 - margin, self.x1 + margin, self.y1 + margin)


def box_around(points: Points) -> Box:
    """The box around points of shape (n, 2), n >= 1."""
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return Box(float(x0), float(y0), float(x1), float(y1))


def signed_polygon_area(points: Points) -> float:
    """Area of a closed polyline (n, 2), positive when it runs counter-clockwise in a y-up frame."""
    x, y = points.T
    return 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


@dataclass(frozen=True, slots=True)
class Affine:
    """x' = xx x + xy y + dx, y' = yx x + yy y + dy."""

    xx: float
    xy: float
    yx: float
    yy: float
    dx: float
    dy: float

    @classmethod
    def shift(cls, dx: float, dy: float = 0.0) -> Affine:
        """A move by (dx, dy)."""
        return cls(1.0, 0.0, 0.0, 1.0, dx, dy)

    @classmethod
    def scale(cls, x: float, y: float | None = None) -> Affine:
        """A scaling about the origin; `y` defaults to `x`, negative values mirror."""
        return cls(x, 0.0, 0.0, x if y is None else y, 0.0, 0.0)

    @property
    def matrix(self) -> Points:
        """The 3x3 matrix for column vectors (x, y, 1)."""
        return np.array([(self.xx, self.xy, self.dx), (self.yx, self.yy, self.dy), (0.0, 0.0, 1.0)])

    @property
    def determinant(self) -> float:
        """Factor on signed areas."""
        return self.xx * self.yy - self.xy * self.yx

    def point(self, p: Point) -> Point:
        """One point mapped."""
        return self.xx * p[0] + self.xy * p[1] + self.dx, self.yx * p[0] + self.yy * p[1] + self.dy

    def apply(self, points: Points) -> Points:
        """Points of shape (n, 2) mapped."""
        p = np.asarray(points, float)
        return np.column_stack(
            (
                self.xx * p[:, 0] + self.xy * p[:, 1] + self.dx,
                self.yx * p[:, 0] + self.yy * p[:, 1] + self.dy,
            )
        )

    def then(self, after: Affine) -> Affine:
        """First this map, then `after`."""
        m = after.matrix @ self.matrix
        return Affine(*(float(v) for v in (m[0, 0], m[0, 1], m[1, 0], m[1, 1], m[0, 2], m[1, 2])))

    def inverse(self) -> Affine:
        """The map back; raises ValueError for a map that flattens the plane."""
        if abs(self.determinant) < 1e-300:
            raise ValueError("this map flattens the plane and has no inverse")
        m = np.linalg.inv(self.matrix)
        return Affine(*(float(v) for v in (m[0, 0], m[0, 1], m[1, 0], m[1, 1], m[0, 2], m[1, 2])))


@dataclass(frozen=True, slots=True, eq=False)
class Homography:
    """A perspective map of the plane; `matrix` is 3x3 for column vectors (x, y, 1), read-only."""

    matrix: Points

    @classmethod
    def identity(cls) -> Homography:
        """The map that changes nothing."""
        return cls(frozen(np.eye(3)))

    @classmethod
    def from_affine(cls, affine: Affine) -> Homography:
        """An affine map as a homography."""
        return cls(frozen(affine.matrix))

    def apply(self, points: Points) -> Points:
        """Points of shape (n, 2) mapped."""
        p = np.asarray(points, float)
        q = np.column_stack((p, np.ones(len(p)))) @ self.matrix.T
        return q[:, :2] / q[:, 2:]

    def then(self, after: Homography) -> Homography:
        """First this map, then `after`."""
        m = after.matrix @ self.matrix
        return Homography(frozen(m / m[2, 2]))

    def inverse(self) -> Homography:
        """The map back; raises LinAlgError for a map that flattens the plane."""
        m = np.linalg.inv(self.matrix)
        return Homography(frozen(m / m[2, 2]))


class PlaneMap(Protocol):
    """A map of the plane that can be undone."""

    def apply(self, points: Points) -> Points:
        """Points of shape (n, 2) mapped."""
        ...

    def inverse(self) -> PlaneMap:
        """The map back."""
        ...


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """Maps one after the other, the first first."""

    links: tuple[PlaneMap, ...]

    def apply(self, points: Points) -> Points:
        """Points of shape (n, 2) mapped."""
        for link in self.links:
            points = link.apply(points)
        return points

    def inverse(self) -> Chain:
        """The map back."""
        return Chain(tuple(link.inverse() for link in reversed(self.links)))


def chained(*maps: PlaneMap) -> PlaneMap:
    """The maps as one; homographies beside each other become a single one."""
    links: list[PlaneMap] = []
    for m in maps:
        for link in m.links if isinstance(m, Chain) else (m,):
            last = links[-1] if links else None
            if isinstance(last, Homography) and isinstance(link, Homography):
                links[-1] = last.then(link)
            else:
                links.append(link)
    return links[0] if len(links) == 1 else Chain(tuple(links))


def angle_deg(start: Point, end: Point) -> float:
    """Slope of a line in pixel coordinates (y down), degrees, positive when the right end is higher."""
    (x0, y0), (x1, y1) = (start, end) if start[0] <= end[0] else (end, start)
    return math.degrees(math.atan2(y0 - y1, x1 - x0))
