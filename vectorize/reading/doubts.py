"""What was settled about the guidelines comes in, what is doubtful about it goes out in words."""

from __future__ import annotations

import numpy as np

from vectorize.findings import Finding, Severity
from vectorize.reading.records import Guide, Strip
from vectorize.reading.resample import local_scale
from vectorize.trade.lines import SMALLEST_X_HEIGHT_PX


def doubts(drawn: list[Guide | None], x_height_px: float, source: str, strip: Strip) -> tuple[Finding, ...]:
    """Findings on lines that were inferred, an x-height that was reckoned, and a picture of too few pixels.

    drawn: baseline, mean, cap, ascender and descender line, None where not drawn. source: of the x-height.
    """
    told = []
    if drawn[0] is None:
        told.append(
            _note(
                "No drawn baseline was found, so the level is taken from the letters' feet; this reading is less sure. Rule the guidelines a little darker, or over the whole word."
            )
        )
    if source == "letters" and drawn[0] is not None:
        told.append(
            _note(
                "No mean line was found, so the x-height is taken from the small letters themselves. Rule a mean line, so that they can be judged against it."
            )
        )
    if source == "cap-height":
        told.append(
            _note(
                "The word is read as capitals alone, so its x-height is reckoned as seven tenths of the cap height. If it has small letters, give the word with --word."
            )
        )
    high_px = x_height_px * local_scale(strip.to_picture, _middle(strip))
    if high_px < SMALLEST_X_HEIGHT_PX:
        text = (
            f"The small letters are only {high_px:.0f} pixels high in this picture; from {SMALLEST_X_HEIGHT_PX:.0f} on "
            "the edges can be trusted. Photograph the word closer, or scan it at 300 dpi."
        )
        told.append(
            Finding("reading", (), round(high_px, 1), float(SMALLEST_X_HEIGHT_PX), "px", Severity.LOOK_AGAIN, text)
        )
    return tuple(told)


def _note(text: str) -> Finding:
    return Finding("reading", (), None, None, "", Severity.NOTE, text)


def _middle(strip: Strip) -> np.ndarray:
    h, w = strip.view.rgb.shape[:2]
    return np.array([(w / 2.0, h / 2.0)])
