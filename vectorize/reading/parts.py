"""Coverage comes in, the pieces of lettering from left to right go out: connected parts with their marks, the rest left out.

A piece is what could be one letter: a body, the dots and accents above it, and fragments that lie over one another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Box
from vectorize.reading.blobs import Blob, blobs_of, holes_of, mean_stroke_px
from vectorize.trade.ink import (
    BODY_OVERLAP_SHARE,
    MARK_HEIGHT_RATIO,
    MARK_OVERLAP_SHARE,
    MARK_REACH_RATIO,
    SMALL_SIGN_RATIO,
    SMALLEST_DOT_RATIO,
    SMALLEST_DOT_SHARE,
    STRANGER_STROKE_SHARE,
)

# A fragment has broken off this near to its letter, in x-heights.
FRAGMENT_GAP = 0.06
# A stroke is measured in a part thinned out to so many px of its narrower side.
THINNED_PX = 60
# A letter is at least so high and, with ascender or descender, at most, in x-heights; its ink is no less, in their squares.
TALL, TALLEST, LEAST_INK = 0.5, 2.4, 0.03
# A mark is lower than its letter by this factor, and no wider than this many x-heights.
LOWER_THAN_BODY, WIDEST_MARK = 1.2, 0.9
# A mark reaches this far into its letter's height at most; it hangs no further above it than this, and below; x-heights.
DIPS, HIGHEST_ABOVE, LOWEST_BELOW = 0.12, 0.7, 0.45
# A full stop stands this near to the baseline, in x-heights, and is at least this share of a stroke broad.
STANDS, STOP_BREADTH = 0.15, 0.7
# Marks and ascenders lie within so many x-heights above the middle of the row of letters, descenders below.
ROW_ABOVE, ROW_BELOW = 1.9, 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A connected part of the ink: its blob in the strip and the mean width of its stroke in px."""

    blob: Blob
    stroke_px: float

    @property
    def box(self) -> Box:
        """Its box in strip px."""
        return self.blob.box


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """Body parts and marks that belong together; `marks` stand apart above or below the body."""

    bodies: tuple[Part, ...]
    marks: tuple[Part, ...] = ()

    @property
    def body(self) -> Box:
        """The box around the bodies alone."""
        box = self.bodies[0].box
        for part in self.bodies[1:]:
            box = box.joined(part.box)
        return box

    @property
    def parts(self) -> tuple[Part, ...]:
        """Bodies and marks."""
        return (*self.bodies, *self.marks)


def parts_of(mask: NDArray[np.bool_]) -> tuple[Part, ...]:
    """All connected parts of a mask (h, w)."""
    return tuple(Part(b, _thinned_stroke_px(b.mask)) for b in blobs_of(mask))


def lettering(
    parts: tuple[Part, ...], shape: tuple[int, int], baseline_px: float, x_height_px: float
) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """The parts that are lettering, and those that are not: thin writing and arrows, what the strip's edge cuts."""
    whole = [p for p in parts if not _is_cut_off(p, shape, x_height_px)]
    tall = [p for p in whole if p.box.height > TALL * x_height_px]
    if not tall:
        return (), parts
    weights = np.array([p.blob.area_px for p in tall])
    strokes = np.array([p.stroke_px for p in tall])
    order = np.argsort(strokes)
    middle = np.searchsorted(np.cumsum(weights[order]), weights.sum() / 2)
    usual = float(strokes[order][middle])
    own = [p for p in whole if p.stroke_px > STRANGER_STROKE_SHARE * usual or _is_mark_of(p, tall, x_height_px)]
    row = _row(own, x_height_px)
    inside = [
        p
        for p in own
        if p.box.y0 < row[1] and p.box.y1 > row[0] and not _is_speck(p, own, usual, baseline_px, x_height_px)
    ]
    return tuple(inside), tuple(p for p in parts if p not in inside)


def pieces_of(parts: tuple[Part, ...], x_height_px: float) -> tuple[Piece, ...]:
    """Parts joined into pieces in reading order."""
    bodies = [p for p in parts if not _is_mark_of(p, list(parts), x_height_px)]
    marks = [p for p in parts if p not in bodies]
    pieces = _overlapping_joined(_fragments_joined(bodies, x_height_px))
    for mark in marks:
        at = max(range(len(pieces)), key=lambda i: _bond(mark, pieces[i], x_height_px))
        pieces[at] = replace(pieces[at], marks=(*pieces[at].marks, mark))
    return tuple(sorted(pieces, key=lambda p: p.body.centre[0]))


def counters_in(piece: Piece, x0: float, x1: float) -> int:
    """Counters of a piece whose middle lies from x0 to before x1, strip px."""
    count = 0
    for part in piece.bodies:
        for hole in holes_of(np.pad(part.blob.mask, 1)):
            middle = part.box.x0 - 1 + hole.box.centre[0]
            count += x0 <= middle < x1
    return count


