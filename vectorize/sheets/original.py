"""A Study comes in; out goes the word as it was drawn: the levelled picture, its guidelines, the outlines over it."""

from __future__ import annotations

from vectorize.sheets.drawing import Drawing
from vectorize.sheets.palette import OUTLINE
from vectorize.sheets.picture import sketch_picture
from vectorize.sheets.word import (
    drawn_guides,
    framed,
    layer,
    letter_shapes,
    outlines,
    page_map,
)
from vectorize.study import Study

LONGEST_PX = 2400
"""A word of eight letters then has some 400 px to the x-height: every grain of the pencil is there."""


def original(study: Study) -> Drawing:
    """The drawing at true size on the same page, to the mm, as `corrected`."""
    shown = framed(study)
    to_mm = page_map(study, shown)
    hair = 0.012 * study.scale.x_height_mm
    return Drawing(
        shown.width * study.scale.mm_per_unit,
        shown.height * study.scale.mm_per_unit,
        f"{study.picture.file}: as drawn, levelled",
        (
            layer("sketch", [sketch_picture(study.sketch, shown, to_mm, longest_px=LONGEST_PX, title="The sketch")]),
            layer("guides", drawn_guides(study, shown, to_mm)),
            layer("whites", ()),
            layer("letters", letter_shapes(outlines(study), to_mm, fill=None, stroke=OUTLINE, stroke_mm=hair)),
            layer("notes", ()),
        ),
        "The pencilled word, turned level, with its guidelines and the clean outline of each letter where it was drawn.",
    )
