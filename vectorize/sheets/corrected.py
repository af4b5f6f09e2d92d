"""A Study comes in; out goes the word for the final render: the learner's letters, evenly spaced, on true guidelines."""

from __future__ import annotations

from vectorize.sheets.drawing import Drawing
from vectorize.sheets.word import corrected_outlines, framed, layer, letter_shapes, page_map, true_guides
from vectorize.study import Study


def corrected(study: Study) -> Drawing:
    """The corrected word at true size, without picture, whites or notes."""
    shown = framed(study)
    to_mm = page_map(study, shown)
    return Drawing(
        shown.width * study.scale.mm_per_unit,
        shown.height * study.scale.mm_per_unit,
        f"{study.picture.file}: corrected",
        (
            layer("sketch", ()),
            layer("guides", true_guides(study, shown, to_mm)),
            layer("whites", ()),
            layer("letters", letter_shapes(corrected_outlines(study), to_mm)),
            layer("notes", ()),
        ),
        "The same letters, moved along the baseline so that the spaces between them look even.",
    )
