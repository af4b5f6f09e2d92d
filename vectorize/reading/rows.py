"""The solid ink of a sheet comes in, the rows of lettering on it go out, top to bottom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box
from vectorize.raster import regions_of

# A part wider or higher than this share of the sheet is its edge, a fold or the shadow of something else.
FRAME = 0.97
# Lower parts, px, are no letters: what is solid ink is at least as high.
LOWEST_PX = 9
# The tallest part's height is this quantile of all heights, so that one stray mark does not tell it.
TALLEST = 0.9
# Parts lower than this share of the tallest part's height say nothing of a row of their own.
SMALL = 0.22
# Parts share a row when they overlap by this share of the lower one's height.
SHARED = 0.35
# Marks further apart than this many row heights are not one line of lettering.
FAR = 2.2


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One line of lettering, in px of the mask it was found in.

    box: around it. columns: (n,), the middle x of each inked column. heads, feet: (n,), y of the top of its topmost and of
    the foot of its lowest ink.
    """

    box: Box
    columns: NDArray[np.float64]
    heads: NDArray[np.float64]
    feet: NDArray[np.float64]

    @property
    def size(self) -> float:
        """How large the lettering is, px: its height, lessened a little where it is narrower than high."""
        narrow: float = min(1.0, self.box.width / max(self.box.height, 1.0)) ** 0.25
        return self.box.height * narrow

    def scaled(self, grow: float) -> Row:
        """The row in a frame with `grow` px to each px of its own."""
        box = Box(*(v * grow for v in (self.box.x0, self.box.y0, self.box.x1, self.box.y1)))
        return Row(box, self.columns * grow, self.heads * grow, self.feet * grow)


class _Part(NamedTuple):
    """A connected part: its box in px of the mask, and its label."""

    top: int
    bottom: int
    left: int
    right: int
    label: int

    @property
    def height(self) -> int:
        return self.bottom - self.top


def find_rows(solid: NDArray[np.bool_]) -> tuple[Row, ...]:
    """Rows of lettering in a bool mask (h, w), top to bottom; none where nothing stands."""
    regions = regions_of(solid, eight=True)
    found = (
        _Part(rows.start, rows.stop, columns.start, columns.stop, label)
        for label, (rows, columns) in enumerate(regions.windows(), start=1)
    )
    parts = [p for p in found if p.height >= LOWEST_PX and not _is_frame(p, solid.shape)]
    if not parts:
        return ()
    tallest = float(np.quantile([p.height for p in parts], TALLEST))
    big = [p for p in parts if p.height >= SMALL * tallest]
    groups = [g for band in _bands(big) for g in _runs(band)]
    rows = [_row(regions.labels, g) for g in groups]
    return tuple(sorted(rows, key=lambda r: r.box.y0))


def _is_frame(part: _Part, shape: tuple[int, ...]) -> bool:
    return part.right - part.left > FRAME * shape[1] or part.height > FRAME * shape[0]


def _bands(parts: Sequence[_Part]) -> list[list[_Part]]:
    """Parts gathered with the tallest ones that they overlap in height."""
    bands: list[list[_Part]] = []
    for part in sorted(parts, key=lambda p: -p.height):
        for band in bands:
            tallest = band[0]
            shared = min(tallest.bottom, part.bottom) - max(tallest.top, part.top)
            if shared > SHARED * part.height:
                band.append(part)
                break
        else:
            bands.append([part])
    return bands


def _runs(band: Sequence[_Part]) -> list[list[_Part]]:
    """A band broken where the white between its parts is far wider than the tallest of them is high."""
    first, *others = sorted(band, key=lambda p: p.left)
    height = max(p.height for p in band)
    runs, right = [[first]], first.right
    for part in others:
        if part.left - right > FAR * height:
            runs.append([])
        runs[-1].append(part)
        right = max(right, part.right)
    return runs


def _row(labels: NDArray[np.int32], group: Sequence[_Part]) -> Row:
    y0, y1 = min(p.top for p in group), max(p.bottom for p in group)
    x0, x1 = min(p.left for p in group), max(p.right for p in group)
    inked = np.isin(labels[y0:y1, x0:x1], [p.label for p in group])
    columns = np.flatnonzero(inked.any(axis=0))
    heads = y0 + inked[:, columns].argmax(axis=0)
    feet = y1 - inked[::-1, columns].argmax(axis=0)
    return Row(
        Box(float(x0), float(y0), float(x1), float(y1)),
        np.asarray(x0 + columns + 0.5, float),
        heads.astype(float),
        feet.astype(float),
    )
