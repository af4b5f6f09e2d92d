"""Pieces of ink and the letters of a word come in, which ink is which letter goes out.

A dynamic programme runs through the atoms of ink (pieces, and parts of pieces between possible cuts) and the letters of
the word: what is least unlikely, given each letter's usual width, counters, rise, fall, marks and looks, wins.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.looks import distances, grid, known_forms, rows_of_ink
from vectorize.reading.parting import Cut
from vectorize.trade.letter_shapes import Shape

# Costs are like negative log-likelihoods: 2 is unlikely, 5 very unlikely.
WRONG_COUNTER, WRONG_RISE, WRONG_FALL, WRONG_MARK, WIDEST_MISS = 2.2, 2.0, 2.0, 1.5, 8.0
# Looks cost the logarithm of the squared distance over what typefaces and hands usually differ by, at most so much.
USUAL_DISTANCE, LOOKS_WEIGHT, WORST_LOOKS = 40.0, 2.2, 8.0
# A hand strays from the type designer's widths by about this much more (standard deviation of the logarithm).
HAND_SPREAD = 0.12
# How wide a hand draws all its letters, times the usual, at least and at most; found and used anew so many times.
NARROWEST_HAND, WIDEST_HAND, ROUNDS = 0.5, 2.0, 3
# Joining across a gap: a fixed part and one that grows with the gap in x-heights.
JOIN, JOIN_GROWTH = 1.2, 14.0
# Cutting through a neck: a fixed part, one that grows until the neck is a stroke wide, one that grows with the neck in
# x-heights, and one for each further run of ink.
CUT, CUT_STROKE, CUT_GROWTH, CUT_RUN = 0.5, 0.8, 1.5, 0.8
# What one more letter costs. Less than nothing: two letters that both look like letters are likelier than one odd one.
ANY_LETTER = -1.0
# Gaps that one letter may bridge; no letter is wider than this many x-heights.
MOST_GAPS, WIDEST = 3, 4.0
# Where rise and fall begin, x-heights above the mean line and below the baseline, and the doubtful band around.
RISE, FALL, DOUBT = 0.20, 0.16, 0.08
MOST_COUNTERS = 6


@dataclass(frozen=True, slots=True, eq=False)
class Atom:
    """Ink between two boundaries: of one piece, from its left end or `left` cut to its right end or `right` cut.

    mask: the ink (body only) in a window of the strip whose corner is row `top`, column `x0`; counters and marks in it.
    """

    piece: int
    left: Cut | None
    right: Cut | None
    x0: int
    top: int
    mask: NDArray[np.bool_]
    counters: int
    marks: int

    @property
    def x1(self) -> int:
        """The column right of it."""
        return self.x0 + int(self.mask.shape[1])

    @property
    def bottom(self) -> int:
        """The row below it."""
        return self.top + int(self.mask.shape[0])


@dataclass(frozen=True, slots=True)
class Span:
    """Atoms first to last (inclusive) as one letter of a shape, and what is unlikely about that."""

    first: int
    last: int
    misfit: float
    shape: Shape


@dataclass(frozen=True, slots=True)
class Match:
    """One span a letter, and what is unlikely about all of it: shapes, joins and cuts."""

    spans: tuple[Span, ...]
    cost: float


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Every run of atoms that could be one letter, (n,) each, and what joining and cutting it out costs.

    width, rise, fall in x-heights; looks: cost (n, letters of `known_forms`). at: (first, last) -> its place.
    """

    at: dict[tuple[int, int], int]
    width: NDArray[np.float64]
    counters: NDArray[np.intp]
    marks: NDArray[np.intp]
    rise: NDArray[np.float64]
    fall: NDArray[np.float64]
    looks: NDArray[np.float32]
    surgery: NDArray[np.float64]


