"""Ink comes in; out goes how wide its edges are, and a refusal where they are too soft to be the edges of drawn letters."""

from __future__ import annotations

import numpy as np

from vectorize.errors import PictureError
from vectorize.reading.records import Ink
from vectorize.trade.picture import SOFTEST_EDGE


def edge_width_ratio(ink: Ink, x_height_px: float) -> float | None:
    """How far the darkness takes from paper to full black at the letters' edges, in x-heights.

    None where no paper, no black or no edge between them is seen.

    The width is the step's height over its median slope at the edge.
    """
    coverage, darkness = ink.coverage, ink.darkness
    inside, edge, paper = coverage > 0.95, np.abs(coverage - 0.5) < 0.3, coverage < 0.05
    if not (inside.any() and edge.any() and paper.any()):
        return None
    slope = np.hypot(*np.gradient(darkness))[edge]
    step = float(np.median(darkness[inside])) - float(np.median(darkness[paper]))
    return step / max(float(np.median(slope)), 1e-9) / x_height_px


def check_edges(ink: Ink, x_height_px: float) -> None:
    """Raises PictureError where what was taken for letters has no edges, as clouds and shadows have none."""
    width = edge_width_ratio(ink, x_height_px)
    if width is not None and width > SOFTEST_EDGE:
        raise PictureError(
            "Dark places were seen, but their edges are too soft for drawn letters. A word drawn clearly darker than the paper "
            "is needed, in focus; hold the camera still, in even light, and photograph the sheet again."
        )
