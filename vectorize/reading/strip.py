"""Photo, Paper and Ruling come in; the line of lettering goes out, cut from the sheet, level, at working resolution."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Homography, PlaneMap, Point, chained
from vectorize.reading.bend import Bow
from vectorize.reading.courses import follow_all
from vectorize.reading.naming import Names, name_lines
from vectorize.reading.paper import view
from vectorize.reading.records import LineCourse, Paper, Photo, Ruling, StraightLine, Strip, View
from vectorize.reading.resample import scale_at_middle
from vectorize.reading.rows import Row, find_rows
from vectorize.reading.ruling import darkest, lettering
from vectorize.reading.straight import level_of
from vectorize.trade.lines import OFF_THE_BASELINE_DEG, SMALLEST_X_HEIGHT_PX, WORKING_X_HEIGHT_PX

# White kept around the row, in x-heights.
MARGIN = 0.6
# Letters too small to be trusted are enlarged to this x-height: the windows of the stages after are whole pixels.
ENLARGED_PX = 120.0
# Guidelines of a row lie within this many row heights above and below it.
NEAR_ROW = 0.9
# Lines whose slopes differ by less were ruled alike; a slope off the letters' own by a fifth has one vote less.
ALIKE_SLOPE, LETTERS_SAY = 0.02, 5.0
# Tails are left room for down to so many x-heights below the baseline, whether any are seen or not.
TAIL = 0.45
# Upright lines shorter than so many x-heights are not followed.
SHORTEST_UPRIGHT = 0.5
# Rows smaller than this share of the largest are notes beside the drawing, not attempts at it.
NOTE_SIZE = 0.35


@dataclass(frozen=True, slots=True)
class _Pose:
    """How the word lies on the sheet, sheet px: slope (px down per px), a point of its baseline, x-height."""

    slope: float
    at: Point
    x_height_px: float


def cut_strip(photo: Photo, paper: Paper, ruling: Ruling, brief: Brief) -> Strip:
    """Cut the line of lettering out, level, with every line that runs through it.

    Raises PictureError where no lettering is seen, or not as many lines of it as asked for.
    """
    rows = find_rows(lettering(paper, ruling))
    row, remarks = _chosen(rows, brief, ruled=bool(ruling.lines))
    row = row.scaled(1.0 / paper.overview_scale)
    pose = _pose(row, _lines_near(ruling, row), brief)
    scale = min(1.0, float(WORKING_X_HEIGHT_PX) / pose.x_height_px)
    if pose.x_height_px < SMALLEST_X_HEIGHT_PX:
        scale = ENLARGED_PX / pose.x_height_px
    to_sheet, size_px, baseline_px = _frame(row, pose, scale, paper)
    seen = view(photo, paper, to_sheet, size_px)
    x_height_px = pose.x_height_px * scale
    lines = follow_all(darkest(seen.absorbance), _in_strip(ruling, to_sheet, size_px, scale), x_height_px)
    return Strip(
        view=seen,
        to_picture=chained(to_sheet, paper.to_picture),
        mm_per_px=None if paper.mm_per_px is None else paper.mm_per_px / scale,
        lines=lines,
        x_height_px=x_height_px,
        baseline_px=baseline_px,
        remarks=remarks,
        uprights=_uprights(seen, ruling, to_sheet, size_px, scale, x_height_px),
    )


def unbent(photo: Photo, paper: Paper, ruling: Ruling, strip: Strip, bow: Bow, remark: Finding) -> Strip:
    """The strip cut from the picture once more, without the bend that its lines showed."""
    to_sheet = chained(bow, strip.to_picture, paper.to_picture.inverse())
    height, width = strip.view.rgb.shape[:2]
    scale = 1.0 / scale_at_middle(to_sheet, (width, height))
    seen = view(photo, paper, to_sheet, (width, height))
    lines = follow_all(darkest(seen.absorbance), _in_strip(ruling, to_sheet, (width, height), scale), strip.x_height_px)
    to_picture = chained(bow, strip.to_picture)
    uprights = _uprights(seen, ruling, to_sheet, (width, height), scale, strip.x_height_px)
    remarks = (*strip.remarks, remark)
    return replace(strip, view=seen, to_picture=to_picture, lines=lines, uprights=uprights, remarks=remarks)


def _chosen(rows: tuple[Row, ...], brief: Brief, *, ruled: bool) -> tuple[Row, tuple[Finding, ...]]:
    if not rows:
        seen = (
            "Ruled lines are seen in this picture, but no lettering"
            if ruled
            else "No lettering was seen in this picture"
        )
        raise PictureError(
            f"{seen}. A word in letters clearly darker than the paper is needed, at least "
            "as high as a fortieth of the picture; photograph the sheet closer and in even light."
        )
    largest = max(r.size for r in rows)
    attempts = [r for r in rows if r.size >= NOTE_SIZE * largest]
    if brief.line is None:
        row = max(rows, key=lambda r: r.size)
    elif brief.line <= len(attempts):
        row = attempts[brief.line - 1]
    else:
        raise PictureError(
            f"Line {brief.line} was asked for, but {len(attempts)} "
            f"{'line' if len(attempts) == 1 else 'lines'} of lettering can be seen. Lines count from the top; "
            f"give a number from 1 to {len(attempts)}, or leave --line out."
        )
    if len(attempts) < 2:
        return row, ()
    number = attempts.index(row) + 1
    text = (
        f"The sheet shows {len(attempts)} lines of lettering; line {number} from the top was read"
        f"{', the largest' if brief.line is None else ''}. To read another, give its number as --line."
    )
    return row, (Finding("reading", (), float(len(attempts)), None, "lines", Severity.NOTE, text),)


def _lines_near(ruling: Ruling, row: Row) -> tuple[StraightLine, ...]:
    """Lines that may be this row's guidelines: under or over most of it, not printed ruling."""
    x0, x1 = float(row.columns.min()), float(row.columns.max())
    top, bottom = float(row.heads.min()), float(row.feet.max())
    reach = NEAR_ROW * (bottom - top)
    near = []
    for line in ruling.lines:
        shared = min(line.end[0], x1) - max(line.start[0], x0)
        y = line.y_at((x0 + x1) / 2.0)
        if not line.printed and shared > 0.5 * (x1 - x0) and top - reach < y < bottom + reach:
            near.append(line)
    return tuple(near)


