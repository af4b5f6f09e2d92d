"""A short word on a small sheet, for tests that need a whole picture but no more of it than this."""

from __future__ import annotations

from tests.specimens.recipe import Camera, Lines, Recipe, Sheet

PLAIN = Recipe(
    "plain",
    "nalip",
    "source-sans-3",
    500,
    x_height_mm=16.0,
    lines=Lines(overrun_mm=8.0),
    sheet=Sheet(width_mm=120.0, height_mm=70.0),
    camera=Camera(px_per_mm=7.0),
)
