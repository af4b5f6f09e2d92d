"""Strip and Letters come in; the lines the word stands on go out, with the frame of letter units they set.

Drawn lines are taken as drawn, each with its own angle. Where a line is not drawn it is inferred from the letters:
flat feet and heads tell it, round ones pass it by their overshoot.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from vectorize.brief import Brief
from vectorize.geometry import Affine, Point
from vectorize.reading.bowed import bows_told, straightened
from vectorize.reading.doubts import doubts, may_be_capitals
from vectorize.reading.feet import body_of, feet_of, heads_of
from vectorize.reading.levels import Levels, first_x_height, settle_levels
from vectorize.reading.naming import Names, name_lines
from vectorize.reading.records import Guide, Guides, GuideSource, LetterInk, Letters, LineCourse, Strip
from vectorize.reading.straight import level_of
from vectorize.reading.strip import capitals_told
from vectorize.trade.lines import MEAN_OF_CAP, OFF_THE_BASELINE_DEG

# How well the slope of a drawn line tells another's, radians: lines ruled by hand differ by a sixth of a degree. The
# baseline's own, where it is drawn, is hardly in doubt.
DRAWN_DOUBT, BASELINE_DOUBT = 0.003, 1e-5
# Feet stand on a printed line when this share of them is so near to it, in x-heights.
STANDS_ON, CARRIES = 0.03, 0.35


def settle_guides(strip: Strip, letters: Letters, brief: Brief) -> Guides:
    """Name the drawn lines, infer the others, and set the letter frame.

    Drawn lines keep their own angle each; ends are as long as the line is drawn, at least as long as the word.
    """
    columns, heads, feet = _outline_rows(letters.letters, strip)
    span = float(columns.min()), float(columns.max())
    middle = (span[0] + span[1]) / 2.0
    candidates = straightened(_candidates(strip, columns, feet), letters.letters, strip.x_height_px)
    heights = np.array([y_at(x, middle) for x in candidates])
    a_capital = None if brief.names is None else any(c.isupper() for c in brief.names)
    names = name_lines(heights, heads, feet, capitals=capitals_told(brief), a_capital=a_capital)
    drawn = [None if i is None else Guide(GuideSource.DRAWN, *_ends(candidates[i], span)) for i in names.lines]
    levels = _levels(letters, columns, heads, feet, names, drawn, strip)
    baseline = drawn[0] or _level_guide(levels.slope, levels.height, middle, span)
    mean = drawn[1]
    x_height_px, source = levels.x_height_px * uprightness(baseline), names.x_height_source
    if mean is not None:
        x_height_px, source = rise_px(mean, baseline, middle), "mean-line"
    elif source == "cap-height":
        cap_height_px = x_height_px if drawn[2] is None else rise_px(drawn[2], baseline, middle)
        x_height_px = float(MEAN_OF_CAP) * cap_height_px
    else:
        mean = raised(baseline, x_height_px)
    foot_px = np.array([y_at(baseline, float(x)) for x in columns])
    return Guides(
        baseline=baseline,
        mean_line=mean,
        cap_line=drawn[2],
        ascender_line=drawn[3],
        descender_line=drawn[4],
        to_units=letter_frame(baseline, x_height_px, letters),
        x_height_px=x_height_px,
        x_height_source=source,
        remarks=(
            *doubts(x_height_px, source, strip, drawn=names.baseline is not None),
            *bows_told(_said(names, candidates), letters.letters, x_height_px),
            *may_be_capitals(foot_px - heads, feet - foot_px, x_height_px, brief),
        ),
    )


def _said(names: Names, candidates: tuple[LineCourse, ...]) -> dict[str, LineCourse]:
    """The drawn lines by which the word is judged, named as they are said."""
    said = zip(("baseline", "mean line", "cap line"), names.lines, strict=False)
    return {name: candidates[i] for name, i in said if i is not None}


def _levels(
    letters: Letters,
    columns: NDArray[np.float64],
    heads: NDArray[np.float64],
    feet: NDArray[np.float64],
    names: Names,
    drawn: list[Guide | None],
    strip: Strip,
) -> Levels:
    """What the letters alone say of baseline and x-height (cap height in a word of capitals), held to what is drawn."""
    middle = float((columns.min() + columns.max()) / 2.0)
    stands = tuple(e for x in letters.letters for e in feet_of(x, strip.x_height_px))
    ends = tuple(e for x in letters.letters for e in heads_of(x, strip.x_height_px))
    base = drawn[0]
    slopes = tuple((_slope(g), BASELINE_DOUBT if g is base else DRAWN_DOUBT) for g in drawn if g is not None)
    if base is not None:
        start, stands = (_slope(base), y_at(base, middle)), ()
    else:
        start = level_of(columns, heads, feet, float(np.quantile(feet, 0.95) - np.quantile(heads, 0.05)))
    scale = names.x_height_px
    if names.x_height_source == "cap-height":
        scale /= float(MEAN_OF_CAP)
    elif names.mean_line is None:
        scale = first_x_height(ends, *start, middle) or scale
    return settle_levels(stands, ends, start, middle, scale, slopes)


def _level_guide(slope: float, height: float, middle: float, span: tuple[float, float]) -> Guide:
    (x0, x1) = span
    return Guide(GuideSource.INFERRED, (x0, height + slope * (x0 - middle)), (x1, height + slope * (x1 - middle)))


def _outline_rows(
    letters: tuple[LetterInk, ...], strip: Strip
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Column, topmost and lowest ink of all letters, px."""
    w = strip.view.absorbance.shape[1]
    heads, feet = np.full(w, np.inf), np.full(w, -np.inf)
    for letter in letters:
        inked = body_of(letter.coverage) > 0.5
        columns = np.flatnonzero(inked.any(axis=0))
        top = letter.top_px + inked[:, columns].argmax(axis=0)
        bottom = letter.top_px + len(inked) - inked[::-1, columns].argmax(axis=0)
        at = columns + letter.left_px
        keep = (at >= 0) & (at < w)
        heads[at[keep]] = np.minimum(heads[at[keep]], top[keep])
        feet[at[keep]] = np.maximum(feet[at[keep]], bottom[keep])
    columns = np.flatnonzero(np.isfinite(heads))
    return np.asarray(columns + 0.5, float), heads[columns], feet[columns]


