"""Strip and Ink come in; out goes the bend of the picture, where the lines show one, or how the drawing's own lines bow.

Lines of printed ruling were straight on paper. Drawn guidelines that all bow alike show a bent picture as well, unless
the letters' feet and heads keep straight beside them: then it is the lines that are bowed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from vectorize.findings import Finding, Severity
from vectorize.reading.bend import Bow, Shared, Track, shared_bow, track_of
from vectorize.reading.feet import feet_of, heads_of
from vectorize.reading.records import Ink, LetterInk, Strip
from vectorize.trade.lines import OVERSHOOT

# A line is bowed when it strays from its straight by so much, root mean square in x-heights; ruled lines stay below half.
STRAYS = 0.0018
# Several lines bow as one when this share of their bows, at most, is left unexplained.
PRINTED_LEFT, ALIKE, ALIKE_IN_HEIGHT = 0.25, 0.25, 0.15
PRINTED_WITNESSES, DRAWN_WITNESSES = 3, 2
# Ends of letters this near to a line, in x-heights, were set on it; smaller marks than this are no letters.
SET_ON, LETTER = 0.05, 0.25
OVERSHOOT_DOUBT = 0.006
# How far a steady hand's ends scatter, in x-heights.
STEADY = 0.005
# Logarithms of odds for a bent picture before the letters are asked: three lines seldom bow as one by the hand, but any
# three bows may lie evenly in height; and of what is called sure (twenty to one).
ALIKE_ODDS, IN_HEIGHT_ODDS, SURE_ODDS = 1.0, -1.0, 3.0
# Blur beside a line in which its edge and the ink's cannot be told apart.
MERGED_PX = 1.5
FEWEST_ENDS = 4
ROUNDS = 12


@dataclass(frozen=True, slots=True)
class Following:
    """How far letters go along with a bow: 0 they keep straight, 1 they follow it; with its standard error."""

    share: float
    doubt: float

    @property
    def log_odds(self) -> float:
        """For the letters following the bow against keeping straight, the scatter being normal."""
        return (self.share - 0.5) / self.doubt**2


def bend_of(strip: Strip, ink: Ink) -> tuple[Bow, Finding] | None:
    """The bend that the strip's lines show, and a remark on it; None where the picture is straight."""
    printed = _tracks(strip, printed=True)
    if len(printed) >= PRINTED_WITNESSES:
        shared = shared_bow(printed, strip.x_height_px)
        bent = _strays(shared, strip) and _left(shared) < PRINTED_LEFT
        return (shared.bow, _by_ruling(_depth_ratio(shared.bow, strip))) if bent else None
    drawn = _tracks(strip, printed=False)
    if len(drawn) < DRAWN_WITNESSES:
        return None
    shared = shared_bow(drawn, strip.x_height_px)
    if not _strays(shared, strip):
        return None
    alike = _left(shared_bow(drawn, strip.x_height_px, parallel=True)) < ALIKE
    if not alike and (len(drawn) <= DRAWN_WITNESSES or _left(shared) > ALIKE_IN_HEIGHT):
        return None
    followed = following(drawn, shared.bow, _pieces(ink, strip.x_height_px), strip.x_height_px)
    odds = followed.log_odds + (ALIKE_ODDS if alike else IN_HEIGHT_ODDS)
    if odds < 0.0:
        return None
    return shared.bow, _by_guidelines(_depth_ratio(shared.bow, strip), sure=odds > SURE_ODDS)


def following(tracks: tuple[Track, ...], bow: Bow, letters: tuple[LetterInk, ...], x_height_px: float) -> Following:
    """How far the letters' feet and heads go along with the bow of the lines they were set on.

    Each end's distance from the line's straight is the line's own offset, an overshoot where it is round, and a share
    of the bow there; least squares with Huber's weights.
    """
    feet = [(e, 1.0) for x in letters for e in feet_of(x, x_height_px)]
    heads = [(e, -1.0) for x in letters for e in heads_of(x, x_height_px)]
    rows, values, doubts = [], [], []
    for i, track in enumerate(tracks):
        straight = np.polyfit(track.x, track.y, 1)
        for end, way in (*feet, *heads):
            level = float(np.polyval(straight, end.x))
            bowed = float(bow.apply(np.array([(end.x, level)]))[0, 1]) - level
            off = end.y - level
            if min(abs(off), abs(off - bowed)) > SET_ON * x_height_px:
                continue
            own = np.zeros(len(tracks))
            own[i] = 1.0
            rows.append((bowed, 0.0 if end.flat else way * x_height_px, *own))
            values.append(off)
            # Where ink and line end together the edge may be either's.
            merged = abs(off - bowed) < track.half_width_px + MERGED_PX
            doubts.append(float(np.hypot(STEADY * x_height_px, track.half_width_px if merged else 0.0)))
    if len(rows) < FEWEST_ENDS + len(tracks):
        return Following(0.5, math.inf)
    return _share(np.array(rows), np.array(values), np.array(doubts))