def spans_of(atoms: tuple[Atom, ...], baseline_px: float, x_height_px: float) -> Spans:
    """All spans of the atoms, measured."""
    at: dict[tuple[int, int], int] = {}
    rows: list[tuple[float, int, int, float, float, float]] = []
    pictures = []
    total = _running_ink(atoms, baseline_px, x_height_px)
    left = min(a.x0 for a in atoms)
    for j in range(len(atoms)):
        for k in range(j, len(atoms)):
            own = atoms[j : k + 1]
            x0, x1 = min(a.x0 for a in own), max(a.x1 for a in own)
            if k > j and (own[-1].piece > own[0].piece + MOST_GAPS or x1 - x0 > WIDEST * x_height_px):
                break
            rise = (baseline_px - x_height_px - min(a.top for a in own)) / x_height_px
            fall = (max(a.bottom for a in own) - baseline_px) / x_height_px
            at[j, k] = len(rows)
            counters, marks = sum(a.counters for a in own), sum(a.marks for a in own)
            rows.append(((x1 - x0) / x_height_px, counters, marks, rise, fall, _surgery(own, x_height_px)))
            pictures.append(grid(total[k + 1] - total[j], x0 - left, x1 - left))
    width, counters_, marks_, rises, falls, surgery = (np.array(v) for v in zip(*rows, strict=True))
    looks = looks_cost(distances(np.array(pictures)))
    return Spans(at, width, counters_, marks_, rises, falls, looks, surgery)


def misfits(spans: Spans, shapes: tuple[Shape, ...], scale: float = 1.0) -> NDArray[np.float64]:
    """What is unlikely about each span (n,) being each shape (m,); scale: how wide the hand draws, 1 as usual."""
    usual = np.array([s.width_ratio for s in shapes]) * scale
    cost = width_cost(spans.width, usual, np.array([s.spread for s in shapes]))
    wrong = np.array([[min(abs(n - c) for c in s.counters) for s in shapes] for n in range(MOST_COUNTERS + 1)])
    cost += WRONG_COUNTER * wrong[np.minimum(spans.counters, MOST_COUNTERS)]
    cost += WRONG_MARK * np.abs(spans.marks[:, None] - np.array([s.marks for s in shapes]))
    cost += WRONG_RISE * _disagreement(spans.rise, RISE, [s.rises for s in shapes])
    cost += WRONG_FALL * _disagreement(spans.fall, FALL, [s.falls for s in shapes])
    known = known_forms().letters
    for i, shape in enumerate(shapes):
        if shape.base in known:
            cost[:, i] += spans.looks[:, known.index(shape.base)]
    return np.asarray(cost)


def match_word(spans: Spans, shapes: tuple[Shape, ...]) -> Match | None:
    """The likeliest way to read the shapes in the spans; None where there is no way to use all atoms."""
    scale, match = 1.0, None
    for _ in range(ROUNDS):
        match = _best(spans, misfits(spans, shapes, scale), shapes)
        if match is None:
            return None
        wide = [
            spans.width[spans.at[s.first, s.last]] / t.width_ratio for s, t in zip(match.spans, shapes, strict=True)
        ]
        scale = float(np.clip(np.median(wide), NARROWEST_HAND, WIDEST_HAND))
    return match


def match_freely(spans: Spans, shapes: tuple[tuple[Shape, float], ...]) -> Match:
    """The likeliest letters where no word is told: each span may be any of the shapes, the rare ones less likely."""
    rare = np.array([r for _, r in shapes])
    every = misfits(spans, tuple(s for s, _ in shapes)) + rare
    likeliest, misfit = every.argmin(axis=1), every.min(axis=1)
    n = 1 + max(k for _, k in spans.at)
    best = np.full(n + 1, np.inf)
    best[0] = 0.0
    came = np.zeros(n + 1, int)
    for (j, k), i in spans.at.items():
        cost = best[j] + ANY_LETTER + misfit[i] + spans.surgery[i]
        if cost < best[k + 1]:
            best[k + 1], came[k + 1] = cost, j
    found: list[Span] = []
    end = n
    while end > 0:
        start = int(came[end])
        at = spans.at[start, end - 1]
        found.append(Span(start, end - 1, float(misfit[at]), shapes[likeliest[at]][0]))
        end = start
    return Match(tuple(reversed(found)), float(best[n]))


def strangeness(spans: Spans, match: Match, shapes: tuple[Shape, ...]) -> tuple[float, ...]:
    """For each letter of a match how much likelier its ink is to be another of the shapes, as a difference of costs."""
    likeliest = misfits(spans, shapes).min(axis=1)
    return tuple(s.misfit - float(likeliest[spans.at[s.first, s.last]]) for s in match.spans)


