"""The cuts between touching letters come in; out they go where both letters look most like themselves.

A first cut follows the narrowest neck, which is seldom where the edge of a stem runs when two stems have run together.
"""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.blobs import holes_of
from vectorize.reading.looks import COLUMNS, ROWS, distances, grid, known_forms, rows_of_ink
from vectorize.reading.matching import Atom, Span, cut_cost, looks_cost, width_cost
from vectorize.reading.parting import LEANS, Cut, between, body_mask
from vectorize.reading.parts import Piece
from vectorize.trade.ink import SMALLEST_COUNTER_RATIO
from vectorize.trade.letter_shapes import Shape

# How far a cut may move, and by what steps, x-heights.
REACH, STEP = 0.18, 0.03
# Nothing narrower than this share of a stroke is a letter.
NARROWEST = 0.6


def settled_cuts(
    pieces: tuple[Piece, ...],
    atoms: tuple[Atom, ...],
    spans: tuple[Span, ...],
    pencil: NDArray[np.float32],
    frame: tuple[float, float],
) -> dict[Cut | None, Cut | None]:
    """Every cut of the atoms, those between two of the spans bettered.

    frame: baseline and x-height, px.
    """
    better: dict[Cut | None, Cut | None] = {c: c for a in atoms for c in (a.left, a.right)}
    for a, b in itertools.pairwise(spans):
        cut = atoms[a.last].right
        if cut is None or atoms[a.first].piece != atoms[b.last].piece:
            continue
        ends = better[atoms[a.first].left], atoms[b.last].right
        better[cut] = _better(pieces[atoms[a.last].piece], cut, ends, (a.shape, b.shape), pencil, frame)
    return better


def _better(
    piece: Piece,
    cut: Cut,
    ends: tuple[Cut | None, Cut | None],
    shapes: tuple[Shape, Shape],
    pencil: NDArray[np.float32],
    frame: tuple[float, float],
) -> Cut:
    mask, top, left = body_mask(piece)
    both = mask & between(mask.shape, (top, left), *ends)
    columns = np.flatnonzero(both.any(axis=0))
    left += int(columns[0])
    both = both[:, columns[0] : columns[-1] + 1]
    marked = both * pencil[top : top + both.shape[0], left : left + both.shape[1]]
    steps = np.arange(-REACH, REACH + STEP / 2, STEP) * frame[1]
    tried = [cut, *(_cut(cut, cut.x_px + s, lean, both, marked, left) for s in steps for lean in LEANS)]
    halves = [
        (both & between(both.shape, (top, left), None, c), both & between(both.shape, (top, left), c, None))
        for c in tried
    ]
    seen = np.array([_picture(h, top, frame) for pair in halves for h in pair])
    looks = looks_cost(distances(seen)).reshape(len(tried), 2, -1)
    widths = np.array([[_width(h) for h in pair] for pair in halves])
    costs = [_odd(looks[:, side], widths[:, side] / frame[1], shape) for side, shape in enumerate(shapes)]
    total = costs[0] + costs[1] + np.array([cut_cost(c, frame[1]) for c in tried])
    slim = widths.min(axis=1) < NARROWEST * cut.stroke_px
    best = int(np.argmin(np.where(slim, np.inf, total)))
    # A better look is not bought with the white between the letters closed into a counter.
    return tried[best] if _closed(halves[best], shapes, frame[1]) <= _closed(halves[0], shapes, frame[1]) else cut


def _closed(
    halves: tuple[NDArray[np.bool_], NDArray[np.bool_]], shapes: tuple[Shape, Shape], x_height_px: float
) -> int:
    """How many counters the halves have more than their letters."""
    least = (SMALLEST_COUNTER_RATIO * x_height_px) ** 2
    seen = [sum(h.area_px > least for h in holes_of(np.pad(half, 1))) for half in halves]
    return sum(max(0, n - max(shape.counters)) for n, shape in zip(seen, shapes, strict=True))


def _cut(cut: Cut, x_px: float, lean: float, mask: NDArray[np.bool_], marked: NDArray[np.float32], left: int) -> Cut:
    """The cut moved to x_px and a lean, measured anew."""
    rows = np.arange(mask.shape[0])
    columns = np.floor(x_px + lean * (rows + 0.5 - mask.shape[0] / 2.0) - left).astype(int)
    inside = (columns >= 0) & (columns < mask.shape[1])
    columns = np.clip(columns, 0, mask.shape[1] - 1)
    way = mask[rows, columns] & inside
    neck = float((marked[rows, columns] * inside).sum())
    runs = int(np.count_nonzero(np.diff(way.astype(int), prepend=0) > 0))
    return Cut(x_px, cut.y_px, lean, neck, runs, cut.stroke_px)


def _odd(looks: NDArray[np.float32], width: NDArray[np.float64], shape: Shape) -> NDArray[np.float64]:
    """What is unlikely about halves (n,) with looks (n, letters) and a width in x-heights being a letter."""
    known = known_forms().letters
    seen = looks[:, known.index(shape.base)] if shape.base in known else np.zeros(len(width))
    return np.asarray(seen + width_cost(width, np.array([shape.width_ratio]), np.array([shape.spread]))[:, 0])


def _width(mask: NDArray[np.bool_]) -> float:
    columns = np.flatnonzero(mask.any(axis=0))
    return float(columns[-1] + 1 - columns[0]) if columns.size else 0.0


def _picture(mask: NDArray[np.bool_], top: int, frame: tuple[float, float]) -> NDArray[np.float32]:
    columns = np.flatnonzero(mask.any(axis=0))
    if not columns.size:
        return np.zeros(ROWS * COLUMNS, np.float32)
    own = mask[:, columns[0] : columns[-1] + 1]
    rows = rows_of_ink(own, float(top), *frame)
    total = np.vstack((np.zeros((1, ROWS), np.float32), np.cumsum(rows.T, axis=0)))
    return grid(total, 0.0, float(own.shape[1]))
