"""A Photo comes in; out goes the Paper in it: the sheet's own frame, its true size, and an evenly lit overview."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Homography, PlaneMap, Point, angle_deg, chained, frozen
from vectorize.reading import light
from vectorize.reading.corners import unseen_corners
from vectorize.reading.holes import keep_off
from vectorize.reading.lens import lens_of
from vectorize.reading.perspective import Frame, by_facing, part_of_sheet, whole_sheet
from vectorize.reading.records import Paper, Photo, View
from vectorize.reading.resample import resampled, scale_at_middle
from vectorize.reading.ruling import find_ruling
from vectorize.reading.sheet import sheet_sides
from vectorize.reading.sides import Side
from vectorize.trade.picture import SHEET_SIZE_TOLERANCE, SHEET_SIZES_MM

OVERVIEW_PX = 1400
"""Long side of the overview: a guideline of .3 mm on an A4 sheet is still 1.4 px wide."""
EDGE_MARGIN_RATIO = 0.006
"""Of the sheet's long side: this much inside a side its shadow and thickness may still be seen."""
TOLD_BOW_RATIO = 0.002
"""Of the picture's long side: what a side may bow before it is worth a word; .6 mm on an A4 sheet that fills it."""
AT_BORDER_RATIO = 0.02
"""Of the picture's long side: a side that ends so near to the picture's border runs on beyond it."""
BENT_STEP_PX = 12
"""Where a bent region lies is reckoned at such steps, and straight between them."""
LONG_LINE_RATIO = 0.3
"""Of the sheet's width: shorter lines show a vanishing point too poorly."""


def find_paper(photo: Photo) -> Paper:
    """The sheet in the picture with perspective and uneven light undone.

    Where no side of a sheet is seen (a scan, a crop), the sheet's frame is the picture itself.
    """
    sides = by_facing(sheet_sides(photo.rgb))
    frame = whole_sheet(sides, photo.size_px) if len(sides) == 4 else None
    if frame is not None:
        paper = _unbent(photo, _on_frame(photo, frame), tuple(sides.values()))
        return replace(paper, remarks=paper.remarks + unseen_corners(sides, photo.size_px))
    if not sides:
        return _without_sheet(photo)
    frame = part_of_sheet(sides, photo.size_px, photo.focal_ratio)
    paper = _on_frame(photo, frame, _seen_in_part(sides, photo))
    lines = _parallels(paper) if len(sides) < 3 else ()
    if len(lines) > 1:
        frame = part_of_sheet(sides, photo.size_px, photo.focal_ratio, lines)
        paper = _on_frame(photo, frame, _seen_in_part(sides, photo), _taken_as_parallel(len(lines)))
    # One side alone leans with the camera as much as with the sheet.
    return paper if len(sides) > 1 else replace(paper, camera_deg=None)


def _unbent(photo: Photo, paper: Paper, sides: tuple[Side, ...]) -> Paper:
    """The same sheet with the lens's bend undone, where the sides show one; a curl is only told."""
    bow_px = max(abs(s.bow_px) for s in sides)
    paper = replace(paper, bow_px=bow_px)
    if bow_px < TOLD_BOW_RATIO * max(photo.size_px):
        return paper
    lens = lens_of(sides, photo.size_px)
    frame = None if lens is None else whole_sheet(by_facing(tuple(map(lens.straight_side, sides))), photo.size_px)
    if lens is None or frame is None:
        return replace(paper, remarks=(*paper.remarks, _curled(bow_px)))
    return _on_frame(photo, replace(frame, to_picture=chained(frame.to_picture, lens)), _bent_lens(bow_px))


def _on_frame(photo: Photo, frame: Frame, *remarks: Finding) -> Paper:
    overview, scale, stroke = _overview(photo, frame)
    middle = frame.size_px[0] / 2, frame.size_px[1] / 2
    return Paper(
        frame.to_picture,
        frame.size_px,
        frame.sheet_name,
        frame.mm_per_px,
        "page" if frame.mm_per_px else None,
        tilt_deg(frame.to_picture, middle),
        overview,
        scale,
        remarks,
        stroke,
    )


