"""What the reading stages hand to each other: frozen records, arrays read-only.

Frames, all in pixels with x right, y down and a pixel's centre at +0.5:
picture (upright, as EXIF says), sheet (perspective undone; the picture itself where no sheet is seen),
strip (the word alone, level, at working resolution). `remarks`, in any of them, is what the stage has to tell.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vectorize.findings import Finding
from vectorize.geometry import Affine, Box, Homography, PlaneMap, Point


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """A decoded picture.

    name: file name without its folder. rgb: uint8 (h, w, 3), upright, sRGB.
    mm_per_px: from the file's resolution, None where it has none that can be believed.
    digest: SHA-256 of the file's bytes, in hex.
    focal_ratio: the lens's focal length as a share of the picture's diagonal, None where the file does not say.
    """

    name: str
    rgb: NDArray[np.uint8]
    mm_per_px: float | None
    digest: str
    remarks: tuple[Finding, ...] = ()
    focal_ratio: float | None = None

    @property
    def size_px(self) -> tuple[int, int]:
        """(width, height)."""
        return self.rgb.shape[1], self.rgb.shape[0]


@dataclass(frozen=True, slots=True, eq=False)
class Paper:
    """The sheet in the picture, with perspective and uneven light undone.

    to_picture: sheet px -> picture px (identity where no sheet is seen; no homography where a lens bends it).
    size_px: (width, height) of the sheet frame. sheet_name: "A4", "Letter" ... or None.
    mm_per_px: true length of a sheet pixel, None where neither sheet nor resolution tells it;
    mm_source: "page", "resolution" or None.
    camera_deg: tilt of the sheet's edges in the picture, positive when the right end is higher; None when no edge is seen.
    overview: float32 (h, w, 3), absorbance 1 - I/paper of the sheet frame shrunk by `overview_scale`
    (overview px per sheet px), 0 outside the sheet.
    stroke_px: width of the widest dark strokes, in sheet px.
    bow_px: how far the sheet's sides bow at most, in picture px, no lens being to blame; None where not all are seen.
    size_doubt: what is told of the true size where it was taken from the sheet but may be another; else empty.
    holes: boxes in sheet px around punched holes; what shows there is no drawing.
    before_turn: where the frame was turned to a drawing that lies askew on its sheet, the map from its px to the sheet's
    own, and the sheet's own size; None where the frame is the sheet's.
    """

    to_picture: PlaneMap
    size_px: tuple[int, int]
    sheet_name: str | None
    mm_per_px: float | None
    mm_source: str | None
    camera_deg: float | None
    overview: NDArray[np.float32]
    overview_scale: float
    remarks: tuple[Finding, ...] = ()
    stroke_px: float = 12.0
    bow_px: float | None = None
    before_turn: tuple[Homography, tuple[int, int]] | None = None
    size_doubt: str = ""
    holes: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A region of the sheet seen at some scale: rgb uint8 (h, w, 3) and its absorbance float32 (h, w, 3)."""

    rgb: NDArray[np.uint8]
    absorbance: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class StraightLine:
    """A drawn or printed line in sheet px, from its left to its right end.

    width_px: thickness. darkness: absorbance at its middle, 0 to 1. cover: share of its length that is seen.
    printed: it belongs to ruled or squared paper.
    sag_px: how far its middle lies below the straight between its ends; it bows like a parabola.
    """

    start: Point
    end: Point
    width_px: float
    darkness: float
    cover: float
    printed: bool = False
    sag_px: float = 0.0

    @property
    def slope(self) -> float:
        """Px down per px along, between its ends."""
        return (self.end[1] - self.start[1]) / (self.end[0] - self.start[0])

    def at(self, x: NDArray[Any]) -> NDArray[np.float64]:
        """Its height y at places x, run on beyond its ends."""
        t = (np.asarray(x, float) - self.start[0]) / (self.end[0] - self.start[0])
        return self.start[1] + t * (self.end[1] - self.start[1]) + 4.0 * self.sag_px * t * (1.0 - t)

    def y_at(self, x: float) -> float:
        """Its height y at one place x."""
        return float(self.at(np.array(x)))

    def moved_onto(self, parabola: NDArray[np.float64], x0: float, x1: float) -> StraightLine:
        """The same line along a parabola (coefficients, highest first), from x0 to x1."""
        a, m, b = (float(y) for y in np.polyval(parabola, np.array([x0, (x0 + x1) / 2.0, x1])))
        return replace(self, start=(x0, a), end=(x1, b), sag_px=m - (a + b) / 2.0)


