"""Strip and Letters come in; the lines the word stands on go out, with the frame of letter units they set.

Drawn lines are taken as drawn, each with its own angle. Where a line is not drawn it is inferred from the letters:
flat feet and heads tell it, round ones pass it by their overshoot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.brief import Brief
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Point
from vectorize.reading.naming import Names, name_lines
from vectorize.reading.records import Guide, Guides, GuideSource, LetterInk, Letters, LineCourse, Ruling, Strip
from vectorize.reading.straight import huber_fit, level_of
from vectorize.reading.strip import capitals_told
from vectorize.trade.lines import OFF_THE_BASELINE_DEG, OVERSHOOT, SMALLEST_X_HEIGHT_PX

# A foot is flat when it is nearly as wide at its very end as a little further in.
FLAT = 0.72
END_DEPTH = 0.015
INNER_DEPTH = 0.06


@dataclass(frozen=True, slots=True)
class _End:
    """A letter's lowest or highest place: x, y in strip px, and whether it is flat."""

    x: float
    y: float
    flat: bool


def settle_guides(strip: Strip, ruling: Ruling, letters: Letters, brief: Brief) -> Guides:
    """Name the drawn lines, infer the others, and set the letter frame."""
    del ruling
    columns, heads, feet = _outline_rows(letters.letters, strip)
    middle = float((columns.min() + columns.max()) / 2.0)
    row_px = float(np.quantile(feet, 0.95) - np.quantile(heads, 0.05))
    candidates = _candidates(strip, columns)
    heights = np.array([_course_height(x, middle) for x in candidates])
    names = name_lines(heights, heads, feet, capitals=capitals_told(brief))
    span = float(columns.min()), float(columns.max())
    if names.baseline is not None:
        base = candidates[names.baseline]
        baseline = Guide(GuideSource.DRAWN, *_ends(base, span))
    else:
        baseline = _inferred_baseline(letters, strip, columns, heads, feet, row_px, span)
    rise = _line_y(baseline, middle) - heads
    mean = _drawn(candidates, names.mean_line, span)
    x_height_px, source = _x_height(names, baseline, mean, letters, strip, rise, middle)
    if mean is None and source == "letters":
        mean = _above(baseline, x_height_px)
    guides = Guides(
        baseline=baseline,
        mean_line=mean,
        cap_line=_drawn(candidates, names.cap_line, span),
        ascender_line=_drawn(candidates, names.ascender_line, span),
        descender_line=_drawn(candidates, names.descender_line, span),
        to_units=letter_frame(baseline, x_height_px, letters),
        x_height_px=x_height_px,
        x_height_source=source,
        remarks=_remarks(names, x_height_px, source),
    )
    return guides


