"""The coverage of one letter comes in, its closed edges go out: potrace finds them, the grey of the ink places them.

Potrace (P. Selinger, Potrace: a polygon-based tracing algorithm, 2003, section 2.1) decomposes the ink into closed
paths along pixel edges. Each step of a path parts an inked pixel from a white one; the place between their two
centres where the coverage passes one half is the edge to a fraction of a pixel (the vertices of marching squares).
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from potrace.potrace import bm_to_pathlist

from vectorize.geometry import Affine, Points, signed_polygon_area
from vectorize.outlines.ring import Ring, resampled
from vectorize.raster import blurred

# Pixels of white put around the patch, beside those the smoothing reaches: the path search looks one pixel out.
_MARGIN_PX = 2


class _Corner(Protocol):
    x: int
    y: int


class _Path(Protocol):
    pt: list[_Corner]
    sign: bool


def edges_of(
    coverage: NDArray[np.float32], to_x_heights: Affine, sigma_px: float, speck: float, step: float
) -> list[Ring]:
    """The edges of the ink, biggest first; outer ones counter-clockwise, counters clockwise.

    coverage: (h, w), 0 to 1. to_x_heights: pixels of the patch (centres at +0.5) -> x-heights, y up.
    sigma_px: smoothing of the ink. speck: side in x-heights of the smallest edge kept. step: spacing in x-heights.
    """
    reach = _MARGIN_PX + int(3 * sigma_px + 1)
    ink = blurred(np.pad(np.nan_to_num(coverage.astype(np.float64)), reach), sigma_px, truncate=3.0)
    inside = ink > 0.5
    if not inside.any():
        return []
    smallest = speck**2 / abs(to_x_heights.determinant)
    found = []
    for path in bm_to_pathlist(inside.copy(), turdsize=int(smallest)):
        points = to_x_heights.apply(_level_line(path, ink) - reach)
        area = signed_polygon_area(points)
        if abs(area) > speck**2:
            found.append((abs(area), points if (area > 0.0) == bool(path.sign) else points[::-1]))
    return [resampled(points, step) for _, points in sorted(found, key=lambda f: -f[0])]


def _level_line(path: _Path, ink: NDArray[np.float64]) -> Points:
    """Where the coverage passes one half beside each step of the path; px of `ink`, shape (n, 2)."""
    corner = np.array([(p.x, p.y) for p in path.pt], dtype=int)
    nxt = np.roll(corner, -1, axis=0)
    low = np.minimum(corner, nxt)
    level_step = (corner[:, 1] == nxt[:, 1]).astype(int)
    a = low - np.column_stack((1 - level_step, level_step))
    va, vb = ink[a[:, 1], a[:, 0]], ink[low[:, 1], low[:, 0]]
    share = (0.5 - va) / (vb - va)
    return np.asarray(a + 0.5 + (low - a) * share[:, None])