def _candidates(strip: Strip, columns: NDArray[np.float64], feet: NDArray[np.float64]) -> tuple[LineCourse, ...]:
    """Lines that run under or over most of the word and lie nearly level.

    Printed ruling is a guideline only where nothing is drawn and the feet stand on one of its lines.
    """
    width = float(np.ptp(columns))
    over = [
        x
        for x in strip.lines
        if min(x.end[0], columns.max()) - max(x.start[0], columns.min()) > 0.5 * width
        and abs(math.degrees(_slope(x))) < OFF_THE_BASELINE_DEG
    ]
    drawn = tuple(x for x in over if not x.printed)
    if drawn:
        return drawn
    at = columns.astype(int)
    stands = (np.abs(feet - x.middle_px[at]) < STANDS_ON * strip.x_height_px for x in over)
    return tuple(over) if any(s.mean() > CARRIES for s in stands) else ()


def _ends(course: LineCourse, span: tuple[float, float]) -> tuple[Point, Point]:
    """The line's ends: as drawn, and at least as long as the word."""
    x0, x1 = min(course.start[0], span[0]), max(course.end[0], span[1])
    return (x0, y_at(course, x0)), (x1, y_at(course, x1))


def _slope(line: Guide | LineCourse) -> float:
    return (line.end[1] - line.start[1]) / (line.end[0] - line.start[0])


def y_at(line: Guide | LineCourse, x: float) -> float:
    """Height y in strip px of the straight between a line's ends, run on beyond them."""
    return line.start[1] + _slope(line) * (x - line.start[0])


def uprightness(baseline: Guide) -> float:
    """Share of a height, as columns of the strip show it, that is square to the baseline."""
    return math.cos(math.atan(_slope(baseline)))


def rise_px(line: Guide, baseline: Guide, x: float) -> float:
    """How far a line stands above the baseline at a place x of the strip, square to the baseline."""
    return (y_at(baseline, x) - y_at(line, x)) * uprightness(baseline)


def raised(baseline: Guide, by_px: float) -> Guide:
    """The line that stands so far above a baseline, square to it; it is inferred."""
    (x0, y0), (x1, y1) = baseline.start, baseline.end
    rise = by_px / uprightness(baseline)
    return Guide(GuideSource.INFERRED, (x0, y0 - rise), (x1, y1 - rise))


def x_height_of_letters(letters: Letters, baseline: Guide, middle: float, near_px: float) -> float:
    """The height in px, square to the baseline, that the small letters reach; as `near_px` is where no head tells.

    middle: x of the word's middle, strip px. near_px: a rough x-height.
    """
    heads = tuple(e for x in letters.letters for e in heads_of(x, near_px))
    start = _slope(baseline), y_at(baseline, middle)
    first = first_x_height(heads, *start, middle) or near_px
    levels = settle_levels((), heads, start, middle, first, ((start[0], BASELINE_DOUBT),))
    return levels.x_height_px * uprightness(baseline)


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