def _outline_rows(
    letters: tuple[LetterInk, ...], strip: Strip
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Column, topmost and lowest ink of all letters, px."""
    h, w = strip.view.absorbance.shape[:2]
    heads, feet = np.full(w, np.inf), np.full(w, -np.inf)
    for letter in letters:
        inked = letter.coverage > 0.5
        columns = np.flatnonzero(inked.any(axis=0))
        top = letter.top_px + inked[:, columns].argmax(axis=0)
        bottom = letter.top_px + len(inked) - inked[::-1, columns].argmax(axis=0)
        at = columns + letter.left_px
        keep = (at >= 0) & (at < w)
        heads[at[keep]] = np.minimum(heads[at[keep]], top[keep])
        feet[at[keep]] = np.maximum(feet[at[keep]], bottom[keep])
    columns = np.flatnonzero(np.isfinite(heads))
    return columns + 0.5, heads[columns], feet[columns]


def _candidates(strip: Strip, columns: NDArray[np.float64]) -> tuple[LineCourse, ...]:
    """Lines that run under or over most of the word and lie nearly level; printed ruling only where nothing else is drawn."""
    width = float(np.ptp(columns))
    over = [
        x
        for x in strip.lines
        if min(x.end[0], columns.max()) - max(x.start[0], columns.min()) > 0.5 * width
        and abs(math.degrees(_course_slope(x))) < OFF_THE_BASELINE_DEG
    ]
    return tuple(x for x in over if not x.printed)


def _course_slope(course: LineCourse) -> float:
    return (course.end[1] - course.start[1]) / (course.end[0] - course.start[0])


def _course_height(course: LineCourse, x: float) -> float:
    return course.start[1] + _course_slope(course) * (x - course.start[0])


def _ends(course: LineCourse, span: tuple[float, float]) -> tuple[Point, Point]:
    """The line's ends: as drawn, and at least as long as the word."""
    x0, x1 = min(course.start[0], span[0]), max(course.end[0], span[1])
    return (x0, _course_height(course, x0)), (x1, _course_height(course, x1))


def _drawn(candidates: tuple[LineCourse, ...], index: int | None, span: tuple[float, float]) -> Guide | None:
    return None if index is None else Guide(GuideSource.DRAWN, *_ends(candidates[index], span))


def _line_y(guide: Guide, x: float) -> float:
    slope = (guide.end[1] - guide.start[1]) / (guide.end[0] - guide.start[0])
    return guide.start[1] + slope * (x - guide.start[0])


def _ends_of(letters: Letters, strip: Strip, *, lower: bool) -> list[_End]:
    """Each letter's foot or head."""
    ends = []
    xh = strip.x_height_px
    for letter in letters.letters:
        c = letter.coverage if not lower else letter.coverage[::-1]
        inked = c > 0.5
        rows = np.flatnonzero(inked.any(axis=1))
        if not len(rows):
            continue
        first = int(rows[0])
        edge = _edge_row(c, first)
        width = lambda depth, c=c, first=first: float((c[min(len(c) - 1, first + max(1, int(depth * xh)))] > 0.5).sum())  # noqa: E731
        flat = width(END_DEPTH) >= FLAT * max(width(INNER_DEPTH), 1.0)
        y = letter.top_px + (len(c) - edge if lower else edge)
        columns = np.flatnonzero(inked[first : first + max(1, int(INNER_DEPTH * xh))].any(axis=0))
        ends.append(_End(letter.left_px + float(columns.mean()) + 0.5, float(y), flat))
    return ends


def _edge_row(coverage: NDArray[np.float32], first: int) -> float:
    """The sub-pixel row where the outermost ink begins: where the widest part of the first rows crosses one half."""
    window = coverage[max(0, first - 1) : first + 3]
    column = window[: 2 if first else 1].max(axis=0).argmax()
    above = float(coverage[first - 1, column]) if first else 0.0
    here = float(coverage[first, column])
    return first + 0.5 - (here - 0.5) / max(here - above, 1e-6) if here > 0.5 else float(first)


def _inferred_baseline(
    letters: Letters,
    strip: Strip,
    columns: NDArray[np.float64],
    heads: NDArray[np.float64],
    feet: NDArray[np.float64],
    row_px: float,
    span: tuple[float, float],
) -> Guide:
    slope, height = level_of(columns, heads, feet, row_px)
    middle = float((columns.min() + columns.max()) / 2.0)
    ends = [
        e for e in _ends_of(letters, strip, lower=True) if abs(e.y - height - slope * (e.x - middle)) < 0.08 * row_px
    ]
    if len(ends) >= 2:
        x = np.array([e.x for e in ends])
        y = np.array([e.y - (0.0 if e.flat else float(OVERSHOOT) * strip.x_height_px) for e in ends])
        weight = np.array([1.0 if e.flat else 0.4 for e in ends])
        degree = 1 if np.ptp(x) > 0.8 * strip.x_height_px else 0
        fit = huber_fit(x, y, weight, degree)
        at = lambda v: float(np.polyval(fit, v))  # noqa: E731
    else:
        at = lambda v: height + slope * (v - middle)  # noqa: E731
    return Guide(GuideSource.INFERRED, (span[0], at(span[0])), (span[1], at(span[1])))


def _x_height(
    names: Names,
    baseline: Guide,
    mean: Guide | None,
    letters: Letters,
    strip: Strip,
    rise: NDArray[np.float64],
    middle: float,
) -> tuple[float, str]:
    if mean is not None:
        return _line_y(baseline, middle) - _line_y(mean, middle), "mean-line"
    if names.x_height_source == "cap-height":
        return names.x_height_px, "cap-height"
    del rise
    rises = [(_line_y(baseline, e.x) - e.y, e.flat) for e in _ends_of(letters, strip, lower=False)]
    near = [(r, f) for r, f in rises if abs(r - names.x_height_px) < 0.10 * names.x_height_px]
    if not near:
        return names.x_height_px, "letters"
    return float(np.median([r if f else r / (1.0 + float(OVERSHOOT)) for r, f in near])), "letters"


def _above(baseline: Guide, x_height_px: float) -> Guide:
    (x0, y0), (x1, y1) = baseline.start, baseline.end
    return Guide(GuideSource.INFERRED, (x0, y0 - x_height_px), (x1, y1 - x_height_px))


def letter_frame(baseline: Guide, x_height_px: float, letters: Letters) -> Affine:
    """Strip px to letter units: the baseline becomes level, the first letter's left edge x = 0."""
    (x0, y0), (x1, y1) = baseline.start, baseline.end
    turn = math.atan2(y1 - y0, x1 - x0)
    c, s = math.cos(turn), math.sin(turn)
    k = 1000.0 / x_height_px
    level = Affine(c, s, -s, c, -(c * x0 + s * y0), s * x0 - c * y0)
    first = letters.letters[0]
    inked = np.flatnonzero((first.coverage > 0.5).any(axis=0))
    left, _ = level.point((first.left_px + float(inked[0]), first.top_px + len(first.coverage) / 2.0))
    return level.then(Affine.shift(-left)).then(Affine.scale(k, -k))


def _remarks(names: Names, x_height_px: float, source: str) -> tuple[Finding, ...]:
    told = []
    if names.baseline is None:
        told.append(
            Finding(
                "reading",
                (),
                None,
                None,
                "",
                Severity.NOTE,
                "No drawn baseline was found, so the level is taken from the letters' feet; this reading is less sure. "
                "Rule the guidelines a little darker, or over the whole word.",
            )
        )
    if source == "cap-height":
        told.append(
            Finding(
                "reading",
                (),
                round(float(x_height_px), 1),
                None,
                "px",
                Severity.NOTE,
                "The word is read as capitals alone, so its x-height is reckoned as seven tenths of the cap height. "
                "If it has small letters, give the word with --word.",
            )
        )
    if x_height_px < SMALLEST_X_HEIGHT_PX:
        told.append(
            Finding(
                "reading",
                (),
                round(float(x_height_px), 1),
                float(SMALLEST_X_HEIGHT_PX),
                "px",
                Severity.LOOK_AGAIN,
                f"The small letters are only {x_height_px:.0f} pixels high in this picture; from {SMALLEST_X_HEIGHT_PX:.0f} on "
                "the edges can be trusted. Photograph the word closer, or scan it at 300 dpi.",
            )
        )
    return tuple(told)
