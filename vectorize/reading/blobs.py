"""A mask comes in, its connected parts with box, area and depth go out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box
from vectorize.raster import depth_px, regions_of


@dataclass(frozen=True, slots=True, eq=False)
class Blob:
    """A connected part of a mask.

    number: its label. window: rows and columns of its box. mask: bool, the size of the window. area_px: its pixels.
    """

    number: int
    window: tuple[slice, slice]
    mask: NDArray[np.bool_]
    area_px: float

    @property
    def box(self) -> Box:
        """Its box in the frame of the mask that it was found in."""
        rows, columns = self.window
        return Box(float(columns.start), float(rows.start), float(columns.stop), float(rows.stop))


def blobs_of(mask: NDArray[np.bool_], *, eight: bool = True) -> tuple[Blob, ...]:
    """Connected parts of a mask (h, w), 8-connected or 4-connected, in label order (top to bottom)."""
    regions = regions_of(mask, eight=eight)
    return tuple(
        Blob(label, window, regions.region(label), float(area_px))
        for label, (window, area_px) in enumerate(zip(regions.windows, regions.areas_px, strict=True), start=1)
    )


def half_width_px(mask: NDArray[np.bool_]) -> float:
    """Radius of the largest disc inside a mask."""
    return float(depth_px(np.pad(mask, 1)).max())


def holes_of(mask: NDArray[np.bool_]) -> tuple[Blob, ...]:
    """Parts of the background that the mask encloses, 4-connected."""
    h, w = mask.shape
    return tuple(
        b
        for b in blobs_of(~mask, eight=False)
        if b.window[0].start > 0 and b.window[1].start > 0 and b.window[0].stop < h and b.window[1].stop < w
    )
