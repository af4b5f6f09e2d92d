"""A plane of pixels comes in; its neighbourhoods (means, blurs, extremes), connected regions and distances go out.

A plane is an array of shape (h, w), some with a few channels as a last axis; a row is one of shape (n,). Beyond its edge a
plane is mirrored, the outermost pixels twice (d c b a | a b c d), unless a function says otherwise. A ring is an array of
shape (n,) or (n, k): values at even steps along a closed contour, the last followed by the first. The work is OpenCV's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeAlias, TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import frozen

Window: TypeAlias = tuple[slice, slice]
Mask: TypeAlias = NDArray[np.bool_]
Ring: TypeAlias = NDArray[np.float64]
Real = TypeVar("Real", np.float32, np.float64)
Sample = TypeVar("Sample", np.uint8, np.float32)
Value = TypeVar("Value", np.bool_, np.uint8, np.float32, np.float64)

TRUNCATE = 4.0
"""Sigmas after which a Gaussian is cut off: what lies beyond is 6e-5 of it."""

# Weights that leave a direction as it is.
_AS_IT_IS = np.ones(1)
# So many rows of a large plane with their channels apart stay in a processor's cache.
_BAND_PX = 32
_CROSS = np.array([(0, 1, 0), (1, 1, 1), (0, 1, 0)], np.uint8)


def box_mean(plane: NDArray[Real], size: int | tuple[int, int]) -> NDArray[Real]:
    """The mean of the window around each pixel; size: its (rows, columns), or both. An even window begins early."""
    rows, columns = (size, size) if isinstance(size, int) else size
    return _real(cv2.boxFilter(plane, -1, (columns, rows), borderType=cv2.BORDER_REFLECT), plane)


def row_mean(row: NDArray[Real], size: int) -> NDArray[Real]:
    """`box_mean` of a row."""
    mean: NDArray[Real] = box_mean(row[None, :], (1, size))[0]
    return mean


def blurred(plane: NDArray[Real], sigma_px: float | tuple[float, float], truncate: float = TRUNCATE) -> NDArray[Real]:
    """The plane under a Gaussian; sigma_px: down and across, or both; 0 leaves a direction as it is."""
    down, across = (sigma_px, sigma_px) if isinstance(sigma_px, float | int) else sigma_px
    rows, columns = (_gaussian(s, truncate) for s in (down, across))
    return _real(cv2.sepFilter2D(plane, -1, columns, rows, borderType=cv2.BORDER_REFLECT), plane)


def ring_blurred(ring: Ring, sigma: float, truncate: float = TRUNCATE) -> Ring:
    """Values along a closed contour under a Gaussian of sigma places."""
    return _along(ring, _gaussian(sigma, truncate))


def ring_slope(ring: Ring, sigma: float, truncate: float = TRUNCATE) -> Ring:
    """The slope of what `ring_blurred` gives, per place along the ring; shape as the ring's. sigma > 0."""
    weights = _gaussian(sigma, truncate)
    reach = len(weights) // 2
    return _along(ring, weights * np.arange(-reach, reach + 1) / sigma**2)


def ring_mean(ring: Ring, size: int) -> Ring:
    """The mean of `size` places around each of the values along a closed contour; an even window begins early."""
    weights = np.zeros(2 * (size // 2) + 1)
    weights[:size] = 1.0 / size
    return _along(ring, weights)


def _along(ring: Ring, weights: NDArray[np.float64]) -> Ring:
    """Sums of a ring's values under an odd number of weights about each place."""
    reach = len(weights) // 2
    round_it = np.take(ring, np.arange(-reach, len(ring) + reach), axis=0, mode="wrap").astype(float)
    summed = cv2.sepFilter2D(round_it.reshape(len(round_it), -1), -1, _AS_IT_IS, weights)
    return np.asarray(summed[reach : reach + len(ring)], float).reshape(ring.shape)


def _gaussian(sigma: float, truncate: float) -> NDArray[np.float64]:
    reach = int(truncate * sigma + 0.5)
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / max(sigma, 1e-9)) ** 2)
    return np.asarray(weights / weights.sum())


