"""What was settled about the guidelines comes in, what is doubtful about it goes out in words."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.brief import Brief
from vectorize.findings import Finding, Severity
from vectorize.reading.records import Strip
from vectorize.reading.resample import scale_at_middle
from vectorize.trade.lines import SMALLEST_X_HEIGHT_PX

NO_BASELINE = (
    "No drawn baseline was found, so the level is taken from the letters' feet; this reading is less sure. "
    "Rule the guidelines a little darker, or over the whole word."
)
NO_MEAN_LINE = (
    "No mean line was found, so the x-height is taken from the small letters themselves. "
    "Rule a mean line, so that they can be judged against it."
)
CAPITALS_ALONE = (
    "The word is read as capitals alone, so its x-height is reckoned as seven tenths of the cap height. "
    "If it has small letters, give the word with --word."
)

ONE_HEIGHT = (
    "All letters are of one height and are read as small ones. If the word is capitals alone, give it with --word: "
    "what is told in x-heights is then reckoned from the cap height."
)
# Letters are of one height when less than this share of the word's width passes the lines by this share of the x-height.
PASSES, SHARE = 0.15, 0.01


def doubts(x_height_px: float, source: str, strip: Strip, *, drawn: bool) -> tuple[Finding, ...]:
    """Findings on lines that were inferred, an x-height that was reckoned, a picture of too few pixels.

    drawn: whether the baseline is. source: of the x-height.
    """
    told = []
    if not drawn:
        told.append(_note(NO_BASELINE))
    if source == "letters" and drawn:
        told.append(_note(NO_MEAN_LINE))
    if source == "cap-height":
        told.append(_note(CAPITALS_ALONE))
    return (*told, *_small(x_height_px, strip))


def may_be_capitals(
    rise_px: NDArray[np.float64], hang_px: NDArray[np.float64], x_height_px: float, brief: Brief
) -> tuple[Finding, ...]:
    """A remark where no word is told and nothing rises above the small letters or hangs below them.

    rise_px, hang_px: topmost ink above and lowest ink below the baseline, one value a column of ink.
    """
    if brief.names is not None:
        return ()
    passing = ((rise_px > (1.0 + PASSES) * x_height_px) | (hang_px > PASSES * x_height_px)).mean()
    return (_note(ONE_HEIGHT),) if passing < SHARE else ()


def _note(text: str) -> Finding:
    return Finding("reading", (), None, None, "", Severity.NOTE, text)


def _small(x_height_px: float, strip: Strip) -> list[Finding]:
    """A picture with too few pixels for the letters' edges."""
    h, w = strip.view.rgb.shape[:2]
    high_px = x_height_px * scale_at_middle(strip.to_picture, (w, h))
    if high_px >= SMALLEST_X_HEIGHT_PX:
        return []
    text = (
        f"The small letters are only {high_px:.0f} pixels high in this picture; from {SMALLEST_X_HEIGHT_PX:.0f} on "
        "the edges can be trusted. Photograph the word closer, or scan it at 300 dpi."
    )
    return [Finding("reading", (), round(high_px, 1), float(SMALLEST_X_HEIGHT_PX), "px", Severity.LOOK_AGAIN, text)]
