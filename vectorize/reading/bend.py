"""Lines that were straight on paper come in, with how they run in the strip; the bend that they share goes out.

A curled sheet and a lens shift what they show along smooth fields. Over one line of lettering such a field is a low
polynomial along the line, a little stronger above than below; it is found by one least-squares fit with Huber's weights
to all lines, each with its own height and slope, its degree chosen by Schwarz's criterion (Annals of Statistics 6, 1978).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points, frozen
from vectorize.reading.records import LineCourse
from vectorize.reading.straight import huber_weights, robust_sigma

# A line is looked at in steps of so many x-heights; nearer places share its blocks.
STEP = 0.15
# A line shows the bend when it runs through so much of the strip, and is seen for so many steps.
LEAST_RUN, FEWEST_STEPS = 0.5, 8
# (degree of the shift along the line, of the stretch across it) that are tried; 0 is none.
DEGREES = ((2, 0), (3, 0), (4, 0), (2, 2), (3, 2), (4, 2), (3, 3), (4, 3))
# Fewer lines show no difference between above and below.
LINES_FOR_STRETCH = 3
# No line is known better than to this standard deviation.
LEAST_SIGMA_PX = 1e-3
ROUNDS = 12


@dataclass(frozen=True, slots=True, eq=False)
class Bow:
    """(x, y) becomes (x, y + shift(x) + stretch(x) (y - about_px)): straight strip px to bent strip px.

    shift_px, stretch_ratio: polynomial coefficients, highest first, over (x - middle_px) / reach_px; beyond -1 and 1
    both run on straight. undone: the map goes the other way, exactly.
    """

    shift_px: NDArray[np.float64]
    stretch_ratio: NDArray[np.float64]
    about_px: float
    middle_px: float
    reach_px: float
    undone: bool = False

    def apply(self, points: Points) -> Points:
        """Points of shape (n, 2) mapped."""
        p = np.asarray(points, float)
        u = (p[:, 0] - self.middle_px) / self.reach_px
        shift, stretch = _run_on(self.shift_px, u), 1.0 + _run_on(self.stretch_ratio, u)
        y = p[:, 1] - self.about_px
        y = (y - shift) / stretch if self.undone else y * stretch + shift
        return np.column_stack((p[:, 0], y + self.about_px))

    def inverse(self) -> Bow:
        """The map back."""
        return replace(self, undone=not self.undone)

    def depth_px(self, span: tuple[float, float]) -> float:
        """How far a line at `about_px` strays from its straight over a span of x, from its highest to its lowest."""
        x = np.linspace(*span, 65)
        y = self.apply(np.column_stack((x, np.full_like(x, self.about_px))))[:, 1]
        return float(np.ptp(y - np.polyval(np.polyfit(x, y, 1), x)))


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """Places of a line: x and y in strip px, each (n,); half_width_px: half its thickness."""

    x: NDArray[np.float64]
    y: NDArray[np.float64]
    half_width_px: float = 1.0

    def off_straight(self) -> NDArray[np.float64]:
        """How far each place lies below the line's own straight, px."""
        return np.asarray(self.y - np.polyval(np.polyfit(self.x, self.y, 1), self.x))


@dataclass(frozen=True, slots=True, eq=False)
class Shared:
    """A bow common to several lines; own_px, left_px: root mean square of each line off its straight, and off the bow."""

    bow: Bow
    own_px: NDArray[np.float64]
    left_px: NDArray[np.float64]


def track_of(course: LineCourse, x_height_px: float) -> Track | None:
    """A course at even steps; None where it runs through too little of the strip."""
    seen = np.flatnonzero(np.isfinite(course.middle_px))
    step = max(1, round(STEP * x_height_px))
    if len(seen) < FEWEST_STEPS * step or np.ptp(seen) < LEAST_RUN * len(course.middle_px):
        return None
    at = seen[step // 2 :: step]
    return Track(np.asarray(at + 0.5, np.float64), course.middle_px[at], course.half_width_px)


def shared_bow(tracks: tuple[Track, ...], x_height_px: float, *, parallel: bool = False) -> Shared:
    """The bow that several lines (at least one) have in common, whether it explains them or not.

    parallel: the same for all, without a difference between above and below.
    """
    x = np.concatenate([t.x for t in tracks])
    y = np.concatenate([t.y for t in tracks])
    line = np.repeat(np.arange(len(tracks)), [len(t.x) for t in tracks])
    heights = np.array([t.y.mean() for t in tracks])
    about = float(heights.mean())
    middle, reach = float(x.min() + x.max()) / 2.0, float(np.ptp(x)) / 2.0
    u, v = (x - middle) / reach, (heights[line] - about) / x_height_px
    own = np.zeros((len(x), 2 * len(tracks)))
    own[np.arange(len(x)), 2 * line] = 1.0
    own[np.arange(len(x)), 2 * line + 1] = u
    best: tuple[float, tuple[int, int], NDArray[Any], NDArray[Any]] | None = None
    for along, across in DEGREES[:3] if parallel or len(tracks) < LINES_FOR_STRETCH else DEGREES:
        powers = [u**k for k in range(2, along + 1)] + [v * u**k for k in range(2, across + 1)]
        basis = np.column_stack((own, *powers))
        fit, left, spread = _robust(basis, y)
        score = len(y) * np.log(max(spread, 1e-4) ** 2) + basis.shape[1] * np.log(len(y))
        if best is None or score < best[0]:
            best = score, (along, across), fit[own.shape[1] :], left
    assert best is not None
    _, (along, across), terms, left = best
    shift, stretch = terms[: along - 1], terms[along - 1 :] / x_height_px
    bow = Bow(frozen(_without_level(u, shift)), frozen(_without_level(u, stretch)), about, middle, reach)
    own_px = [_root_mean_square(t.off_straight()) for t in tracks]
    return Shared(bow, np.array(own_px), np.array([_root_mean_square(left[line == i]) for i in range(len(tracks))]))


def _root_mean_square(values: NDArray[np.float64]) -> float:
    return float(np.sqrt(np.mean(values**2)))


def _without_level(u: NDArray[np.float64], terms: NDArray[np.float64]) -> NDArray[np.float64]:
    """Coefficients, highest first, of the polynomial with these terms from the square on, less its nearest straight.

    A bend takes no part in level, place and size.
    """
    bowed = np.concatenate((terms[::-1], (0.0, 0.0)))
    bowed[-2:] = -np.polyfit(u, np.polyval(bowed, u), 1)
    return bowed


def _robust(
    basis: NDArray[np.float64], y: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], float]:
    """(coefficients, what is left, its robust root mean square) by Huber's weights."""
    weight = np.ones(len(y))
    fit: NDArray[Any] = np.zeros(basis.shape[1])
    left = y
    for _ in range(ROUNDS):
        root = np.sqrt(weight)
        fit = np.linalg.lstsq(basis * root[:, None], y * root, rcond=None)[0]
        left = y - basis @ fit
        weight = huber_weights(left, robust_sigma(left, LEAST_SIGMA_PX))
    return fit, np.asarray(left), float(np.sqrt((weight * left**2).sum() / weight.sum()))


def _run_on(polynomial: NDArray[np.float64], u: NDArray[np.float64]) -> NDArray[np.float64]:
    """The polynomial within -1 and 1, its tangents beyond."""
    inside = np.clip(u, -1.0, 1.0)
    return np.asarray(np.polyval(polynomial, inside) + np.polyval(np.polyder(polynomial), inside) * (u - inside))
