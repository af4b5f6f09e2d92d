"""A Paper comes in; out goes the Paper without its punched holes: the desk seen through them is no drawing.

Holes for a spiral or a binder are round, all of one size, in a row at one pitch along a side, which letters never are.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box, PlaneMap, Points, frozen
from vectorize.raster import least_channel, regions_of
from vectorize.reading.records import Paper

DARK = 0.2
"""Absorbance at which the desk shows; a hole over a paler desk is no darker than a guideline and does no harm."""
SMALLEST, LARGEST = 0.006, 0.035
"""Of the sheet's long side: 2 mm and 10 mm on A4. Spirals take 3 to 5 mm, binders 6 mm (ISO 838)."""
NEAR_SIDE = 0.07
"""Of the sheet's long side; ISO 838 puts a hole's middle 12 mm from the side."""
LEAST, LEAST_SPAN = 4, 0.5
"""So many in a row, over so much of the side."""
ROUND, FULL = 1.5, 0.6
"""Greatest ratio of width to height either way; share of its box that a disc fills is pi / 4."""
ALIKE, IN_LINE, PITCH, EVEN = 0.3, 0.35, 0.15, 0.8
"""Share by which sizes differ; share of the size that middles lie off a line; share of the pitch by which steps differ
from whole ones, and share of the steps that do not differ by more."""
RIM = 0.4
"""Of a hole's size: its edge, its shadow, and paper torn beside it."""


def without_holes(paper: Paper) -> Paper:
    """The same paper with its rows of holes noted and taken out of the overview."""
    discs = _discs(paper.overview)
    if len(discs) < LEAST:
        return paper
    height, width = paper.overview.shape[:2]
    holes = [h for side in range(4) for h in _row(discs, side, (width, height))]
    if not holes:
        return paper
    overview = paper.overview.copy()
    for x0, y0, x1, y1 in holes:
        overview[max(0, int(y0)) : int(y1) + 2, max(0, int(x0)) : int(x1) + 2] = 0.0
    k = 1.0 / paper.overview_scale
    return replace(paper, overview=frozen(overview), holes=tuple(Box(*(v * k for v in h)) for h in holes))


def keep_off(
    within: NDArray[np.bool_] | None, holes: tuple[Box, ...], to_sheet: PlaneMap, size_px: tuple[int, int]
) -> NDArray[np.bool_] | None:
    """`within`, bool (h, w) of a region, False also where `to_sheet` (region px -> sheet px) leads into a hole."""
    if not holes:
        return within
    inside = np.ones(size_px[::-1], bool) if within is None else within.copy()
    back = to_sheet.inverse()
    for hole in holes:
        corners: Points = back.apply(hole.corners)
        (x0, y0), (x1, y1) = np.floor(corners.min(axis=0)), np.ceil(corners.max(axis=0))
        if x1 > 0 and y1 > 0:
            inside[max(0, int(y0)) : int(y1), max(0, int(x0)) : int(x1)] = False
    return inside


def _discs(overview: NDArray[np.float32]) -> Points:
    """Boxes (n, 4) x0 y0 x1 y1 in overview px of round dark patches as large as holes."""
    regions = regions_of(least_channel(overview) > DARK)
    long = max(overview.shape[:2])
    boxes = []
    for (rows, columns), area_px in zip(regions.windows(), regions.areas_px().tolist(), strict=True):
        w, h = columns.stop - columns.start, rows.stop - rows.start
        fits = SMALLEST * long <= min(w, h) and max(w, h) <= LARGEST * long
        if fits and max(w, h) <= ROUND * min(w, h) and area_px >= FULL * w * h:
            boxes.append((columns.start, rows.start, columns.stop, rows.stop))
    return np.array(boxes, float).reshape(-1, 4)


def _row(discs: Points, side: int, size_px: tuple[int, int]) -> list[tuple[float, float, float, float]]:
    """The boxes, with their rims, of a row of holes along a side (0 left, 1 top, 2 right, 3 lower); [] where there is none."""
    axis = side % 2
    middle = np.column_stack(((discs[:, 0] + discs[:, 2]) / 2, (discs[:, 1] + discs[:, 3]) / 2))
    across = middle[:, axis] if side < 2 else size_px[axis] - middle[:, axis]
    near = np.flatnonzero(across < NEAR_SIDE * max(size_px))
    if len(near) < LEAST:
        return []
    sizes = np.sqrt((discs[near, 2] - discs[near, 0]) * (discs[near, 3] - discs[near, 1]))
    size = float(np.median(sizes))
    own = near[np.abs(sizes - size) < ALIKE * size]
    own = own[np.argsort(middle[own, 1 - axis])]
    along = middle[own, 1 - axis]
    if len(own) < LEAST or np.ptp(along) < LEAST_SPAN * size_px[1 - axis]:
        return []
    off = np.abs(across[own] - np.polyval(np.polyfit(along, across[own], 1), along))
    steps = np.array([b - a for a, b in pairwise(along)])
    pitch = float(np.median(steps))
    even = np.abs(steps / pitch - np.maximum(1.0, np.rint(steps / pitch))) < PITCH
    if float(np.median(off)) > IN_LINE * size or off.max() > size or even.mean() < EVEN:
        return []
    grown = discs[own] + np.array((-RIM, -RIM, RIM, RIM)) * size
    return [(float(x0), float(y0), float(x1), float(y1)) for x0, y0, x1, y1 in grown]
