"""A mask comes in, its connected parts with box, area and depth go out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from vectorize.geometry import Box

EIGHT = np.ones((3, 3), int)


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
    labels, _ = ndimage.label(mask, EIGHT if eight else None)
    found = []
    for number, window in enumerate(ndimage.find_objects(labels), start=1):
        inside = labels[window] == number
        found.append(Blob(number, window, inside, float(np.count_nonzero(inside))))
    return tuple(found)


def half_width_px(mask: NDArray[np.bool_]) -> float:
    """Radius of the largest disc inside a mask."""
    return float(ndimage.distance_transform_edt(np.pad(mask, 1)).max())


def holes_of(mask: NDArray[np.bool_]) -> tuple[Blob, ...]:
    """Parts of the background that the mask encloses, 4-connected."""
    h, w = mask.shape
    return tuple(
        b
        for b in blobs_of(~mask, eight=False)
        if b.window[0].start > 0 and b.window[1].start > 0 and b.window[0].stop < h and b.window[1].stop < w
    )
