"""What was set right by hand, brought into the stages: a reading, a setting and remarks go in and come out corrected."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from vectorize.brief import Brief
from vectorize.findings import Finding, Severity
from vectorize.geometry import Points
from vectorize.outlines.outline import Outline
from vectorize.reading import divided, given
from vectorize.reading.guides import settle_guides
from vectorize.reading.records import Reading
from vectorize.spacing.by_hand import placed
from vectorize.spacing.records import Setting

# Half of the box around a comment's place, letter units: about a stem on either side.
PLACE_U = 120.0


def reading_set_right(reading: Reading, brief: Brief) -> Reading:
    """The reading with letters divided, lines given and letters named by hand.

    Raises PictureError where nothing can be read with these corrections.
    """
    to_picture = reading.strip.to_picture
    letters = divided.set_right(reading.letters, reading.ink, to_picture, brief)
    guides = reading.guides
    if brief.corrections.divisions:
        guides = settle_guides(reading.strip, letters, brief)
    guides = given.set_right(guides, letters, to_picture, brief.corrections)
    return replace(reading, letters=letters, guides=guides)


def letters_placed(
    setting: Setting, outlines: Sequence[Outline], words: Sequence[int], reading: Reading, brief: Brief
) -> Setting:
    """The setting with those letters that were placed by hand where they were put; each is meant by a point on it."""
    places = brief.corrections.placed
    if not places:
        return setting
    centres = _in_picture(reading, np.array([o.box_u.centre for o in outlines]))
    moves = {int(np.argmin(np.hypot(*(centres - p.at).T))): p.move_u for p in places}
    return placed(setting, outlines, words, moves)


def comments(reading: Reading, brief: Brief) -> tuple[Finding, ...]:
    """The comments pinned by hand, as remarks at their places."""
    pinned = brief.corrections.comments
    if not pinned:
        return ()
    to_units = reading.guides.to_units
    with np.errstate(divide="ignore", invalid="ignore"):
        at = to_units.apply(reading.strip.to_picture.inverse().apply(np.array([c.at for c in pinned])))
    return tuple(
        Finding("comment", (), None, None, "", Severity.NOTE, c.text, _around(float(x), float(y)))
        for c, (x, y) in zip(pinned, at, strict=True)
    )


def _around(x_u: float, y_u: float) -> tuple[float, float, float, float] | None:
    """The box around a comment's place; None, for the whole drawing, where the levelled picture has no such place."""
    if not math.isfinite(x_u + y_u):
        return None
    return x_u - PLACE_U, y_u - PLACE_U, x_u + PLACE_U, y_u + PLACE_U


def _in_picture(reading: Reading, points_u: Points) -> Points:
    return reading.strip.to_picture.apply(reading.guides.to_units.inverse().apply(points_u))
