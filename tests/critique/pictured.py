"""A drawing with a planted fault as a picture: drawn in pencil on a small sheet, scanned or photographed, and read."""

from __future__ import annotations

from typing import Final

from tests.critique.drawn import Drawing, drawn
from tests.specimens.camera import Specimen, take
from tests.specimens.recipe import Camera, Lines, Recipe, Sheet
from vectorize.brief import Brief
from vectorize.flow import study_picture
from vectorize.study import Study

X_HEIGHT_MM: Final = 20.0
PX_PER_MM: Final = 8.0

SCAN: Final = Camera("scan", px_per_mm=PX_PER_MM)
PHOTO: Final = Camera(
    "photo", size_px=(1500, 780), turn_deg=1.2, tilt_x_deg=7.0, tilt_y_deg=-5.0, falloff=0.45, blur_px=0.8, desk="dark"
)
"""Mild: held over the sheet by hand, a lamp to one side."""


def picture(drawing: Drawing, camera: Camera) -> Specimen:
    """The drawing on a sheet that leaves two fingers' breadth around the word."""
    word = drawn(drawing)
    width = max(float(r[:, 0].max()) for letter in word for r in letter) * X_HEIGHT_MM
    recipe = Recipe(
        "drawn",
        drawing.word,
        drawing.family,
        drawing.weight,
        X_HEIGHT_MM,
        drawing.hand,
        fills=drawing.fills,
        lines=Lines(
            drawing.drawn_lines, tilt_deg=drawing.drawing_deg or 0.0, extra_deg={"mean": drawing.mean_extra_deg}
        ),
        sheet=Sheet(width_mm=round(width + 40.0), height_mm=80.0),
        camera=camera,
        seed=drawing.seed,
    )
    return take(recipe, word)


def study(drawing: Drawing, camera: Camera) -> Study:
    """The picture, read: all that the tool finds out about it."""
    brief = Brief(word=drawing.word if drawing.named else None)
    return study_picture(picture(drawing, camera).data, "drawn.jpg", brief)


def scanned_or_photographed(drawing: Drawing, case: int) -> Study:
    """Read from a scan and from a photograph in turns."""
    return study(drawing, PHOTO if case % 2 else SCAN)


def photographed(drawing: Drawing, _case: int) -> Study:
    """Read from a photograph, in which the sheet's edges are seen."""
    return study(drawing, PHOTO)