def _real(filtered: Any, plane: NDArray[Real]) -> NDArray[Real]:
    """OpenCV's answer in the shape and type of what was asked about."""
    out: NDArray[Real] = np.asarray(filtered, plane.dtype).reshape(plane.shape)
    return out


def resized(plane: NDArray[Sample], size_px: tuple[int, int]) -> NDArray[Sample]:
    """The plane at another size (width, height): means of areas where it shrinks, between neighbours where it grows."""
    smaller = size_px[0] <= plane.shape[1] and size_px[1] <= plane.shape[0]
    found = cv2.resize(plane, size_px, interpolation=cv2.INTER_AREA if smaller else cv2.INTER_LINEAR)
    return np.asarray(found, plane.dtype)


def channels(plane: NDArray[Sample]) -> tuple[NDArray[Sample], ...]:
    """The channels of a plane (h, w, 3), each in one piece."""
    return tuple(np.asarray(c, plane.dtype) for c in cv2.split(plane))


def least_channel(plane: NDArray[Sample]) -> NDArray[Sample]:
    """The least of three channels (h, w, 3) at each pixel, (h, w)."""
    return _of_channels(cv2.min, plane)


def greatest_channel(plane: NDArray[Sample]) -> NDArray[Sample]:
    """The greatest of three channels (h, w, 3) at each pixel, (h, w)."""
    return _of_channels(cv2.max, plane)


def _of_channels(better: Callable[..., Any], plane: NDArray[Sample]) -> NDArray[Sample]:
    out = np.empty(plane.shape[:2], plane.dtype)
    for top in range(0, len(plane), _BAND_PX):
        a, b, c = channels(plane[top : top + _BAND_PX])
        out[top : top + _BAND_PX] = better(better(a, b), c)
    return out