def _pose(row: Row, lines: tuple[StraightLine, ...], brief: Brief) -> _Pose:
    middle = float((row.columns.min() + row.columns.max()) / 2.0)
    row_px = float(np.quantile(row.feet, 0.95) - np.quantile(row.heads, 0.05))
    free_slope, free_height = level_of(row.columns, row.heads, row.feet, row_px)
    if lines:
        common = _common_slope(lines, free_slope)
        agreeing = tuple(x for x in lines if abs(math.degrees(x.slope - common)) < OFF_THE_BASELINE_DEG)
        names = _named(row, agreeing, common, middle, brief)
        if names.baseline is not None:
            base = agreeing[names.baseline]
            return _Pose(base.slope, (middle, base.y_at(middle)), names.x_height_px)
    names = _named(row, (), free_slope, middle, brief)
    return _Pose(free_slope, (middle, free_height), names.x_height_px)


def _common_slope(lines: tuple[StraightLine, ...], free_slope: float) -> float:
    """The slope that most of the lines share; two lines that disagree are settled by the letters."""
    slopes = np.array([x.slope for x in lines])
    votes = [(np.abs(slopes - s) < ALIKE_SLOPE).sum() - LETTERS_SAY * abs(s - free_slope) for s in slopes]
    return float(slopes[int(np.argmax(votes))])


def _named(row: Row, lines: tuple[StraightLine, ...], slope: float, middle: float, brief: Brief) -> Names:
    shift = slope * (row.columns - middle)
    heights = np.array([x.y_at(middle) for x in lines])
    return name_lines(heights, row.heads - shift, row.feet - shift, capitals=capitals_told(brief))


