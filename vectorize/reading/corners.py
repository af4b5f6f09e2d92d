"""The four sides of a sheet come in; out goes a remark on corners that were not seen but follow from the sides."""

from __future__ import annotations

import math

import numpy as np

from vectorize.findings import Finding, Severity
from vectorize.geometry import Points
from vectorize.reading.perspective import BOTTOM, LEFT, RIGHT, TOP, corner
from vectorize.reading.sides import Side

UNSEEN = 0.03
"""Share of both sides, from their corner on, that is not seen where something lies on it; noise leaves .007 at most."""


def unseen_corners(sides: dict[int, Side], picture_px: tuple[int, int]) -> tuple[Finding, ...]:
    """A remark where corners of a sheet lie under something or outside the picture; () where all four are seen."""
    pairs = ((LEFT, TOP), (TOP, RIGHT), (RIGHT, BOTTOM), (BOTTOM, LEFT))
    count = sum(not _seen(sides[a], sides[b], picture_px) for a, b in pairs)
    if count == 0:
        return ()
    what = "One corner of the sheet is" if count == 1 else f"{count} corners of the sheet are"
    text = (
        f"{what} covered or outside the picture and taken to be where the sides lead; size and angles are a little "
        "less sure. Photograph the sheet with all four corners free."
    )
    return (Finding("reading", (), float(4 - count), 4.0, "corners", Severity.NOTE, text),)


def _seen(a: Side, b: Side, picture_px: tuple[int, int]) -> bool:
    at = corner(a, b)
    inside = bool((at > -1.0).all() and (at < np.array(picture_px) + 1.0).all())
    return inside and min(_missing(a, at), _missing(b, at)) < UNSEEN


def _missing(side: Side, at: Points) -> float:
    """How far from its corner a side is first seen, as a share of it."""
    return min(math.dist(p, at) for p in side.ends) / math.dist(*side.ends)