def greatest(plane: NDArray[Value], size: int, axis: int | None = None) -> NDArray[Value]:
    """The greatest value within `size` pixels along an axis, along both where none is told; an even window begins early.

    The window ends at the plane's edge.
    """
    return _extreme(cv2.dilate, plane, size, axis, size // 2)


def least(plane: NDArray[Value], size: int, axis: int | None = None) -> NDArray[Value]:
    """The least value within `size` pixels, as `greatest`."""
    return _extreme(cv2.erode, plane, size, axis, size // 2)


def closed(plane: NDArray[Value], size: int, axis: int | None = None) -> NDArray[Value]:
    """The plane with its dark places that are narrower than `size` pixels filled: grey closing by a line or a square.

    J. Serra, Image Analysis and Mathematical Morphology, 1982.
    """
    return _extreme(cv2.erode, greatest(plane, size, axis), size, axis, size - 1 - size // 2)


def _extreme(
    better: Callable[..., Any], plane: NDArray[Value], size: int, axis: int | None, before: int
) -> NDArray[Value]:
    """before: how many pixels of the window lie before the one it is for."""
    seen: NDArray[Any] = plane.view(np.uint8) if plane.dtype == bool else plane
    rows, columns = (1 if axis == other else size for other in (1, 0))
    anchor = min(before, columns - 1), min(before, rows - 1)
    found = better(np.ascontiguousarray(seen), np.ones((rows, columns), np.uint8), anchor=anchor)
    return np.asarray(found).reshape(plane.shape).view(plane.dtype)


def spread(mask: Mask, steps: int = 1) -> Mask:
    """The mask and all that `steps` steps up, down, left or right lead to from it."""
    return _bool(cv2.dilate(_bytes(mask), _CROSS, iterations=steps))


def core(mask: Mask, steps: int = 1) -> Mask:
    """What is left of the mask when `steps` steps are taken from its edge; beyond the plane nothing is of it."""
    bare = cv2.erode(_bytes(mask), _CROSS, iterations=steps, borderType=cv2.BORDER_CONSTANT, borderValue=(0.0,))
    return _bool(bare)


def filled(mask: Mask) -> Mask:
    """The mask with its holes: all that no step up, down, left or right leads out of."""
    outside = cv2.copyMakeBorder(_bytes(mask), 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=(0.0,))
    cv2.floodFill(outside, None, (0, 0), (2.0,), flags=4)
    return np.asarray(outside[1:-1, 1:-1] != 2)


def depth_px(mask: Mask) -> NDArray[np.float32]:
    """Euclidean distance of each pixel of the mask to the nearest one not of it; nought elsewhere.

    Exact (P. Felzenszwalb and D. Huttenlocher, Distance Transforms of Sampled Functions, 2012). Where all pixels are of
    the mask there is no such distance, and it is infinite.
    """
    if mask.all():
        return np.full(mask.shape, np.inf, np.float32)
    return np.asarray(cv2.distanceTransform(_bytes(mask), cv2.DIST_L2, cv2.DIST_MASK_PRECISE), np.float32)


@dataclass(frozen=True, slots=True, eq=False)
class Regions:
    """The connected regions of a mask in the order of their first pixels, row by row.

    labels: int32 (h, w), 0 off the mask, then 1 to count.
    """

    labels: NDArray[np.int32]
    count: int

    def areas_px(self) -> NDArray[np.int64]:
        """Pixels of each region."""
        return np.bincount(self.labels.ravel(), minlength=self.count + 1)[1:]

    def largest(self) -> Mask:
        """The region of most pixels (h, w); the first of equals, nothing where there is none."""
        return np.asarray(self.labels == (1 + int(self.areas_px().argmax()) if self.count else -1))

    def windows(self) -> tuple[Window, ...]:
        """Rows and columns of the box of each region."""
        if not self.count:
            return ()
        # Runs along the rows, far fewer than pixels; each begins and ends where the label changes.
        labels = np.pad(self.labels, ((0, 0), (1, 1)))
        rows, columns = np.nonzero(labels[:, 1:] != labels[:, :-1])
        before, owner = labels[rows, columns], labels[rows, columns + 1]
        begins = owner > 0
        owner, rows, left, right = owner[begins], rows[begins], columns[begins], columns[before > 0]
        order = np.argsort(owner, kind="stable")
        first = np.searchsorted(owner[order], np.arange(1, self.count + 1))
        top, low = (better.reduceat(rows[order], first) for better in (np.minimum, np.maximum))
        left, right = np.minimum.reduceat(left[order], first), np.maximum.reduceat(right[order], first)
        edges = zip(*(v.tolist() for v in (top, low, left, right)), strict=True)
        return tuple((slice(t, b + 1), slice(x0, x1)) for t, b, x0, x1 in edges)


def regions_of(mask: Mask, *, eight: bool = False) -> Regions:
    """The connected regions of a mask: joined along sides, or (eight) at corners too."""
    if mask.size == 0:
        return Regions(frozen(np.zeros(mask.shape, np.int32)), 0)
    count, labels = cv2.connectedComponentsWithAlgorithm(_bytes(mask), 8 if eight else 4, cv2.CV_32S, cv2.CCL_SAUF)
    return Regions(frozen(np.asarray(labels, np.int32)), count - 1)


def window_of(mask: Mask) -> Window | None:
    """Rows and columns of the box around a mask; None where it is empty."""
    x, y, w, h = cv2.boundingRect(_bytes(mask))
    return (slice(y, y + h), slice(x, x + w)) if w else None


def otsu(values: NDArray[Any]) -> float:
    """The value that parts a sample of any shape into two classes best.

    N. Otsu, A Threshold Selection Method from Gray-Level Histograms, IEEE Trans. SMC 9 (1979), over 256 steps from the
    least value to the greatest.
    """
    low, high = float(values.min()), float(values.max())
    if high == low:
        return low
    levels = np.minimum((values - low) * (256.0 / (high - low)), 255.0).astype(np.uint8)
    at, _ = cv2.threshold(np.ascontiguousarray(levels).reshape(1, -1), 0, 255, cv2.THRESH_OTSU)
    return low + (at + 0.5) / 256.0 * (high - low)


def _bytes(mask: Mask) -> NDArray[np.uint8]:
    return np.ascontiguousarray(mask).view(np.uint8)


def _bool(found: Any) -> Mask:
    return np.asarray(found, np.uint8).view(np.bool_)
