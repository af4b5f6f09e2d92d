"""A Paper comes in, its straight lines go out: drawn ones, and those of ruled or squared paper told apart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Affine, Point, angle_deg
from vectorize.raster import greatest, greatest_channel, least, least_channel
from vectorize.reading.dots import erase_dots
from vectorize.reading.lines import FINEST, find_lines
from vectorize.reading.printed import printed_ruling
from vectorize.reading.records import Paper, Ruling, StraightLine

# What is dark over so many px of a column is no line but a letter.
UPRIGHT_PX = 9
# What is left of a printed line, once it is taken off, is fainter than this share of it, and rougher than blank paper by
# the other.
REMAINS, GRAIN_LEFT = 0.6, 0.12
# Rows of dots, seen over less than this share of their length, are no lines: taken off as lines, they may be left up to so
# many times as dark.
WHOLE, REMAINS_OF_DOTS = 0.85, 1.6
# Px above and below a line in which its darkness is looked for.
REACH = 4
# Darker than this is no blank paper; so few px of it are no letter.
DARK, FEWEST_PX = 0.08, 50
# Ink is darker than this share of the darkest letters, told by a quantile of all that is dark, and than this at least.
INKED, DARKEST_QUANTILE, LEAST_INKED = 0.4, 0.85, 0.10
# Dots of dotted paper are no larger than this share of their pitch to each side.
DOT_OF_PITCH = 0.2
# Squares are as wide as they are high but for what is left of perspective.
SQUARE = 0.25


def find_ruling(paper: Paper) -> Ruling:
    """All nearly level straight lines of the sheet, in sheet px."""
    darkness, solid = darkest(paper.overview), solid_ink(paper.overview)
    lines = find_lines(darkness, solid)
    printed, pitch = printed_ruling(lines)
    uprights: tuple[StraightLine, ...] = ()
    if printed and pitch is not None:
        uprights = _upright_ruling(paper.overview, pitch)
        bare = _without_dots(darkness, printed, uprights, pitch) if uprights else darkness
        dotted = bare is not darkness
        if not dotted:
            bare = without_ruling(darkness, printed, uprights)
            solid = solid_ink(paper.overview, (printed, uprights)) if uprights else solid
        # Drawn lines that cross printed ones at a small angle show whole only when the printed ones are gone.
        drawn = find_lines(bare, solid, FINEST if dotted else GRAIN_LEFT * printed[0].darkness)
        lines = printed + tuple(x for x in drawn if not _remains(x, printed, crossed=bool(uprights) and not dotted))
    grow = 1.0 / paper.overview_scale
    sheet = tuple(scaled(x, grow) for x in lines)
    upright = tuple(scaled(x, grow) for x in uprights)
    return Ruling(sheet, None if pitch is None else pitch * grow, _camera_deg(sheet, paper), uprights=upright)


def lettering(paper: Paper, ruling: Ruling) -> NDArray[np.bool_]:
    """Where something thicker than a line is dark on the sheet's overview, the squares of its paper taken off; (h, w)."""
    if not ruling.uprights:
        return solid_ink(paper.overview)
    level = tuple(scaled(x, paper.overview_scale) for x in ruling.lines if x.printed)
    return solid_ink(paper.overview, (level, tuple(scaled(x, paper.overview_scale) for x in ruling.uprights)))


def _without_dots(
    darkness: NDArray[np.float32], level: tuple[StraightLine, ...], upright: tuple[StraightLine, ...], pitch: float
) -> NDArray[np.float32]:
    """Darkness (h, w) of dotted paper without its dots; the very same where lines cross instead."""
    h, w = darkness.shape
    rows, columns = (tuple(x.at(np.arange(size) + 0.5) for x in lines) for lines, size in ((level, w), (upright, h)))
    reach = max(3, round(DOT_OF_PITCH * pitch))
    return erase_dots(darkness, rows, columns, 1.0, float(np.median(darkness)), reach)


def _upright_ruling(overview: NDArray[np.float32], pitch: float) -> tuple[StraightLine, ...]:
    """The upright lines of squared paper, x and y exchanged; none on paper that is only ruled."""
    turned = np.swapaxes(overview, 0, 1)
    uprights, own_pitch = printed_ruling(find_lines(darkest(turned), solid_ink(turned)))
    return uprights if own_pitch is not None and abs(own_pitch / pitch - 1.0) < SQUARE else ()


def without_ruling(
    darkness: NDArray[np.float32], level: tuple[StraightLine, ...], upright: tuple[StraightLine, ...]
) -> NDArray[np.float32]:
    """Darkness (h, w) with the lines of ruled or squared paper taken off; upright: x and y exchanged."""
    bare = without(darkness, level) if level else darkness
    return without(bare.T, upright).T if upright else bare


