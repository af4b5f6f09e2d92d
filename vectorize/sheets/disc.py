"""A centre and a radius come in; out goes a disc of four cubics."""

from __future__ import annotations

from typing import Final

from vectorize.curves import Contour, Cubic
from vectorize.geometry import Point

# Handle of the quarter circle that is right at its ends and middle; off by 2.7e-4 of the radius between (Dokken et al.,
# Computer Aided Geometric Design 7 (1990)).
HANDLE: Final = 0.5522847498


def disc(centre: Point, radius: float) -> Contour:
    """A closed circle."""
    (x, y), r, h = centre, radius, radius * HANDLE
    right, top, left, low = (x + r, y), (x, y + r), (x - r, y), (x, y - r)
    return Contour(
        (
            Cubic(right, (x + r, y + h), (x + h, y + r), top),
            Cubic(top, (x - h, y + r), (x - r, y + h), left),
            Cubic(left, (x - r, y - h), (x - h, y - r), low),
            Cubic(low, (x + h, y - r), (x + r, y - h), right),
        )
    )
