"""Lines, how they bow, and letters come in; out go how far the letters go along with the bow, and the straight they keep.

The letters' feet and heads tell both, by least squares with Huber's weights (Annals of Mathematical Statistics 35, 1964).
Where ink and line end together the edge may be either's, so that such an end counts for less.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.bend import Bow, Track
from vectorize.reading.feet import feet_of, heads_of
from vectorize.reading.records import LetterInk
from vectorize.reading.straight import huber_weights, robust_sigma
from vectorize.trade.lines import OVERSHOOT

# Ends of letters this near to where a line runs anywhere, in x-heights, were set on it.
SET_ON = 0.05
# How far a steady hand's ends scatter, in x-heights, and how well the overshoot is known beforehand.
STEADY, OVERSHOOT_DOUBT = 0.005, 0.006
# Blur beside a line in which its edge and the ink's cannot be told apart.
MERGED_PX = 1.5
# So few ends, beside one for the height of each line, do not tell whether they go along.
FEWEST_ENDS = 4
# A line drawn between two marks is right at its ends: of its straight the height is known beforehand to this share of
# its depth, and what its ends differ by to this.
DRAWN_TO_MARKS, EVEN_ENDS = 0.35, 0.05
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


@dataclass(frozen=True, slots=True, eq=False)
class _Ends:
    """Feet and heads set on one line, each (n,), px.

    x: their places along it. off: how far they lie below its straight. bowed: how far the line itself does there.
    overshoot: what an overshoot in x-heights is multiplied by: the x-height downwards for round feet, upwards for round
    heads, 0 for flat ends. doubt: standard deviation of `off`.
    """

    x: NDArray[np.float64]
    off: NDArray[np.float64]
    bowed: NDArray[np.float64]
    overshoot: NDArray[np.float64]
    doubt: NDArray[np.float64]


def following(bowed: tuple[tuple[Track, Bow], ...], letters: tuple[LetterInk, ...], x_height_px: float) -> Following:
    """How far the letters' feet and heads go along with the bows of the lines they were set on.

    Each end's distance from the line's straight is the line's own offset, an overshoot where it is round, and a share
    of the bow there.
    """
    found = [_ends_on(track, bow, letters, x_height_px) for track, bow in bowed]
    found = [e for e in found if len(e.x)]
    if sum(len(e.x) for e in found) < FEWEST_ENDS + len(found):
        return Following(0.5, math.inf)
    own = np.repeat(np.eye(len(found)), [len(e.x) for e in found], axis=0)
    along, overshoot, off, doubt = (
        np.concatenate([getattr(e, name) for e in found]) for name in ("bowed", "overshoot", "off", "doubt")
    )
    # Of the share and of where each line lies nothing is known beforehand.
    prior = (
        np.array([0.0, float(OVERSHOOT), *[0.0] * len(found)]),
        np.array([math.inf, OVERSHOOT_DOUBT, *[math.inf] * len(found)]),
    )
    fit, doubts = _fitted(np.column_stack((along, overshoot, own)), off, doubt, prior)
    return Following(float(fit[0]), float(doubts[0]))


def straight_kept(track: Track, bow: Bow, letters: tuple[LetterInk, ...], x_height_px: float) -> tuple[float, float]:
    """(slope, y at x = 0) of the straight line that the letters keep to along a bowed one, strip px.

    Without letters it is the straight between the drawn line's ends: guidelines are drawn from mark to mark.
    """
    ends = _ends_on(track, bow, letters, x_height_px)
    straight = np.polyfit(track.x, track.y, 1)
    left, right = float(track.x[0]), float(track.x[-1])
    at = np.array([(x, float(np.polyval(straight, x))) for x in (left, right)])
    rise = bow.apply(at)[:, 1] - at[:, 1]
    depth = max(bow.depth_px((left, right)), 1e-3)
    middle, reach = (left + right) / 2.0, (right - left) / 2.0
    tilt = float(rise[1] - rise[0]) / 2.0
    # Where both ends part alike from the nearest straight, every straight that may be meant has its slope.
    prior = (
        np.array([rise.mean(), tilt, float(OVERSHOOT)]),
        np.array([DRAWN_TO_MARKS * depth, math.hypot(tilt, EVEN_ENDS * depth), OVERSHOOT_DOUBT]),
    )
    basis = np.column_stack((np.ones_like(ends.x), (ends.x - middle) / reach, ends.overshoot))
    (height, tilt, _), _ = _fitted(basis, ends.off, ends.doubt, prior)
    slope = float(straight[0] + tilt / reach)
    return slope, float(np.polyval(straight, middle) + height - slope * middle)


def _ends_on(track: Track, bow: Bow, letters: tuple[LetterInk, ...], x_height_px: float) -> _Ends:
    straight = np.polyfit(track.x, track.y, 1)
    highest, lowest = float(track.off_straight().min()), float(track.off_straight().max())
    near = SET_ON * x_height_px
    rows = []
    feet = [(e, 1.0) for x in letters for e in feet_of(x, x_height_px)]
    heads = [(e, -1.0) for x in letters for e in heads_of(x, x_height_px)]
    for end, way in (*feet, *heads):
        level = float(np.polyval(straight, end.x))
        bowed = float(bow.apply(np.array([(end.x, level)]))[0, 1]) - level
        off = end.y - level
        if not highest - near < off < lowest + near:
            continue
        merged = abs(off - bowed) < track.half_width_px + MERGED_PX
        doubt = math.hypot(STEADY * x_height_px, track.half_width_px if merged else 0.0)
        rows.append((end.x, off, bowed, 0.0 if end.flat else way * x_height_px, doubt))
    return _Ends(*np.array(rows, float).reshape(-1, 5).T)


def _fitted(
    a: NDArray[Any], b: NDArray[np.float64], doubts: NDArray[np.float64], prior: tuple[NDArray[Any], NDArray[Any]]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(unknowns of a x = b, their standard errors); prior: what they are beforehand and how doubtful that is."""
    before, certain = prior[0], 1.0 / prior[1] ** 2
    robust, scatter = np.ones(len(b)), 1.0
    fit: NDArray[Any] = before
    covariance: NDArray[Any] = np.eye(len(before))
    for _ in range(ROUNDS):
        weight = robust / (scatter * doubts) ** 2
        covariance = np.linalg.pinv((a * weight[:, None]).T @ a + np.diag(certain))
        fit = covariance @ ((a * weight[:, None]).T @ b + before * certain)
        off = (b - a @ fit) / doubts
        scatter = robust_sigma(off, 1.0) if len(off) else 1.0
        robust = huber_weights(off, scatter)
    return fit, np.asarray(np.sqrt(np.diag(covariance)))
