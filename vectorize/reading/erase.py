"""Darkness and the drawn lines in it come in, darkness without the lines goes out; letters keep their edges.

Where a line runs through a letter nothing is done; where it runs on paper it is wiped; where it runs along an edge
its own darkness is taken away as if it lay over the letter like a second glaze, 1 - (1 - D) / (1 - L).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import box_mean, row_mean
from vectorize.reading.records import LineCourse
from vectorize.trade.ink import LINE_ZONE_MARGIN_RATIO

# Beyond a line's zone this many x-heights are looked at for ink.
LOOK = 0.022
# Ink is meant where a look finds this share of the letters' darkness.
INK_SHARE = 0.33
# What stands out of a line's own unevenness by so many median deviations is drawn over it.
SURE = 6.0
# A line's own darkness profile is sampled so finely, px.
PROFILE_STEP = 0.5
# What is told of a column is averaged along the line over so many x-heights.
ALONG = 0.06
# A line is seen where it has this share of its usual darkness; more than MORE of it is something drawn over it,
# more than THICK of it is surely a stroke.
SEEN, MORE, THICK = 0.35, 1.3, 1.6
# No line is taken to let through less of the light than this.
LEAST_LIGHT = 0.15
# What a line leaves of a pixel is pencil from this share of the letters' darkness on.
COVERED = 0.4
# Too few clean columns tell nothing of a line's profile.
CLEAN_COLUMNS = 12


def line_zone(courses: tuple[LineCourse, ...], shape: tuple[int, int], x_height_px: float) -> NDArray[np.bool_]:
    """Where lines run, margin included; bool (h, w)."""
    zone = np.zeros(shape, bool)
    for course in courses:
        rows, columns = _zone_rows(course, shape, x_height_px)
        zone[rows, columns] = True
    return zone


def erase_lines(
    darkness: NDArray[np.float32],
    courses: tuple[LineCourse, ...],
    ink_level: float,
    paper_level: float,
    x_height_px: float,
) -> NDArray[np.float32]:
    """Darkness (h, w) with each line taken out.

    ink_level: darkness of the letters; paper_level: of bare paper.
    """
    clean = darkness.copy()
    for course in courses:
        _erase(clean, course, ink_level, paper_level, x_height_px)
    return clean


def _zone_rows(
    course: LineCourse, shape: tuple[int, int], x_height_px: float
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Row and column indices of a line's zone, both (n, columns), cut to the strip."""
    reach = int(np.ceil(course.half_width_px + LINE_ZONE_MARGIN_RATIO * x_height_px))
    columns = np.flatnonzero(np.isfinite(course.middle_px))
    centre = np.floor(course.middle_px[columns]).astype(np.intp)
    rows = centre[None, :] + np.arange(-reach, reach + 1)[:, None]
    inside = (rows >= 0) & (rows < shape[0])
    keep = inside.all(axis=0)
    return rows[:, keep], np.broadcast_to(columns[keep], rows[:, keep].shape)


def _erase(
    d: NDArray[np.float32], course: LineCourse, ink_level: float, paper_level: float, x_height_px: float
) -> None:
    rows, columns = _zone_rows(course, d.shape, x_height_px)
    if rows.shape[1] < CLEAN_COLUMNS:
        return
    zone = d[rows, columns]
    above = _look(d, rows[0], columns[0], -1, x_height_px)
    below = _look(d, rows[-1], columns[0], +1, x_height_px)
    limit = paper_level + INK_SHARE * (ink_level - paper_level)
    inked_above, inked_below = above > limit, below > limit
    paper = ~(inked_above | inked_below)
    alone, thick = _line_alone(zone, paper, paper_level, x_height_px)
    line = _profile(zone, rows + 0.5 - course.middle_px[columns], alone, paper_level)
    bare = 1.0 - (1.0 - zone) / np.maximum(1.0 - line, LEAST_LIGHT)
    bare = np.clip(bare, 0.0, np.maximum(zone, 0.0)).astype(np.float32)
    # A hairline or an outline that lies wholly in the zone has paper on both sides; what the line leaves of it tells.
    left_over = box_mean(bare, (1, max(3, round(ALONG * x_height_px)))).max(axis=0)
    usual = np.median(left_over[alone]) if alone.any() else 0.0
    scatter = np.median(np.abs(left_over[alone] - usual)) if alone.any() else 0.0
    # Where a stroke no darker than the line lies on it, only their common thickness tells.
    thick &= left_over > paper_level + 0.5 * (limit - paper_level)
    wiped = paper & ~thick & (left_over < max(limit, usual + SURE * scatter))
    # Where pencil lies over the line, the line adds hardly anything to it.
    rise = ink_level - paper_level
    covered = (bare > paper_level + COVERED * rise) | (thick & (zone > paper_level + 0.5 * rise))
    kept = (inked_above & inked_below) | (paper & covered)
    d[rows, columns] = np.where(wiped, min(paper_level, ink_level), np.where(kept, zone, bare))


def _line_alone(
    zone: NDArray[np.float32], paper: NDArray[np.bool_], paper_level: float, x_height_px: float
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Columns of a zone that show the line by itself, and those with far more than the line; (columns,) each.

    A serif that lies along the line has paper on both sides too, but with it there is more darkness across the zone. A
    dashed line shows nothing in some columns: they are no measure.
    """
    nowhere = np.zeros_like(paper)
    if paper.sum() < CLEAN_COLUMNS:
        return paper, nowhere
    mass = row_mean(np.maximum(zone - paper_level, 0.0).sum(axis=0), max(3, round(ALONG * x_height_px)))
    seen = mass[paper & (mass > SEEN * np.median(mass[paper]))]
    if len(seen) < CLEAN_COLUMNS:
        return paper, nowhere
    low, usual = np.quantile(seen, (0.1, 0.3))
    alone: NDArray[np.bool_] = paper & (mass < max(usual + SURE * (usual - low), MORE * usual))
    return alone, paper & (mass > THICK * usual)


def _look(
    d: NDArray[np.float32], edge: NDArray[np.intp], columns: NDArray[np.intp], way: int, x_height_px: float
) -> NDArray[np.float32]:
    """Mean darkness of a short look beyond the zone's edge, smoothed a little along the line; (columns,)."""
    reach = max(2, round(LOOK * x_height_px))
    rows = np.clip(edge[None, :] + way * np.arange(1, reach + 1)[:, None], 0, d.shape[0] - 1)
    look = d[rows, columns[None, :]].mean(axis=0)
    return row_mean(look, 3)


def _profile(
    zone: NDArray[np.float32], offset: NDArray[np.float64], paper: NDArray[np.bool_], paper_level: float
) -> NDArray[np.float32]:
    """The line's own darkness above paper at each offset from its middle, taken where it runs on bare paper."""
    if paper.sum() < CLEAN_COLUMNS:
        return np.zeros_like(zone)
    bins = np.round(offset / PROFILE_STEP).astype(np.intp)
    low = int(bins.min())
    on_paper = bins[:, paper].ravel() - low
    count = np.bincount(on_paper)
    total = np.bincount(on_paper, zone[:, paper].ravel().astype(float))
    mean = np.maximum(total / np.maximum(count, 1) - paper_level, 0.0)
    profile = np.zeros(int(bins.max()) - low + 1)
    profile[: len(mean)] = np.where(count > 0, mean, 0.0)
    return profile[bins - low].astype(np.float32)
