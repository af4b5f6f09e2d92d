"""Pieces of ink and the letters of a word come in, which ink is which letter goes out.

A dynamic programme runs through the atoms of ink (pieces, and parts of pieces between possible cuts) and the letters of
the word: what is least unlikely, given each letter's usual width, counters, rise, fall and marks, wins.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from vectorize.reading.parting import Cut
from vectorize.trade.letter_shapes import Shape

# Costs are like negative log-likelihoods: 2 is unlikely, 5 very unlikely.
WRONG_COUNTER, WRONG_RISE, WRONG_FALL, WRONG_MARK, WIDEST_MISS = 2.2, 2.0, 2.0, 1.5, 8.0
# A hand strays from the type designer's widths by about this much more (standard deviation of the logarithm).
HAND_SPREAD = 0.12
# Joining across a gap: a fixed part and one that grows with the gap in x-heights.
JOIN, JOIN_GROWTH = 1.2, 14.0
# Cutting through a neck: a fixed part, one that grows until the neck is a stroke wide, one that grows with the neck in
# x-heights, and one for each further run of ink.
CUT, CUT_STROKE, CUT_GROWTH, CUT_RUN = 0.25, 1.2, 2.5, 1.5
# What one more letter costs where no word is told.
ANY_LETTER = 0.5
# Gaps that one letter may bridge.
MOST_GAPS = 3
# Where rise and fall begin, x-heights above the mean line and below the baseline, and the doubtful band around.
RISE, FALL, DOUBT = 0.20, 0.16, 0.08


@dataclass(frozen=True, slots=True, eq=False)
class Atom:
    """Ink between two boundaries: of one piece, from its left end or `left` cut to its right end or `right` cut.

    x0, x1, top, bottom in strip px (body only); counters and marks that lie in it.
    """

    piece: int
    left: Cut | None
    right: Cut | None
    x0: float
    x1: float
    top: float
    bottom: float
    counters: int
    marks: int


@dataclass(frozen=True, slots=True)
class Span:
    """Atoms first to last (inclusive) as one letter, and what is unlikely about its shape."""

    first: int
    last: int
    misfit: float


@dataclass(frozen=True, slots=True)
class Match:
    """One span a letter; cost of the joins and cuts that were needed."""

    spans: tuple[Span, ...]
    surgery: float

    @property
    def misfit(self) -> float:
        """Mean misfit of a letter."""
        return float(np.mean([s.misfit for s in self.spans]))


def match_word(
    atoms: tuple[Atom, ...], shapes: tuple[Shape, ...], baseline_px: float, x_height_px: float
) -> Match | None:
    """The likeliest way to read the shapes in the atoms; None where there is no way to use all atoms."""
    usual = sum(s.width_ratio for s in shapes) * x_height_px
    inked = sum(a.x1 - a.x0 for a in atoms)
    scale = float(np.clip(inked / usual, 0.5, 2.0))
    match = None
    for _ in range(3):
        match = _best(atoms, shapes, baseline_px, x_height_px, scale)
        if match is None:
            return None
        ratios = [
            (atoms[s.last].x1 - atoms[s.first].x0) / (shape.width_ratio * x_height_px)
            for s, shape in zip(match.spans, shapes, strict=True)
        ]
        scale = float(np.clip(np.median(ratios), 0.5, 2.0))
    return match


def match_freely(
    atoms: tuple[Atom, ...], shapes: tuple[tuple[Shape, float], ...], baseline_px: float, x_height_px: float
) -> tuple[Span, ...]:
    """The likeliest letters where no word is told: each span may be any of the shapes, the rare ones less likely."""
    n = len(atoms)
    best = np.full(n + 1, np.inf)
    best[0] = 0.0
    came: list[Span | None] = [None] * (n + 1)
    for j in range(n):
        for k in range(j, n):
            if atoms[k].piece != atoms[j].piece:
                break
            misfit = min(_misfit(atoms, j, k, s, baseline_px, x_height_px, 1.0) + rare for s, rare in shapes)
            cost = best[j] + ANY_LETTER + misfit + _surgery(atoms, j, k, x_height_px)
            if cost < best[k + 1]:
                best[k + 1], came[k + 1] = cost, Span(j, k, misfit)
    spans: list[Span] = []
    end = n
    while end > 0:
        span = came[end]
        assert span is not None  # an atom can always stand alone
        spans.append(span)
        end = span.first
    return tuple(reversed(spans))


def _best(
    atoms: tuple[Atom, ...], shapes: tuple[Shape, ...], baseline_px: float, x_height_px: float, scale: float
) -> Match | None:
    n, m = len(atoms), len(shapes)
    best = np.full((m + 1, n + 1), np.inf)
    came = np.zeros((m + 1, n + 1), int)
    best[0, 0] = 0.0
    for i, shape in enumerate(shapes):
        for j in range(n):
            if not np.isfinite(best[i, j]):
                continue
            for k in range(j, n):
                if atoms[k].piece > atoms[j].piece + MOST_GAPS:
                    break
                cost = best[i, j] + _misfit(atoms, j, k, shape, baseline_px, x_height_px, scale)
                cost += _surgery(atoms, j, k, x_height_px)
                if cost < best[i + 1, k + 1]:
                    best[i + 1, k + 1], came[i + 1, k + 1] = cost, j
    if not np.isfinite(best[m, n]):
        return None
    spans: list[Span] = []
    surgery, end = 0.0, n
    for i in range(m, 0, -1):
        start = int(came[i, end])
        misfit = _misfit(atoms, start, end - 1, shapes[i - 1], baseline_px, x_height_px, scale)
        spans.append(Span(start, end - 1, misfit))
        surgery += _surgery(atoms, start, end - 1, x_height_px)
        end = start
    return Match(tuple(reversed(spans)), surgery)


def _misfit(
    atoms: tuple[Atom, ...], first: int, last: int, shape: Shape, baseline_px: float, x_height_px: float, scale: float
) -> float:
    own = atoms[first : last + 1]
    width = max(a.x1 for a in own) - min(a.x0 for a in own)
    off = math.log(max(width, 1.0) / (shape.width_ratio * scale * x_height_px)) / math.hypot(shape.spread, HAND_SPREAD)
    cost = min(off * off / 2.0, WIDEST_MISS)
    counters = sum(a.counters for a in own)
    cost += WRONG_COUNTER * min(abs(counters - c) for c in shape.counters)
    cost += WRONG_MARK * abs(sum(a.marks for a in own) - shape.marks)
    rise = (baseline_px - x_height_px - min(a.top for a in own)) / x_height_px
    fall = (max(a.bottom for a in own) - baseline_px) / x_height_px
    cost += WRONG_RISE * _disagreement(rise, RISE, shape.rises) + WRONG_FALL * _disagreement(fall, FALL, shape.falls)
    return cost


def _disagreement(measured: float, limit: float, expected: bool | None) -> float:  # noqa: FBT001 - a fact, no switch
    """0 where the measure agrees with what is expected, 1 where it does not, 2 where it passes far beyond the limit."""
    if expected is None:
        return 0.0
    share = float(np.clip((measured - limit) / (2 * DOUBT) + 0.5, 0.0, 1.0))
    if expected:
        return 1.0 - share
    return share + float(np.clip((measured - limit) / DOUBT - 1.0, 0.0, 1.0))


def _surgery(atoms: tuple[Atom, ...], first: int, last: int, x_height_px: float) -> float:
    """Cost of joining the gaps within a letter and of the cut at its right end."""
    cost = 0.0
    for a, b in itertools.pairwise(atoms[first : last + 1]):
        if a.piece != b.piece:
            cost += JOIN + JOIN_GROWTH * max(0.0, b.x0 - a.x1) / x_height_px
    cut = atoms[last].right
    if cut is not None:
        cost += CUT + CUT_STROKE * min(1.0, cut.neck_px / cut.stroke_px) + CUT_GROWTH * cut.neck_px / x_height_px
        cost += CUT_RUN * max(0, cut.runs - 1)
    return cost
