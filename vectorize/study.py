"""All that was found out about one picture; critique, sheets and writers read it and nothing else."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.records import Anatomy
from vectorize.brief import Brief
from vectorize.findings import Finding
from vectorize.geometry import Affine, Point
from vectorize.model.records import Model
from vectorize.outlines.outline import Outline
from vectorize.reading.records import GuideSource
from vectorize.spacing.records import Setting
from vectorize.trade.parts import base_of


@dataclass(frozen=True, slots=True)
class PictureFacts:
    """The picture as a file: name without folder, upright size in px, SHA-256 of its bytes."""

    file: str
    width_px: int
    height_px: int
    digest: str


@dataclass(frozen=True, slots=True)
class Scale:
    """True size. mm_per_px: of the upright picture at the word. source: page, resolution, given or assumed.

    x_height_source: mean-line, letters or cap-height.
    """

    mm_per_px: float
    x_height_mm: float
    source: str
    x_height_source: str

    @property
    def mm_per_unit(self) -> float:
        """Millimetres to one letter unit."""
        return self.x_height_mm / 1000.0


@dataclass(frozen=True, slots=True)
class Level:
    """Angles in the upright picture in degrees, positive when the right end is higher.

    camera_deg: tilt of the sheet; drawing_deg: baseline against the sheet; both None when no edge or ruling is seen.
    source: drawn or inferred.
    """

    baseline_deg: float
    mean_line_deg: float | None
    cap_line_deg: float | None
    camera_deg: float | None
    drawing_deg: float | None
    source: GuideSource


@dataclass(frozen=True, slots=True)
class GuideLine:
    """A guideline: ends in picture px and in letter units, left end first."""

    source: GuideSource
    px: tuple[Point, Point]
    units: tuple[Point, Point]

    @property
    def middle_u(self) -> float:
        """Its height above the baseline at its middle."""
        return (self.units[0][1] + self.units[1][1]) / 2.0


@dataclass(frozen=True, slots=True)
class GuideLines:
    """The lines the word stands on; None for a line that is unknown."""

    baseline: GuideLine
    mean_line: GuideLine | None
    cap_line: GuideLine | None
    ascender_line: GuideLine | None
    descender_line: GuideLine | None


@dataclass(frozen=True, slots=True, eq=False)
class Letter:
    """One letter as the learner drew it.

    index: from 1. name: None where it is not known. word: number of its word, from 0.
    box_px: (x0, y0, x1, y1) in the upright picture.
    """

    index: int
    name: str | None
    word: int
    outline: Outline
    box_px: tuple[float, float, float, float]
    anatomy: Anatomy

    @property
    def base(self) -> str | None:
        """Its name without accents, as the tables of parts know it."""
        return base_of(self.name)


@dataclass(frozen=True, slots=True, eq=False)
class Sketch:
    """The levelled picture of the word: rgb uint8 (h, w, 3) and the affine map from its px to letter units."""

    rgb: NDArray[np.uint8]
    to_units: Affine


@dataclass(frozen=True, slots=True, eq=False)
class Study:
    """One picture, read and rebuilt.

    remarks: what the stages doubted, left out or assumed. sheet_name: A4, Letter ... or None.
    model: the model typeface, None where none was given.
    """

    brief: Brief
    picture: PictureFacts
    sheet_name: str | None
    scale: Scale
    level: Level
    guides: GuideLines
    sketch: Sketch
    letters: tuple[Letter, ...]
    setting: Setting
    remarks: tuple[Finding, ...]
    model: Model | None = None
