"""A mask comes in, its connected parts go out, each with its box, its own mask and its area."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box
from vectorize.raster import depth_px, filled, regions_of

# A bar's mean depth is a quarter of its width, and a part of a pixel more: depths are counted to the middle of the first
# pixel beyond.
DEPTHS_TO_STROKE, BEYOND_PX = 4.0, 0.25


@dataclass(frozen=True, slots=True, eq=False)
class Blob:
    """A connected part of a mask.

    window: rows and columns of its box. mask: bool, the size of the window. area_px: how many pixels it has.
    """

    window: tuple[slice, slice]
    mask: NDArray[np.bool_]
    area_px: float

    @property
    def box(self) -> Box:
        """Its box in the frame of the mask that it was found in."""
        rows, columns = self.window
        return Box(float(columns.start), float(rows.start), float(columns.stop), float(rows.stop))

    def with_margin(self, margin_px: int, shape: tuple[int, ...]) -> tuple[tuple[slice, slice], NDArray[np.bool_]]:
        """Its window with a margin on each side, as far as a plane (h, w) reaches, and its mask in that window."""
        rows, columns = self.window
        top, left = max(0, rows.start - margin_px), max(0, columns.start - margin_px)
        window = slice(top, min(shape[0], rows.stop + margin_px)), slice(left, min(shape[1], columns.stop + margin_px))
        own = np.zeros((window[0].stop - top, window[1].stop - left), bool)
        own[rows.start - top : rows.stop - top, columns.start - left : columns.stop - left] = self.mask
        return window, own


def blobs_of(mask: NDArray[np.bool_], *, eight: bool = True) -> tuple[Blob, ...]:
    """Connected parts of a mask (h, w), 8-connected or 4-connected, in label order (top to bottom)."""
    regions = regions_of(mask, eight=eight)
    masks = ((w, regions.labels[w] == label) for label, w in enumerate(regions.windows(), start=1))
    return tuple(Blob(window, mask, float(np.count_nonzero(mask))) for window, mask in masks)


def letters_in(mask: NDArray[np.bool_], x_height_px: float) -> tuple[Blob, ...]:
    """The parts that may be letters by themselves, higher than half an x-height, in label order."""
    return tuple(b for b in blobs_of(mask) if b.mask.shape[0] > 0.5 * x_height_px)


def has_island(mask: NDArray[np.bool_]) -> bool:
    """Whether a connected mask goes all round something that is no fleck: a twentieth of its own area at least."""
    return bool(np.count_nonzero(filled(mask)) > 1.05 * np.count_nonzero(mask))


def half_width_px(mask: NDArray[np.bool_]) -> float:
    """Radius of the largest disc inside a mask."""
    return float(depth_px(np.pad(mask, 1)).max())


def mean_stroke_px(mask: NDArray[np.bool_]) -> float:
    """Mean width of the strokes of a mask (h, w): that of a bar of the same mean depth; 0 where nothing is of it."""
    inside = np.pad(mask, 1)
    depth = depth_px(inside)[inside]
    return DEPTHS_TO_STROKE * (float(depth.mean()) - BEYOND_PX) if depth.size else 0.0


def holes_of(mask: NDArray[np.bool_]) -> tuple[Blob, ...]:
    """Parts of the background that the mask encloses, 4-connected."""
    h, w = mask.shape
    return tuple(
        b
        for b in blobs_of(~mask, eight=False)
        if b.window[0].start > 0 and b.window[1].start > 0 and b.window[0].stop < h and b.window[1].stop < w
    )