def _best(spans: Spans, misfit: NDArray[np.float64], shapes: tuple[Shape, ...]) -> Match | None:
    n, m = 1 + max(k for _, k in spans.at), misfit.shape[1]
    best = np.full((m + 1, n + 1), np.inf)
    came = np.zeros((m + 1, n + 1), int)
    best[0, 0] = 0.0
    for (j, k), at in spans.at.items():
        cost = best[:-1, j] + misfit[at] + spans.surgery[at]
        better = np.flatnonzero(cost < best[1:, k + 1])
        best[better + 1, k + 1] = cost[better]
        came[better + 1, k + 1] = j
    if not np.isfinite(best[m, n]):
        return None
    found: list[Span] = []
    end = n
    for i in range(m, 0, -1):
        start = int(came[i, end])
        found.append(Span(start, end - 1, float(misfit[spans.at[start, end - 1], i - 1]), shapes[i - 1]))
        end = start
    return Match(tuple(reversed(found)), float(best[m, n]) + ANY_LETTER * m)


def _running_ink(atoms: tuple[Atom, ...], baseline_px: float, x_height_px: float) -> NDArray[np.float32]:
    """Ink in the grid's rows of the first so many atoms, left of each column; (n + 1, w + 1, rows)."""
    left, right = min(a.x0 for a in atoms), max(a.x1 for a in atoms)
    rows = [rows_of_ink(a.mask, float(a.top), baseline_px, x_height_px) for a in atoms]
    total = np.zeros((len(atoms) + 1, right - left + 1, len(rows[0])), np.float32)
    for i, (atom, ink) in enumerate(zip(atoms, rows, strict=True), start=1):
        total[i, 1 + atom.x0 - left : 1 + atom.x1 - left] = ink.T
    np.cumsum(total, axis=1, out=total)
    return np.asarray(np.cumsum(total, axis=0, out=total))


def _disagreement(measured: NDArray[np.float64], limit: float, expected: list[bool | None]) -> NDArray[np.float64]:
    """0 where a measure (n,) agrees with what is expected (m,), 1 where not, 2 where it passes far beyond the limit."""
    share = np.clip((measured - limit) / (2 * DOUBT) + 0.5, 0.0, 1.0)
    beyond = share + np.clip((measured - limit) / DOUBT - 1.0, 0.0, 1.0)
    ways = {True: 1.0 - share, False: beyond, None: np.zeros_like(share)}
    return np.stack([ways[e] for e in expected], axis=1)


def _surgery(own: tuple[Atom, ...], x_height_px: float) -> float:
    """Cost of joining the gaps within a letter and of the cut at its right end."""
    cost = 0.0
    for a, b in itertools.pairwise(own):
        if a.piece != b.piece:
            cost += JOIN + JOIN_GROWTH * max(0.0, b.x0 - a.x1) / x_height_px
    cut = own[-1].right
    return cost if cut is None else cost + cut_cost(cut, x_height_px)


def cut_cost(cut: Cut, x_height_px: float) -> float:
    """What is unlikely about two letters touching along a cut."""
    through = CUT_STROKE * min(1.0, cut.neck_px / cut.stroke_px) + CUT_GROWTH * cut.neck_px / x_height_px
    return CUT + through + CUT_RUN * max(0, cut.runs - 1)


def width_cost(
    width: NDArray[np.float64], usual: NDArray[np.float64], spread: NDArray[np.float64]
) -> NDArray[np.float64]:
    """What is unlikely about widths (n,) of letters that are usually so wide (m,), with the spread of the logarithm."""
    off = np.log(np.maximum(width, 1e-3)[:, None] / usual) / np.hypot(spread, HAND_SPREAD)
    return np.asarray(np.minimum(off * off / 2.0, WIDEST_MISS))


def looks_cost(far: NDArray[np.float32]) -> NDArray[np.float32]:
    """What is unlikely about ink at these squared distances from letters."""
    cost = LOOKS_WEIGHT * np.log(np.maximum(far / USUAL_DISTANCE, 1.0))
    return np.asarray(np.minimum(cost, WORST_LOOKS), np.float32)