def _share(a: NDArray[Any], b: NDArray[np.float64], doubts: NDArray[np.float64]) -> Following:
    """The first unknown of a x = b and its standard error; the second, the overshoot, is known roughly beforehand."""
    a = a[:, np.append([True, True], np.abs(a[:, 2:]).sum(axis=0) > 0)]
    prior = np.zeros(a.shape[1])
    prior[1] = 1.0 / OVERSHOOT_DOUBT
    robust, scatter = np.ones(len(b)), 1.0
    fit, covariance = prior, np.eye(a.shape[1])
    for _ in range(ROUNDS):
        weight = robust / (scatter * doubts) ** 2
        covariance = np.linalg.pinv((a * weight[:, None]).T @ a + np.outer(prior, prior))
        fit = covariance @ ((a * weight[:, None]).T @ b + prior * float(OVERSHOOT) / OVERSHOOT_DOUBT)
        off = np.abs(b - a @ fit) / doubts
        scatter = max(1.4826 * float(np.median(off)), 1.0)
        robust = np.minimum(1.0, 1.5 * scatter / np.maximum(off, 1e-12))
    return Following(float(fit[0]), float(np.sqrt(covariance[0, 0])))


def _tracks(strip: Strip, *, printed: bool) -> tuple[Track, ...]:
    found = (track_of(c, strip.x_height_px) for c in strip.lines if c.printed == printed)
    return tuple(t for t in found if t is not None)


def _strays(shared: Shared, strip: Strip) -> bool:
    return float(shared.own_px.max()) > STRAYS * strip.x_height_px


def _left(shared: Shared) -> float:
    """Share of the lines' bows, root mean square, that the common one does not explain."""
    return float(np.sqrt((shared.left_px**2).sum() / max(float((shared.own_px**2).sum()), 1e-12)))


def _depth_ratio(bow: Bow, strip: Strip) -> float:
    return bow.depth_px((0.0, float(strip.view.rgb.shape[1]))) / strip.x_height_px


def _pieces(ink: Ink, x_height_px: float) -> tuple[LetterInk, ...]:
    """The connected pieces of ink that are as large as letters."""
    labels, _ = ndimage.label(ink.coverage > 0.5)
    pieces = []
    for i, (rows, columns) in enumerate(ndimage.find_objects(labels), 1):
        if rows.stop - rows.start < LETTER * x_height_px:
            continue
        around = (
            slice(max(0, rows.start - 2), rows.stop + 2),
            slice(max(0, columns.start - 2), columns.stop + 2),
        )
        own = ndimage.binary_dilation(labels[around] == i, iterations=2)
        coverage = np.where(own, ink.coverage[around], 0.0).astype(np.float32)
        pieces.append(LetterInk(i, None, 0, coverage, coverage, around[1].start, around[0].start))
    return tuple(pieces)


FLAT = "Lay the sheet flat and photograph it from straight above, a little farther away."


def _by_ruling(depth_ratio: float) -> Finding:
    text = (
        f"The paper's printed lines bow by {depth_ratio:.1%} of the x-height along the word: the sheet was curled or the "
        f"lens bent it. The word was straightened by them. {FLAT}"
    )
    return _told(depth_ratio, Severity.NOTE, text)


def _by_guidelines(depth_ratio: float, *, sure: bool) -> Finding:
    seen = f"The guidelines all bow alike, by {depth_ratio:.1%} of the x-height along the word"
    if sure:
        text = (
            f"{seen}, and the letters go with them: the sheet was curled or the lens bent it. "
            f"The word was straightened by them. {FLAT}"
        )
        return _told(depth_ratio, Severity.NOTE, text)
    text = (
        f"{seen}. Whether the sheet was curled or the lines were drawn so cannot be told for sure; "
        f"the word was straightened by them. {FLAT}"
    )
    return _told(depth_ratio, Severity.LOOK_AGAIN, text)


def _told(depth_ratio: float, severity: Severity, text: str) -> Finding:
    return Finding("reading", (), round(depth_ratio, 4), None, "x-heights", severity, text)
