"""Letters and the hand's divisions come in; out go the letters divided as the hand says, named anew.

Cuts run along the whole straight line of the stroke, with an edge one pixel soft, so that the outline of a cut is as
smooth as that of the ink.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from vectorize.brief import Brief
from vectorize.corrections import Corrections, Division
from vectorize.findings import Finding, Severity
from vectorize.geometry import PlaneMap, Point, frozen
from vectorize.raster import depth_px, regions_of
from vectorize.reading.records import Ink, LetterInk, Letters, letter_box_px
from vectorize.reading.words import words_told

INKED: Final = 0.5
# A stroke is followed in half pixels, so that it misses no hairline.
STEP_PX: Final = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class _Patch:
    """A letter's coverage, its corner in the strip, and the word it was in."""

    coverage: NDArray[np.float32]
    left: int
    top: int
    word: int

    @property
    def centre(self) -> Point:
        rows, columns = np.nonzero(self.coverage > INKED)
        return self.left + (columns.min() + columns.max() + 1) / 2.0, self.top + (rows.min() + rows.max() + 1) / 2.0

    def ink_at(self, points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether there is ink at points (n, 2) of the strip."""
        columns = np.floor(points[:, 0]).astype(int) - self.left
        rows = np.floor(points[:, 1]).astype(int) - self.top
        height, width = self.coverage.shape
        inside = (rows >= 0) & (rows < height) & (columns >= 0) & (columns < width)
        found = np.zeros(len(points), bool)
        found[inside] = self.coverage[rows[inside], columns[inside]] > INKED
        return found

    def around(self, points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether points (n, 2) of the strip lie in the box around the ink."""
        rows, columns = np.nonzero(self.coverage > INKED)
        low = np.array((self.left + columns.min(), self.top + rows.min()))
        high = np.array((self.left + columns.max() + 1, self.top + rows.max() + 1))
        return np.asarray(((points >= low) & (points <= high)).all(axis=1))


def set_right(letters: Letters, ink: Ink, to_picture: PlaneMap, brief: Brief) -> Letters:
    """The letters as the corrections of the brief divide and name them; strip px throughout."""
    corrections = brief.corrections
    if not corrections.divisions and not corrections.names:
        return letters
    to_strip = to_picture.inverse()
    if corrections.divisions:
        letters = _divided(letters, ink, _in_strip(corrections.divisions, to_strip), brief)
    return _named(letters, corrections, to_strip)


def _in_strip(divisions: tuple[Division, ...], to_strip: PlaneMap) -> tuple[Division, ...]:
    ends = to_strip.apply(np.array([p for d in divisions for p in (d.start, d.end)]))
    points = [(float(x), float(y)) for x, y in ends]
    return tuple(replace(d, start=points[2 * i], end=points[2 * i + 1]) for i, d in enumerate(divisions))


def _divided(letters: Letters, ink: Ink, divisions: tuple[Division, ...], brief: Brief) -> Letters:
    patches = [_Patch(x.coverage, x.left_px, x.top_px, x.word) for x in letters.letters]
    missed = 0
    for division in divisions:
        after = _WAYS[division.kind](patches, division)
        # The last letter is never taken away: without any there is nothing to set right.
        missed += after is None or not after
        patches = after or patches
    patches.sort(key=lambda p: (p.word, p.centre[0]))
    names = brief.names if brief.names and len(brief.names) == len(patches) else None
    words = words_told(brief.word) if names else tuple(p.word for p in patches)
    inks = tuple(
        LetterInk(i + 1, names[i] if names else None, words[i], frozen(p.coverage), _darkness(ink, p), p.left, p.top)
        for i, p in enumerate(patches)
    )
    return Letters(inks, (*_remarks(letters, brief, len(patches)), *_missed(missed)))


def _darkness(ink: Ink, patch: _Patch) -> NDArray[np.float32]:
    height, width = patch.coverage.shape
    return frozen(ink.darkness[patch.top : patch.top + height, patch.left : patch.left + width].copy())


def _along(division: Division) -> NDArray[np.float64]:
    count = max(2, math.ceil(math.dist(division.start, division.end) / STEP_PX))
    t = np.linspace(0.0, 1.0, count)[:, None]
    return np.asarray((1.0 - t) * np.array(division.start) + t * np.array(division.end))


def _nearest(patches: list[_Patch], point: Point) -> int:
    return min(range(len(patches)), key=lambda i: math.dist(patches[i].centre, point))


def _join(patches: list[_Patch], division: Division) -> list[_Patch] | None:
    points = _along(division)
    touched = {i for i, p in enumerate(patches) if p.ink_at(points).any()}
    # An end may lie in a counter, where there is no ink to touch.
    touched |= {_nearest(patches, division.start), _nearest(patches, division.end)}
    if len(touched) < 2:
        return None
    parts = [patches[i] for i in sorted(touched)]
    left, top = min(p.left for p in parts), min(p.top for p in parts)
    width = max(p.left + p.coverage.shape[1] for p in parts) - left
    height = max(p.top + p.coverage.shape[0] for p in parts) - top
    whole = np.zeros((height, width), np.float32)
    for p in parts:
        rows, columns = p.coverage.shape
        whole[p.top - top : p.top - top + rows, p.left - left : p.left - left + columns] += p.coverage
    one = _Patch(np.minimum(whole, 1.0), left, top, parts[0].word)
    return [p for i, p in enumerate(patches) if i not in touched] + [one]


def _cut(patches: list[_Patch], division: Division) -> list[_Patch] | None:
    points = _along(division)
    # Between two blots that were made one there is no ink to cross; then the letter around the stroke is meant.
    crossed = [(int(p.ink_at(points).sum()), int(p.around(points).sum())) for p in patches]
    at = max(range(len(patches)), key=lambda i: crossed[i])
    if not any(crossed[at]):
        return None
    patch = patches[at]
    (x0, y0), (x1, y1) = division.start, division.end
    rows, columns = np.indices(patch.coverage.shape)
    away = (columns + 0.5 + patch.left - x0) * (y1 - y0) - (rows + 0.5 + patch.top - y0) * (x1 - x0)
    side = np.clip(away / math.dist((x0, y0), (x1, y1)) + 0.5, 0.0, 1.0).astype(np.float32)
    halves = [_Patch(patch.coverage * s, patch.left, patch.top, patch.word) for s in (side, 1.0 - side)]
    if any(not (h.coverage > INKED).any() for h in halves):
        return None
    return [p for i, p in enumerate(patches) if i != at] + halves


def _drop(patches: list[_Patch], division: Division) -> list[_Patch] | None:
    at = _nearest(patches, division.start)
    return [p for i, p in enumerate(patches) if i != at]


def _erase(patches: list[_Patch], division: Division) -> list[_Patch] | None:
    """The mark of connected ink that lies nearest to the point goes, with the soft edge around it."""
    best: tuple[float, int, NDArray[np.bool_]] | None = None
    for i, p in enumerate(patches):
        marks = regions_of(p.coverage > INKED, eight=True).labels
        rows, columns = np.indices(marks.shape)
        far = np.hypot(columns + 0.5 + p.left - division.start[0], rows + 0.5 + p.top - division.start[1])
        far = np.where(marks > 0, far, np.inf)
        nearest = np.unravel_index(int(np.argmin(far)), far.shape)
        if marks.any() and (best is None or far[nearest] < best[0]):
            own = marks == marks[nearest]
            best = float(far[nearest]), i, depth_px(~own) <= depth_px(own | (marks == 0))
    if best is None:
        return None
    _, at, gone = best
    rest = replace(patches[at], coverage=np.where(gone, 0.0, patches[at].coverage).astype(np.float32))
    others = [p for i, p in enumerate(patches) if i != at]
    return [*others, rest] if (rest.coverage > INKED).any() else others


_WAYS: Final[dict[str, Callable[[list[_Patch], Division], list[_Patch] | None]]] = {
    "join": _join,
    "cut": _cut,
    "drop": _drop,
    "erase": _erase,
}


def _named(letters: Letters, corrections: Corrections, to_strip: PlaneMap) -> Letters:
    """The names that were given, each to the letter whose middle lies nearest to its place."""
    named = list(letters.letters)
    centres = [letter_box_px(x).centre for x in named]
    for given in corrections.names:
        x, y = to_strip.apply(np.array([given.at]))[0]
        at = min(range(len(named)), key=lambda i: math.dist(centres[i], (x, y)))
        named[at] = replace(named[at], name=given.name)
    return replace(letters, letters=tuple(named))


def _remarks(letters: Letters, brief: Brief, count: int) -> tuple[Finding, ...]:
    """What was said of the letters still holds only where it speaks of none by number and does not count them."""
    kept = tuple(r for r in letters.remarks if not r.letters and r.unit != "letters")
    told = len(brief.names or ())
    if not told or told == count:
        return kept
    text = (
        f"The word {brief.word!r} has {told} letter{'s' if told > 1 else ''}; with the corrections by hand there are {count}, "
        "so only those were named that were given a name."
    )
    return (*kept, Finding("reading", (), float(count), float(told), "letters", Severity.LOOK_AGAIN, text))


def _missed(count: int) -> tuple[Finding, ...]:
    if not count:
        return ()
    text = (
        f"{count} corrections by hand meet nothing that they could change, or would leave no letter, and were left out."
        if count > 1
        else "A correction by hand meets nothing that it could change, or would leave no letter, and was left out."
    )
    return (Finding("reading", (), float(count), None, "corrections", Severity.NOTE, text),)
