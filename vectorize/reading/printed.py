"""Lines of a sheet come in; those of its printed ruling go out, told apart by their even pitch, run and tone.

Printed lines are many, run from edge to edge, are equally dark, and lie on one pitch; whatever bends them (a lens, a curl,
a camera held askew) bends all of them alike, so one smooth surface through all tells where each runs, those too that a
drawn line covers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.reading.records import StraightLine
from vectorize.reading.straight import huber_weights
from vectorize.trade.lines import PRINTED_LINES

# A line of printed ruling runs this share of the longest line's length.
EDGE_TO_EDGE = 0.8
# Its darkness differs from the others' by less than this share, its slope by less than this.
TONE = 0.4
PARALLEL = 0.012
# Steps between lines differ from whole pitches by less than this share of the pitch, in this share of all steps;
# shorter steps lie within one thick line.
PITCH_TOLERANCE, EVEN_STEPS, SHORTEST_STEP_PX = 0.12, 0.7, 3.0
# Lines this near to the common surface, px, are the ruling's own.
ON_SURFACE_PX = 1.2
# Where most keep nearer than that, within so many times their median distance; but this near is always near enough.
MEDIANS_OFF, LEAST_OFF_PX = 2.5, 0.25
# While the surface is fitted, lines lie about it with this standard deviation, and beyond that distance count for nothing.
SIGMA_PX, FAR_PX = 0.2, 12.0
ROUNDS = 6
# The surface is followed beyond its last lines by this share of its height.
BEYOND = 0.5


def printed_ruling(lines: tuple[StraightLine, ...]) -> tuple[tuple[StraightLine, ...], float | None]:
    """(the ruling's lines, one a pitch and marked as printed; the pitch in px); ((), None) where nothing is printed."""
    alike = _alike(lines)
    if len(alike) < PRINTED_LINES:
        return (), None
    middle = float(np.median([(x.start[0] + x.end[0]) / 2.0 for x in alike]))
    alike = sorted(alike, key=lambda x: x.y_at(middle))
    heights = np.array([x.y_at(middle) for x in alike])
    pitch = _pitch_px(heights)
    if pitch is None:
        return (), None
    numbers = np.concatenate(([0.0], np.cumsum(np.rint(np.diff(heights) / pitch))))
    ruling, surface = _surface(alike, numbers, middle)
    if surface is None:
        return ruling, pitch
    return ruling + _cut_short(lines, alike, ruling[0], surface), pitch


def _alike(lines: tuple[StraightLine, ...]) -> list[StraightLine]:
    """Long lines that share most others' darkness and slope."""
    if len(lines) < PRINTED_LINES:
        return []
    longest = max(x.end[0] - x.start[0] for x in lines)
    long_ones = [x for x in lines if x.end[0] - x.start[0] > EDGE_TO_EDGE * longest]
    if not long_ones:
        return []
    darkness = float(np.median([x.darkness for x in long_ones]))
    slope = float(np.median([x.slope for x in long_ones]))
    return [x for x in long_ones if abs(x.darkness - darkness) < TONE * darkness and abs(x.slope - slope) < PARALLEL]


def _pitch_px(heights: NDArray[np.float64]) -> float | None:
    """The pitch most steps are whole numbers of, None where they are not."""
    steps = np.diff(heights)
    steps = steps[steps > SHORTEST_STEP_PX]
    if len(steps) < PRINTED_LINES - 1:
        return None
    pitch = float(np.median(steps))
    whole = np.maximum(1.0, np.rint(steps / pitch))
    even = np.abs(steps / pitch - whole) < PITCH_TOLERANCE
    if even.mean() < EVEN_STEPS:
        return None
    return float(np.median(steps[even] / whole[even]))


@dataclass(frozen=True, slots=True, eq=False)
class _Surface:
    """y of the ruling's lines by number and x: coefficients of _basis, number of the last line, x scale."""

    fit: NDArray[Any]
    last: float
    middle: float
    span: float

    def at(self, numbers: NDArray[Any], x: float) -> NDArray[np.float64]:
        """Their y at one x."""
        t = np.full(len(numbers), (x - self.middle) / self.span)
        return np.asarray(_basis(numbers / self.last, t) @ self.fit)


def _cut_short(
    lines: tuple[StraightLine, ...], alike: list[StraightLine], pattern: StraightLine, surface: _Surface
) -> tuple[StraightLine, ...]:
    """Shorter lines above and below that lie where the ruling goes on: the picture cuts them off askew."""
    numbers = np.arange(-BEYOND * surface.last, (1.0 + BEYOND) * surface.last + 0.5).round()
    numbers = numbers[(numbers < -0.5) | (numbers > surface.last + 0.5)]
    found = []
    for line in lines:
        x0, x1 = (0.9 * a + 0.1 * b for a, b in ((line.start[0], line.end[0]), (line.end[0], line.start[0])))
        off = [np.abs(surface.at(numbers, x) - line.y_at(x)) for x in (x0, x1)]
        on_it = len(numbers) > 0 and float(np.maximum(*off).min()) < 2.0 * ON_SURFACE_PX
        if on_it and line not in alike and abs(line.darkness - pattern.darkness) < TONE * pattern.darkness:
            found.append(replace(line, printed=True))
    return tuple(found)


def _surface(
    lines: list[StraightLine], numbers: NDArray[np.float64], middle: float
) -> tuple[tuple[StraightLine, ...], _Surface | None]:
    """Every line of the ruling from its first to its last, from one smooth surface y(number, x) through all."""
    x0, x1 = min(x.start[0] for x in lines), max(x.end[0] for x in lines)
    span = max(x1 - x0, 1.0)
    columns = np.stack([np.linspace(x.start[0], x.end[0], 5) for x in lines])
    places = np.stack([x.at(c) for x, c in zip(lines, columns, strict=True)])
    last = max(float(numbers.max()), 1.0)
    k = np.broadcast_to(numbers[:, None] / last, columns.shape)
    basis = _basis(k.ravel(), (columns.ravel() - middle) / span)
    weight = np.ones(basis.shape[0])
    fit: NDArray[Any] = np.zeros(basis.shape[1])
    for _ in range(ROUNDS):
        fit = np.linalg.lstsq(basis * weight[:, None], places.ravel() * weight, rcond=None)[0]
        off = np.abs(places.ravel() - basis @ fit)
        weight = np.sqrt(huber_weights(off, SIGMA_PX)) * (off < FAR_PX)
    away = np.abs(places - (basis @ fit).reshape(places.shape))
    off, most = away.mean(axis=1), away.max(axis=1)
    # A printed line that a drawn one runs along is pulled off by it, all along or where they cross; the surface is not.
    near, farthest = (min(ON_SURFACE_PX, max(MEDIANS_OFF * float(np.median(d)), LEAST_OFF_PX)) for d in (off, most))
    own = {int(n): x for n, x, d, m in zip(numbers, lines, off, most, strict=True) if d < near and m < farthest}
    if len(own) < PRINTED_LINES:
        return (), None
    pattern = _usual(list(own.values()))
    ruling = tuple(
        replace(own[n], printed=True) if n in own else _line(pattern, n / last, fit, (x0, x1), middle)
        for n in range(int(last) + 1)
    )
    return ruling, _Surface(fit, last, middle, span)


def _basis(k: NDArray[Any], t: NDArray[Any]) -> NDArray[np.float64]:
    return np.column_stack((np.ones_like(k), k, k * k, t, k * t, t * t, k * t * t))


def _usual(lines: list[StraightLine]) -> StraightLine:
    """A line as wide, dark and whole as most of them."""
    return replace(
        lines[0],
        width_px=float(np.median([x.width_px for x in lines])),
        darkness=float(np.median([x.darkness for x in lines])),
        cover=float(np.median([x.cover for x in lines])),
    )


def _line(
    pattern: StraightLine, k: float, fit: NDArray[np.float64], span: tuple[float, float], middle: float
) -> StraightLine:
    x = np.array([span[0], (span[0] + span[1]) / 2.0, span[1]])
    y = _basis(np.full(3, k), (x - middle) / max(span[1] - span[0], 1.0)) @ fit
    sag = float(y[1] - (y[0] + y[2]) / 2.0)
    return replace(pattern, start=(float(x[0]), float(y[0])), end=(float(x[2]), float(y[2])), printed=True, sag_px=sag)
