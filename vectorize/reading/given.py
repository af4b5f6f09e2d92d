"""Guides and lines given by hand come in; out go the guides with those lines, and the letter frame that follows."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from vectorize.corrections import Corrections
from vectorize.errors import PictureError
from vectorize.geometry import PlaneMap
from vectorize.reading.doubts import CAPITALS_ALONE, NO_BASELINE, NO_MEAN_LINE
from vectorize.reading.guides import letter_frame, raised, rise_px, x_height_of_letters
from vectorize.reading.records import Guide, Guides, GuideSource, Letters
from vectorize.trade.lines import MEAN_OF_CAP

# Lines closer than this cannot be two: a letter unit would be smaller than a hundredth of a pixel.
LEAST_X_HEIGHT_PX: Final = 8.0
# What is told of lines that were not found, and the lines that answer it.
ANSWERED_BY: Final = {NO_BASELINE: "baseline", NO_MEAN_LINE: "mean_line", CAPITALS_ALONE: "mean_line"}


def set_right(guides: Guides, letters: Letters, to_picture: PlaneMap, corrections: Corrections) -> Guides:
    """The guides as they were given, strip px; to_picture: strip px -> picture px.

    Raises PictureError where the given lines leave no x-height.
    """
    if not corrections.guides and not corrections.no_guides:
        return guides
    to_strip = to_picture.inverse()
    lines: dict[str, Guide | None] = {}
    for given in corrections.guides:
        (x0, y0), (x1, y1) = to_strip.apply(np.array([given.start, given.end]))
        ends = sorted([(float(x0), float(y0)), (float(x1), float(y1))])
        lines[given.name] = Guide(GuideSource.GIVEN, ends[0], ends[1])
    lines |= dict.fromkeys(corrections.no_guides)
    # A mean line that was only inferred follows the baseline; kept where it was, it would contradict a given one.
    if "baseline" in lines and "mean_line" not in lines and _inferred(guides.mean_line):
        lines["mean_line"] = raised(lines["baseline"] or guides.baseline, guides.x_height_px)
    given_names = {g.name for g in corrections.guides}
    remarks = tuple(r for r in guides.remarks if ANSWERED_BY.get(r.text) not in given_names)
    changed = replace(guides, remarks=remarks, **lines)  # type: ignore[arg-type]
    carries = {"baseline", "mean_line"} | ({"cap_line"} if guides.x_height_source == "cap-height" else set())
    return _framed(changed, letters) if carries & lines.keys() else changed


def _inferred(guide: Guide | None) -> bool:
    return guide is not None and guide.source is GuideSource.INFERRED


def _framed(guides: Guides, letters: Letters) -> Guides:
    x_height_px, source = _x_height(guides, letters)
    if x_height_px < LEAST_X_HEIGHT_PX:
        raise PictureError(
            "With the lines as they were drawn by hand the mean line does not stand above the baseline. "
            "Take the last step back and draw the mean line over the small letters."
        )
    frame = letter_frame(guides.baseline, x_height_px, letters)
    return replace(guides, to_units=frame, x_height_px=x_height_px, x_height_source=source)


def _middle(letters: Letters) -> float:
    left = min(x.left_px for x in letters.letters)
    right = max(x.left_px + x.coverage.shape[1] for x in letters.letters)
    return float(left + right) / 2.0


def _x_height(guides: Guides, letters: Letters) -> tuple[float, str]:
    """At the middle of the word, square to the baseline, from a mean line or cap line that is there; else of the letters."""
    middle = _middle(letters)
    if guides.mean_line is not None and not _inferred(guides.mean_line):
        return rise_px(guides.mean_line, guides.baseline, middle), "mean-line"
    if guides.cap_line is not None and guides.x_height_source != "letters":
        return rise_px(guides.cap_line, guides.baseline, middle) * float(MEAN_OF_CAP), "cap-height"
    if guides.x_height_source == "mean-line":
        return x_height_of_letters(letters, guides.baseline, middle, guides.x_height_px), "letters"
    return guides.x_height_px, guides.x_height_source
