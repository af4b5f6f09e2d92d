"""A plane comes in; out goes the greatest or least value in the window around each pixel, by whole rows at a time.

The window ends at the plane's edge. For windows of few pixels this is several times as fast as a filter that passes
from pixel to pixel.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Value = TypeVar("Value", np.bool_, np.uint8, np.int32, np.float32, np.float64)


def greatest(plane: NDArray[Value], size: int, axis: int | None = None) -> NDArray[Value]:
    """The greatest value within `size` pixels along an axis, along both where none is told; an even window begins early."""
    return _over(np.maximum, plane, size, axis)


def least(plane: NDArray[Value], size: int, axis: int | None = None) -> NDArray[Value]:
    """The least value within `size` pixels along an axis, along both where none is told; an even window begins early."""
    return _over(np.minimum, plane, size, axis)


def _over(better: np.ufunc, plane: NDArray[Value], size: int, axis: int | None) -> NDArray[Value]:
    for a in (0, 1) if axis is None else (axis,):
        plane = _along(better, plane, size, a)
    return plane


def _along(better: np.ufunc, plane: NDArray[Value], size: int, axis: int) -> NDArray[Value]:
    """A window is doubled as long as it fits; two of these, overlapping, make the whole one."""
    out = plane.copy()
    for forward, reach in ((True, (size - 1) // 2), (False, size // 2)):
        done = 0
        while done < reach:
            step = min(done + 1, reach - done)
            ahead = (slice(step, None), slice(None, -step)) if forward else (slice(None, -step), slice(step, None))
            source, target = ((k, slice(None)) if axis == 0 else (slice(None), k) for k in ahead)
            better(out[target], out[source].copy(), out=out[target])
            done += step
    return out