def capitals_told(brief: Brief) -> bool | None:
    """Whether the word is told to be capitals alone; None without a word."""
    if brief.names is None:
        return None
    return not any(c.islower() for c in brief.names)


def _frame(row: Row, pose: _Pose, scale: float, paper: Paper) -> tuple[Homography, tuple[int, int], float]:
    """(strip px -> sheet px, strip size, row of the baseline in the strip)."""
    turn = math.atan(pose.slope)
    c, s = math.cos(turn), math.sin(turn)
    along = (row.columns - pose.at[0]) * c
    heads = (row.heads - pose.at[1]) * c - (row.columns - pose.at[0]) * s
    feet = (row.feet - pose.at[1]) * c - (row.columns - pose.at[0]) * s
    x = pose.x_height_px
    x0, x1 = float(along.min()) - MARGIN * x, float(along.max()) + MARGIN * x
    y0, y1 = min(float(heads.min()), -x) - MARGIN * x, max(float(feet.max()), TAIL * x) + MARGIN * x
    x0, x1 = max(x0, -pose.at[0] / c), min(x1, (paper.size_px[0] - pose.at[0]) / c)
    y0, y1 = max(y0, -pose.at[1] / c - abs(s) * x), min(y1, (paper.size_px[1] - pose.at[1]) / c + abs(s) * x)
    size_px = max(8, round((x1 - x0) * scale)), max(8, round((y1 - y0) * scale))
    to_sheet = Affine(c / scale, -s / scale, s / scale, c / scale, *_origin(pose.at, (x0, y0), c, s))
    return Homography.from_affine(to_sheet), size_px, -y0 * scale


def _origin(at: Point, corner: Point, c: float, s: float) -> Point:
    return at[0] + c * corner[0] - s * corner[1], at[1] + s * corner[0] + c * corner[1]


def _in_strip(ruling: Ruling, to_sheet: PlaneMap, size_px: tuple[int, int], scale: float) -> tuple[StraightLine, ...]:
    """The lines that run through the strip, in its px."""
    w, h = size_px
    to_strip = to_sheet.inverse()
    found = []
    for line in ruling.lines:
        x = (line.start[0] + line.end[0]) / 2.0
        middle = x, line.y_at(x)
        (x0, y0), (_, ym), (x1, y1) = (_pair(p) for p in to_strip.apply(np.array([line.start, middle, line.end])))
        if x1 < 0 or x0 > w:
            continue
        inside = replace(
            line, start=(x0, y0), end=(x1, y1), sag_px=ym - (y0 + y1) / 2.0, width_px=line.width_px * scale
        )
        heights = inside.at(np.linspace(max(0.0, x0), min(float(w), x1), 5))
        if (heights > 0).any() and (heights < h).any():
            found.append(inside)
    return tuple(found)


def _uprights(
    seen: View, ruling: Ruling, to_sheet: PlaneMap, size_px: tuple[int, int], scale: float, x_height_px: float
) -> tuple[LineCourse, ...]:
    """The upright lines of squared paper that run through the strip, x and y exchanged."""
    w, h = size_px
    to_strip = to_sheet.inverse()
    found = []
    for line in ruling.uprights:
        along = np.linspace(line.start[0], line.end[0], 9)
        y, x = to_strip.apply(np.column_stack((line.at(along), along)))[:, ::-1].T
        fit = np.polyfit(y, x, 2)
        moved = line.moved_onto(fit, max(0.0, float(y.min())), min(float(h), float(y.max())))
        (y0, x0), (y1, x1) = moved.start, moved.end
        if y1 - y0 > SHORTEST_UPRIGHT * x_height_px and max(x0, x1) > 0 and min(x0, x1) < w:
            found.append(replace(moved, width_px=line.width_px * scale))
    return follow_all(darkest(seen.absorbance).T, tuple(found), x_height_px)


def _pair(p: NDArray[np.float64]) -> Point:
    """A row of an array as a point."""
    return float(p[0]), float(p[1])