@dataclass(frozen=True, slots=True)
class Ruling:
    """All straight lines of the sheet that are not letters; `pitch_px` of printed ruling or None.

    camera_deg: tilt of printed ruling in the picture, None without any.
    uprights: the upright lines of squared paper, in sheet px with x and y exchanged.
    """

    lines: tuple[StraightLine, ...]
    pitch_px: float | None
    camera_deg: float | None
    uprights: tuple[StraightLine, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class LineCourse:
    """A drawn or printed line's way through the strip.

    middle_px: float64 (w,), the line's middle in each column, nan where it is not. half_width_px: half its thickness.
    darkness: absorbance at its middle, 0 to 1.
    start, end: the ends of the straight line that fits it best. printed: it belongs to ruled or squared paper.
    """

    middle_px: NDArray[np.float64]
    half_width_px: float
    darkness: float
    start: Point
    end: Point
    printed: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """The line of lettering, cut out and turned level.

    view: picture and absorbance in strip px. to_picture: strip px -> picture px; no homography where the picture is bent.
    mm_per_px: true length of a strip pixel or None. lines: every line that runs through the strip.
    x_height_px, baseline_px: first readings, good to a few hundredths of the x-height; the guides settle them.
    uprights: the upright lines of squared paper, x and y exchanged.
    """

    view: View
    to_picture: PlaneMap
    mm_per_px: float | None
    lines: tuple[LineCourse, ...]
    x_height_px: float
    baseline_px: float
    remarks: tuple[Finding, ...] = ()
    uprights: tuple[LineCourse, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Ink:
    """How much of each strip pixel is letter.

    coverage: float32 (h, w), 0 to 1, lines, smudges and shadows gone, fill made uniform, counters kept.
    darkness: float32 (h, w), pencil darkness, evenly lit, for judging the fill.
    edge_blur_px: sigma of the edge of the ink.
    """

    coverage: NDArray[np.float32]
    darkness: NDArray[np.float32]
    edge_blur_px: float
    remarks: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class LetterInk:
    """One letter's own ink, cut out of the strip.

    index: from 1, in reading order. name: the letter, None when the word was not told or does not match.
    word: number of the word it belongs to, from 0. coverage, darkness: float32 (h, w).
    left_px, top_px: strip pixel of the patch's first column and row.
    """

    index: int
    name: str | None
    word: int
    coverage: NDArray[np.float32]
    darkness: NDArray[np.float32]
    left_px: int
    top_px: int


@dataclass(frozen=True, slots=True, eq=False)
class Letters:
    """The letters of the line that was read."""

    letters: tuple[LetterInk, ...]
    remarks: tuple[Finding, ...] = ()


class GuideSource(StrEnum):
    """How a guideline is known."""

    DRAWN = "drawn"
    INFERRED = "inferred"
    GIVEN = "given"


@dataclass(frozen=True, slots=True)
class Guide:
    """A guideline with its ends in strip px, left end first."""

    source: GuideSource
    start: Point
    end: Point


@dataclass(frozen=True, slots=True, eq=False)
class Guides:
    """The lines the word stands on, and the letter frame that follows from them.

    mean_line: None in a word of capitals where none is drawn, and where it was taken away by hand. cap_line, ascender_line, descender_line: None where not drawn.
    to_units: strip px -> letter units (1000 = x-height, y up from the baseline, x from the first letter's left edge).
    x_height_px: in strip px at the middle of the word; x_height_source: "mean-line", "letters" or "cap-height".
    """

    baseline: Guide
    mean_line: Guide | None
    cap_line: Guide | None
    ascender_line: Guide | None
    descender_line: Guide | None
    to_units: Affine
    x_height_px: float
    x_height_source: str
    remarks: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """A picture read: everything between the bytes and the letters on their lines."""

    photo: Photo
    paper: Paper
    ruling: Ruling
    strip: Strip
    ink: Ink
    letters: Letters
    guides: Guides

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """What every stage had to say, in order."""
        stages = (self.photo, self.paper, self.strip, self.ink, self.letters, self.guides)
        return tuple(r for s in stages for r in s.remarks)


def letter_box_px(letter: LetterInk, level: float = 0.5) -> Box:
    """The box in strip px around coverage above `level`, which some of the letter must be."""
    rows, columns = np.nonzero(letter.coverage > level)
    return Box(
        letter.left_px + float(columns.min()),
        letter.top_px + float(rows.min()),
        letter.left_px + float(columns.max()) + 1.0,
        letter.top_px + float(rows.max()) + 1.0,
    )
