"""A piece of lettering comes in, the lines along which touching letters could be parted go out.

Where two letters touch the ink has a neck: a short straight cut, upright or leaning a little, crosses it. Letters that
nearly touch have run together in the evened ink, but the pencil's own darkness still shows a white line between them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import least, row_mean
from vectorize.reading.parts import Piece

# Leans of a cut that are tried, as dx/dy: the sides of letters that lean or bulge.
LEANS = (-0.3, -0.2, -0.1, 0.0, 0.1, 0.2, 0.3)
# A cut that leans by 1 must save this many x-heights of ink.
UPRIGHT = 0.15
# A neck is the least of all cuts within this many x-heights on either side.
NECK_REACH = 0.05
# Two stems that have run together: as tall as this in x-heights, as broad as this in strokes.
FUSED_HEIGHT, FUSED_STROKES = 0.8, 1.0
# No letter is narrower than this many x-heights.
NARROWEST = 0.10
# Nobody takes a cut through more ink than this, in x-heights.
LONGEST_CUT = 1.6


@dataclass(frozen=True, slots=True)
class Cut:
    """A straight cut through a piece: x = x_px + lean (y - y_px).

    neck_px: pencil that it crosses (of `cuts_of`: the mean of three columns, and what the lean costs).
    runs: how often it enters the ink. stroke_px: width of the piece's broadest strokes.
    """

    x_px: float
    y_px: float
    lean: float
    neck_px: float
    runs: int
    stroke_px: float

    def at(self, rows: NDArray[np.float64]) -> NDArray[np.float64]:
        """Where the cut stands at each y."""
        return self.x_px + self.lean * (rows - self.y_px)


def body_mask(piece: Piece) -> tuple[NDArray[np.bool_], int, int]:
    """The bodies of a piece in one mask, with the strip row and column of its corner."""
    box = piece.body
    top, left = int(box.y0), int(box.x0)
    mask = np.zeros((int(box.y1) - top, int(box.x1) - left), bool)
    for part in piece.bodies:
        rows, columns = part.blob.window
        mask[rows.start - top : rows.stop - top, columns.start - left : columns.stop - left] |= part.blob.mask
    return mask, top, left


def between(shape: tuple[int, int], corner: tuple[int, int], left: Cut | None, right: Cut | None) -> NDArray[np.bool_]:
    """Pixels of a window right of one cut and left of another; bool of `shape`."""
    rows: NDArray[np.float64] = corner[0] + np.arange(shape[0], dtype=np.float64) + 0.5
    columns = corner[1] + np.arange(shape[1]) + 0.5
    inside = np.ones(shape, bool)
    if left is not None:
        inside &= columns[None, :] >= left.at(rows)[:, None]
    if right is not None:
        inside &= columns[None, :] < right.at(rows)[:, None]
    return inside


def cuts_of(piece: Piece, pencil: NDArray[np.float32], x_height_px: float) -> tuple[Cut, ...]:
    """Possible cuts from left to right.

    pencil: strip (h, w), 1 where the pencil itself has darkened the paper, 0 where not, nothing evened.
    """
    mask, top, left = body_mask(piece)
    h, w = mask.shape
    margin = max(2, round(NARROWEST * x_height_px))
    if w < 3 * margin:
        return ()
    marked = mask * pencil[top : top + h, left : left + w]
    necks = np.stack([_sheared(marked, lean).sum(axis=0) for lean in LEANS])
    # Of equal necks the most upright cut is taken.
    necks += UPRIGHT * x_height_px * np.abs(np.array(LEANS))[:, None]
    narrow, which = row_mean(necks.min(axis=0), 3), necks.argmin(axis=0)
    lowest = least(narrow[None, :], 2 * round(NECK_REACH * x_height_px) + 1, axis=1)[0]
    at = np.flatnonzero((narrow <= lowest) & (narrow < LONGEST_CUT * x_height_px))
    at = at[(at >= margin) & (at < w - margin)]
    stroke = max(1.0, *(p.stroke_px for p in piece.bodies))
    upright = LEANS.index(0.0)
    fused = _fused(necks[upright], stroke, x_height_px)
    narrow[fused], which[fused] = necks[upright, fused], upright
    at = np.union1d(at, fused)
    cuts = []
    for run in np.split(at, np.flatnonzero(np.diff(at) > 1) + 1) if at.size else ():
        x = int(run[len(run) // 2])
        lean = LEANS[int(which[x])]
        way = _sheared(mask.astype(np.float32), lean)[:, x]
        runs = int(np.count_nonzero(np.diff(np.concatenate(([0.0], way))) > 0))
        cuts.append(Cut(left + x + 0.5, top + h / 2.0, lean, float(narrow[x]), runs, stroke))
    return tuple(cuts)


def _fused(necks: NDArray[np.float64], stroke_px: float, x_height_px: float) -> NDArray[np.intp]:
    """Middles of uprights so broad that two stems may have run together."""
    tall = np.concatenate(([False], necks > FUSED_HEIGHT * x_height_px, [False]))
    starts, ends = np.flatnonzero(np.diff(tall.astype(int)) == 1), np.flatnonzero(np.diff(tall.astype(int)) == -1)
    broad = ends - starts > FUSED_STROKES * stroke_px
    return (starts[broad] + ends[broad]) // 2


def _sheared(mask: NDArray[np.float32], lean: float) -> NDArray[np.float32]:
    """Columns of the result run along the lean through the same column at mid-height."""
    h, w = mask.shape
    shift = np.round(lean * (np.arange(h) + 0.5 - h / 2.0)).astype(int)
    columns = np.arange(w)[None, :] + shift[:, None]
    inside = (columns >= 0) & (columns < w)
    return np.asarray(np.take_along_axis(mask, np.clip(columns, 0, w - 1), axis=1) * inside)