def _parallels(paper: Paper) -> tuple[tuple[Point, Point], ...]:
    """The long nearly level lines on the sheet, as ends in picture px; parallel unless shown otherwise."""
    found = (x for x in find_ruling(paper).lines if x.end[0] - x.start[0] > LONG_LINE_RATIO * paper.size_px[0])
    ends = [paper.to_picture.apply(np.array([x.start, x.end])) for x in found]
    return tuple(((float(p[0]), float(p[1])), (float(q[0]), float(q[1]))) for p, q in ends)


def tilt_deg(to_picture: PlaneMap, at_px: Point) -> float:
    """Angle in the picture of the sheet's horizontal direction through a point given in sheet px."""
    x, y = at_px
    a, b = to_picture.apply(np.array([(x - 1.0, y), (x + 1.0, y)]))
    return angle_deg((float(a[0]), float(a[1])), (float(b[0]), float(b[1])))


def view(photo: Photo, paper: Paper, to_sheet: PlaneMap, size_px: tuple[int, int]) -> View:
    """A region at any scale: `to_sheet` maps its px to sheet px; its rgb, and its absorbance with the desk blanked."""
    rgb = resampled(photo.rgb, chained(to_sheet, paper.to_picture), size_px)
    scale = scale_at_middle(to_sheet, size_px)
    within = keep_off(_on_sheet(paper, to_sheet, size_px), paper.holes, to_sheet, size_px)
    dark = light.absorbance(rgb, paper.stroke_px / scale, within)
    return View(frozen(rgb), frozen(dark))


def _on_sheet(paper: Paper, to_sheet: PlaneMap, size_px: tuple[int, int]) -> NDArray[np.bool_] | None:
    """True where a region's pixels lie on the sheet; None where no sheet is told from the picture."""
    if paper.before_turn is not None:
        to_own, own_px = paper.before_turn
        return _within(chained(to_sheet, to_own), size_px, own_px)
    own = paper.to_picture
    sheet_seen = not (isinstance(own, Homography) and np.array_equal(own.matrix, np.eye(3)))
    return _within(to_sheet, size_px, paper.size_px) if sheet_seen else None


def _within(to_plane: PlaneMap, size_px: tuple[int, int], plane_px: tuple[int, int]) -> NDArray[np.bool_]:
    """True where a region's pixels lie on the sheet or the picture, a little inside its sides."""
    m = EDGE_MARGIN_RATIO * max(plane_px)
    w, h = plane_px
    sx, sy = _places(to_plane, size_px)
    inside: NDArray[np.bool_] = (sx > m) & (sx < w - m) & (sy > m) & (sy < h - m)
    return inside


def _places(to_sheet: PlaneMap, size_px: tuple[int, int]) -> tuple[NDArray[Any], NDArray[Any]]:
    """Where in the sheet each pixel of a region lies: (h, w) of x and of y."""
    w, h = size_px
    if not isinstance(to_sheet, Homography):
        columns, rows = (np.linspace(0.5, n - 0.5, max(2, round(n / BENT_STEP_PX))) for n in size_px)
        at = to_sheet.apply(np.column_stack([v.ravel() for v in np.meshgrid(columns, rows)])).astype(np.float32)
        few = (len(rows), len(columns))
        sx, sy = (_between(_between(v.reshape(few), h).T, w).T for v in at.T)
        return sx, sy
    x, y = np.arange(w, dtype=np.float32) + 0.5, np.arange(h, dtype=np.float32) + 0.5
    t = to_sheet.matrix.astype(np.float32)
    depth = (t[2, 0] * x)[None, :] + (t[2, 1] * y + t[2, 2])[:, None]
    return (
        ((t[0, 0] * x)[None, :] + (t[0, 1] * y + t[0, 2])[:, None]) / depth,
        ((t[1, 0] * x)[None, :] + (t[1, 1] * y + t[1, 2])[:, None]) / depth,
    )