def darkest(absorbance: NDArray[np.float32]) -> NDArray[np.float32]:
    """The most that any of the three channels is darkened, (h, w)."""
    return greatest_channel(absorbance)


def solid_ink(
    overview: NDArray[np.float32],
    squares: tuple[tuple[StraightLine, ...], tuple[StraightLine, ...]] = ((), ()),
) -> NDArray[np.bool_]:
    """Where something thicker than a line is dark: letters, by an opening along the columns; bool (h, w).

    squares: level and upright lines of squared paper, px of the overview; they are taken off first.
    """
    dark = least_channel(overview)
    dark = without_ruling(dark, *squares)
    strong = dark[dark > DARK]
    if len(strong) < FEWEST_PX:
        return np.zeros(dark.shape, bool)
    mask = dark > max(LEAST_INKED, INKED * float(np.quantile(strong, DARKEST_QUANTILE)))
    upright = least(least(greatest(mask, 3), 3), UPRIGHT_PX, axis=0)
    return greatest(upright, UPRIGHT_PX, axis=0)


def without(darkness: NDArray[np.float32], lines: tuple[StraightLine, ...], reach: int = REACH) -> NDArray[np.float32]:
    """Darkness (h, w) with lines that are all of one make taken off, as glazes are: 1 - (1 - D) / (1 - L).

    reach: px above and below each line's middle in which it is looked for.
    """
    h, w = darkness.shape
    places = []
    for line in lines:
        columns = np.arange(max(0, int(line.start[0])), min(w, int(line.end[0]) + 1))
        middle = line.at(columns + 0.5)
        rows = np.floor(middle).astype(np.intp)[None, :] + np.arange(-reach, reach + 1)[:, None]
        inside = ((rows >= 0) & (rows < h)).all(axis=0)
        rows, columns, middle = rows[:, inside], columns[inside], middle[inside]
        places.append((rows, np.broadcast_to(columns, rows.shape), rows + 0.5 - middle))
    profile = _profile(darkness, places, reach)
    bare = darkness.copy()
    for rows, columns, offset in places:
        line_dark = np.interp(offset, *profile).astype(np.float32)
        bare[rows, columns] = np.clip(1.0 - (1.0 - bare[rows, columns]) / np.maximum(1.0 - line_dark, 0.15), 0.0, 1.0)
    return bare


def _profile(
    darkness: NDArray[np.float32],
    places: list[tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]],
    reach: int,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(offsets, darkness above the paper's) across one line, the median over all of them."""
    offset = np.concatenate([o[:, ::3].ravel() for _, _, o in places])
    value = np.concatenate([darkness[r[:, ::3], c[:, ::3]].ravel() for r, c, _ in places])
    steps = np.arange(-2 * reach, 2 * reach + 1) / 2.0
    bins = np.rint(offset * 2.0).astype(np.intp) + 2 * reach
    median = np.array([np.median(value[bins == k]) if (bins == k).any() else 0.0 for k in range(len(steps))])
    paper = float(np.median(median[[0, 1, -2, -1]]))
    return steps, np.maximum(median - paper, 0.0)


def _remains(line: StraightLine, printed: tuple[StraightLine, ...], *, crossed: bool) -> bool:
    """Whether a faint line is only what is left of a printed one; crossed: by uprights, which hide parts of it."""
    x = np.linspace(line.start[0], line.end[0], 7)
    own = line.at(x)
    return any(
        line.darkness < (REMAINS if crossed or p.cover > WHOLE else REMAINS_OF_DOTS) * p.darkness
        and float(np.abs(own - p.at(x)).max()) < max(3.0, p.width_px)
        for p in printed
    )


def scaled(line: StraightLine, grow: float) -> StraightLine:
    """The line in a frame with `grow` px to each px of its own."""
    to_sheet = Affine.scale(grow)
    return replace(
        line,
        start=to_sheet.point(line.start),
        end=to_sheet.point(line.end),
        width_px=line.width_px * grow,
        sag_px=line.sag_px * grow,
    )


def _camera_deg(lines: tuple[StraightLine, ...], paper: Paper) -> float | None:
    """Median angle in the picture of the printed lines."""
    angles = [angle_deg(*_ends_in_picture(x, paper)) for x in lines if x.printed]
    return float(np.median(angles)) if angles else None


def _ends_in_picture(line: StraightLine, paper: Paper) -> tuple[Point, Point]:
    p, q = paper.to_picture.apply(np.array([line.start, line.end]))
    return (float(p[0]), float(p[1])), (float(q[0]), float(q[1]))
