"""The solid ink of a sheet comes in, the rows of lettering on it go out, top to bottom."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box
from vectorize.raster import regions_of

# Parts lower than this share of the tallest part's height say nothing of a row of their own.
SMALL = 0.22
# Parts share a row when they overlap by this share of the lower one's height.
SHARED = 0.35
# Marks further apart than this many row heights are not one line of lettering.
FAR = 2.2


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One line of lettering: its box, and for each inked column x its topmost and lowest ink; px of the map given."""

    box: Box
    columns: NDArray[np.float64]
    heads: NDArray[np.float64]
    feet: NDArray[np.float64]
    area: float

    @property
    def size(self) -> float:
        """How large the lettering is: its height, weighed a little by how much of it there is."""
        narrow: float = min(1.0, self.box.width / max(self.box.height, 1.0)) ** 0.25
        return self.box.height * narrow


def find_rows(solid: NDArray[np.bool_]) -> tuple[Row, ...]:
    """Rows of lettering in a bool mask (h, w), top to bottom; none where nothing stands."""
    found = regions_of(solid, eight=True)
    h, w = solid.shape
    parts = [
        (s[0].start, s[0].stop, s[1].start, s[1].stop, i + 1)
        for i, s in enumerate(found.windows)
        if not _is_frame(s, h, w) and s[0].stop - s[0].start >= 9
    ]
    if not parts:
        return ()
    tallest = float(np.quantile([p[1] - p[0] for p in parts], 0.9))
    big = [p for p in parts if p[1] - p[0] >= SMALL * tallest]
    groups = [g for band in _bands(big) for g in _runs(band)]
    rows = [_row(found.labels, g) for g in groups]
    return tuple(sorted(rows, key=lambda r: r.box.y0))


def _is_frame(s: tuple[slice, slice], h: int, w: int) -> bool:
    """A part as wide or as high as the sheet is its edge, a fold or the shadow of something else."""
    return bool(s[1].stop - s[1].start > 0.97 * w or s[0].stop - s[0].start > 0.97 * h)


def _bands(parts: list[tuple[int, int, int, int, int]]) -> list[list[tuple[int, int, int, int, int]]]:
    """Parts gathered where they overlap in height, the tallest first."""
    bands: list[list[tuple[int, int, int, int, int]]] = []
    spans: list[tuple[float, float]] = []
    for p in sorted(parts, key=lambda q: q[0] - q[1]):
        for k, (top, bottom) in enumerate(spans):
            shared = min(bottom, p[1]) - max(top, p[0])
            if shared > SHARED * min(p[1] - p[0], bottom - top):
                bands[k].append(p)
                break
        else:
            bands.append([p])
            spans.append((p[0], p[1]))
    return bands


def _runs(band: list[tuple[int, int, int, int, int]]) -> list[list[tuple[int, int, int, int, int]]]:
    """A band broken where the white between its parts is far wider than it is high."""
    band = sorted(band, key=lambda p: p[2])
    height = max(p[1] - p[0] for p in band)
    runs, right = [[band[0]]], band[0][3]
    for p in band[1:]:
        if p[2] - right > FAR * height:
            runs.append([])
        runs[-1].append(p)
        right = max(right, p[3])
    return runs


def _row(labels: NDArray[np.int32], group: list[tuple[int, int, int, int, int]]) -> Row:
    y0, y1 = min(p[0] for p in group), max(p[1] for p in group)
    x0, x1 = min(p[2] for p in group), max(p[3] for p in group)
    part = np.isin(labels[y0:y1, x0:x1], [p[4] for p in group])
    columns = np.flatnonzero(part.any(axis=0))
    heads = y0 + part[:, columns].argmax(axis=0)
    feet = y1 - part[::-1, columns].argmax(axis=0)
    return Row(
        Box(float(x0), float(y0), float(x1), float(y1)),
        np.asarray(x0 + columns + 0.5, float),
        heads.astype(float),
        feet.astype(float),
        float(part.sum()),
    )
