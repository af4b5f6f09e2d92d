"""Letters of open fonts as the ink that the outline stages are given, with the truth beside it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import ndimage
from shapely.geometry import Polygon
from shapely.ops import unary_union

from tests.specimens.hand import rings_of
from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import flatten, signed_area
from vectorize.geometry import Affine
from vectorize.outlines.outline import Outline
from vectorize.reading.records import LetterInk

MARGIN_PX = 8
BLUR_PX = 0.8
ROWS = 4


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """A letter's ink, the map to letter units, the font's outline, and the rings it fills once overlaps are merged."""

    ink: LetterInk
    to_units: Affine
    truth: Outline
    rings: list[np.ndarray]
    blur_px: float


def coverage(rings: list[np.ndarray], w: int, h: int) -> np.ndarray:
    """Share of each pixel inside the rings, exact along each of ROWS lines a pixel; counters run the other way round."""
    cover, right = np.zeros((h, w)), np.arange(1, w + 1)
    a = np.concatenate(rings)
    b = np.concatenate([np.roll(r, -1, axis=0) for r in rings])
    for j in range(h * ROWS):
        y = (j + 0.5) / ROWS
        k = (a[:, 1] <= y) != (b[:, 1] <= y)
        p, q = a[k], b[k]
        x = p[:, 0] + (y - p[:, 1]) * (q[:, 0] - p[:, 0]) / (q[:, 1] - p[:, 1])
        cover[j // ROWS] += np.sign(q[:, 1] - p[:, 1]) @ np.clip(right - x[:, None], 0.0, 1.0) / ROWS
    return np.abs(cover)


def inked(rings_u: list[np.ndarray], x_height_px: float, blur_px: float = BLUR_PX) -> tuple[np.ndarray, Affine]:
    """Blurred coverage of rings given in letter units, and the map from its pixels back to letter units."""
    k = x_height_px / 1000.0
    everything = np.concatenate(rings_u)
    low, high = everything.min(0), everything.max(0)
    to_px = Affine(k, 0, 0, -k, MARGIN_PX - k * low[0], MARGIN_PX + k * high[1])
    w, h = (int(v) for v in np.ceil((high - low) * k) + 2 * MARGIN_PX)
    cover = coverage([to_px.apply(r) for r in rings_u], w, h)
    return ndimage.gaussian_filter(cover, blur_px), to_px.inverse()


def letter_ink(cover: np.ndarray, name: str | None = None, left_px: int = 0, top_px: int = 0) -> LetterInk:
    ink = cover.astype(np.float32)
    return LetterInk(1, name, 0, ink, ink, left_px, top_px)


def case(family: str, letter: str, x_height_px: float = 200.0, weight: int = 500) -> Case:
    """A letter of an open font, its ink at `x_height_px`."""
    (truth,) = outline_word(font_path(family), letter, weight)
    solids = [Polygon(flatten(c, 0.2)).buffer(0) for c in truth.contours]
    outer = unary_union([p for p, c in zip(solids, truth.contours, strict=True) if signed_area(c) > 0])
    inner = unary_union([p for p, c in zip(solids, truth.contours, strict=True) if signed_area(c) < 0])
    rings = rings_of(outer.difference(inner).normalize())
    # Shapely's normal form runs clockwise outside; ours runs the other way.
    rings = [r[::-1] for r in rings]
    cover, to_units = inked(rings, x_height_px)
    return Case(letter_ink(cover, letter), to_units, truth, rings, float(np.hypot(BLUR_PX, 0.29)))


def disc(radius_px: float, x_height_px: float) -> tuple[LetterInk, Affine]:
    """A disc in the middle of its patch, origin at its centre."""
    half = int(radius_px) + MARGIN_PX
    y, x = np.mgrid[-half:half, -half:half] + 0.5
    k = 1000.0 / x_height_px
    return letter_ink(np.clip(radius_px - np.hypot(x, y) + 0.5, 0, 1)), Affine(k, 0, 0, -k, -k * half, k * half)