def _between(rows: NDArray[np.float32], count: int) -> NDArray[np.float32]:
    """Rows (few, n) at even steps to `count` rows, the first and last as they are, the others between their neighbours."""
    place = np.linspace(0.0, len(rows) - 1.0, count)
    before = np.minimum(place.astype(int), len(rows) - 2)
    share = (place - before).astype(np.float32)[:, None]
    found: NDArray[np.float32] = rows[before] * (1.0 - share) + rows[before + 1] * share
    return found


def _without_sheet(photo: Photo) -> Paper:
    name = None if photo.mm_per_px is None else sheet_of_size(photo.size_px, photo.mm_per_px)
    frame = Frame(Homography.identity(), photo.size_px, name, photo.mm_per_px)
    overview, scale, stroke = _overview(photo, frame, whole=True)
    source = "resolution" if photo.mm_per_px else None
    return Paper(
        frame.to_picture, frame.size_px, name, photo.mm_per_px, source, None, overview, scale, stroke_px=stroke
    )


def sheet_of_size(size_px: tuple[int, int], mm_per_px: float) -> str | None:
    """The sheet whose true size this is, either way up; None where no sheet is so large."""
    seen = sorted(v * mm_per_px for v in size_px)
    for name, sides in SHEET_SIZES_MM.items():
        if all(abs(a / b - 1.0) < SHEET_SIZE_TOLERANCE for a, b in zip(seen, sides, strict=True)):
            return name
    return None


def overview_grid(size_px: tuple[int, int]) -> tuple[float, tuple[int, int]]:
    """Overview px per sheet px for a sheet of this size, and (width, height) of its overview."""
    scale = min(1.0, OVERVIEW_PX / max(size_px))
    return scale, (max(1, round(size_px[0] * scale)), max(1, round(size_px[1] * scale)))


def _overview(photo: Photo, frame: Frame, *, whole: bool = False) -> tuple[NDArray[np.float32], float, float]:
    """Absorbance of the whole sheet, overview px per sheet px, and the widest stroke in sheet px."""
    scale, size = overview_grid(frame.size_px)
    to_sheet = Homography.from_affine(Affine.scale(1.0 / scale))
    to_picture = chained(to_sheet, frame.to_picture)
    rgb = resampled(photo.rgb, to_picture, size)
    within = None
    if not whole:
        within = _within(to_sheet, size, frame.size_px) & _within(to_picture, size, photo.size_px)
    stroke = light.widest_stroke(rgb, within)
    return frozen(light.absorbance(rgb, stroke, within, light.FEW)), scale, stroke / scale


def _bent_lens(bow_px: float) -> Finding:
    return _told(
        bow_px,
        "The sheet's sides bow the way a lens bends them; that was undone. "
        "Photographed from farther away, with the zoom, a sheet stays straight.",
    )


def _curled(bow_px: float) -> Finding:
    return _told(
        bow_px,
        "The sheet does not lie flat: its sides bow in the picture, so sizes in mm and angles are a little less sure. "
        "Lay it under a book for a while, or hold its corners down.",
    )


def _told(bow_px: float, text: str) -> Finding:
    return Finding("reading", (), round(bow_px, 1), None, "px", Severity.NOTE, text)


def _taken_as_parallel(lines: int) -> Finding:
    return Finding(
        "reading",
        (),
        float(lines),
        None,
        "lines",
        Severity.NOTE,
        "The sheet's sides do not show how the camera was tilted, so the lines across it are taken as drawn parallel. "
        "Photograph the whole sheet to have that checked.",
    )


def _seen_in_part(sides: dict[int, Side], photo: Photo) -> Finding:
    ends = np.concatenate([s.ends for s in sides.values()])
    near = AT_BORDER_RATIO * max(photo.size_px)
    if ((ends < near) | (ends > np.array(photo.size_px) - near)).any():
        seen = "Only a part of the sheet is in the picture"
        advice = "Photograph the whole sheet, with some desk around it."
    else:
        seen = "Not every side of the sheet can be told from what lies beside or under it"
        advice = "Photograph it alone on a desk of another colour."
    return Finding(
        "reading",
        (),
        float(len(sides)),
        4.0,
        "sides",
        Severity.NOTE,
        f"{seen}, so its size is not known and the perspective is undone as far as its sides show it. {advice}",
    )