def _thinned_stroke_px(mask: NDArray[np.bool_]) -> float:
    step: int = max(1, min(mask.shape) // THINNED_PX)
    return mean_stroke_px(mask[::step, ::step]) * step


def _is_cut_off(part: Part, shape: tuple[int, int], x_height_px: float) -> bool:
    """It touches the strip's edge and is bigger or smaller than a letter could be."""
    box = part.box
    touches = box.x0 <= 0 or box.y0 <= 0 or box.x1 >= shape[1] or box.y1 >= shape[0]
    height, area = box.height / x_height_px, part.blob.area_px / x_height_px**2
    odd = height > TALLEST or height < TALL or area < LEAST_INK
    along = (box.x0 <= 0 or box.x1 >= shape[1]) and (box.y0 <= 0 or box.y1 >= shape[0])
    return touches and (odd or along)


def _is_speck(part: Part, parts: list[Part], usual_px: float, baseline_px: float, x_height_px: float) -> bool:
    """A small part that is no mark of a letter, no fragment of one, and no full stop: those are broad and on the baseline."""
    small = SMALL_SIGN_RATIO * x_height_px
    if max(part.box.width, part.box.height) > small:
        return False
    if part.blob.area_px < (SMALLEST_DOT_RATIO * x_height_px) ** 2:
        return True
    if _is_mark_of(part, parts, x_height_px):
        return part.blob.area_px < (SMALLEST_DOT_SHARE * usual_px) ** 2
    tall = [p for p in parts if p is not part and p.box.height > TALL * x_height_px]
    near = any(_is_close(part, p, FRAGMENT_GAP * x_height_px) for p in tall)
    stands = abs(part.box.y1 - baseline_px) < STANDS * x_height_px
    return not near and not (stands and part.stroke_px > STOP_BREADTH * usual_px)


def _is_close(part: Part, other: Part, reach_px: float) -> bool:
    """Some ink of `other` lies in the box around a part grown by a reach."""
    rows, columns = other.blob.window
    box = part.box.grown(reach_px)
    y0, y1 = max(0, round(box.y0) - rows.start), max(0, round(box.y1) - rows.start)
    x0, x1 = max(0, round(box.x0) - columns.start), max(0, round(box.x1) - columns.start)
    return bool(other.blob.mask[y0:y1, x0:x1].any())


def _is_mark_of(part: Part, parts: list[Part], x_height_px: float) -> bool:
    """A small part that hangs above a bigger one, or close below it."""
    if part.box.height > MARK_HEIGHT_RATIO * x_height_px or part.box.width > WIDEST_MARK * x_height_px:
        return False
    return any(_hangs_on(part, other, x_height_px) for other in parts if other is not part)


def _hangs_on(mark: Part, body: Part, x_height_px: float) -> bool:
    bigger = body.box.height > LOWER_THAN_BODY * mark.box.height and body.blob.area_px > mark.blob.area_px
    above = -DIPS < (body.box.y0 - mark.box.y1) / x_height_px < HIGHEST_ABOVE
    below = -DIPS < (mark.box.y0 - body.box.y1) / x_height_px < LOWEST_BELOW
    if not (bigger and (above or below)):
        return False
    near = _overlap(mark.box, body.box) > MARK_OVERLAP_SHARE * mark.box.width
    middle = abs(mark.box.centre[0] - body.box.centre[0]) < MARK_REACH_RATIO * x_height_px
    return near or (middle and above)


def _bond(mark: Part, piece: Piece, x_height_px: float) -> tuple[bool, float]:
    """How much a mark belongs to a piece: whether it hangs on it (it may hang on another mark), overlap and nearness."""
    hangs = any(_hangs_on(mark, body, x_height_px) for body in piece.bodies)
    share = _overlap(mark.box, piece.body) / max(mark.box.width, 1.0)
    away = abs(mark.box.centre[0] - piece.body.centre[0]) / x_height_px
    return hangs, share - away


def _overlap(a: Box, b: Box) -> float:
    return max(0.0, min(a.x1, b.x1) - max(a.x0, b.x0))


def _fragments_joined(bodies: list[Part], x_height_px: float) -> list[Piece]:
    """Bodies from left to right, small ones that all but touch a tall one taken together with it."""
    tall = sorted((p for p in bodies if p.box.height > SMALL_SIGN_RATIO * x_height_px), key=lambda p: p.box.x0)
    pieces = [Piece((p,)) for p in tall]
    for part in bodies:
        if part in tall:
            continue
        near = [i for i, p in enumerate(tall) if _is_close(part, p, FRAGMENT_GAP * x_height_px)]
        if near:
            at = max(near, key=lambda i: _overlap(part.box, tall[i].box))
            pieces[at] = Piece((*pieces[at].bodies, part))
        else:
            pieces.append(Piece((part,)))
    return sorted(pieces, key=lambda p: (p.body.x0, p.body.y0))


def _overlapping_joined(pieces: list[Piece]) -> list[Piece]:
    """Pieces that lie over one another for a good part of their width become one."""
    joined: list[Piece] = []
    for piece in pieces:
        for i, other in enumerate(joined):
            least = min(piece.body.width, other.body.width)
            if _overlap(piece.body, other.body) > BODY_OVERLAP_SHARE * least:
                joined[i] = Piece((*other.bodies, *piece.bodies))
                break
        else:
            joined.append(piece)
    return joined if len(joined) == len(pieces) else _overlapping_joined(joined)


def _row(parts: list[Part], x_height_px: float) -> tuple[float, float]:
    """Top and bottom of the row of letters: the densest band of bodies, with room for marks and descenders."""
    tall = [p for p in parts if p.box.height > TALL * x_height_px]
    if not tall:
        return -np.inf, np.inf
    weights = np.array([p.blob.area_px for p in tall])
    middles = np.array([p.box.centre[1] for p in tall])
    order = np.argsort(middles)
    at = np.searchsorted(np.cumsum(weights[order]), weights.sum() / 2)
    middle = float(middles[order][at])
    return middle - ROW_ABOVE * x_height_px, middle + ROW_BELOW * x_height_px
