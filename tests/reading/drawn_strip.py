"""A level strip drawn from an open font, pencil and lines included, with the truth of every letter's outline."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import ndimage
from scipy.spatial import cKDTree
from skimage.measure import find_contours

from tests.specimens.page import draw_page
from tests.specimens.recipe import Hand, Recipe
from vectorize.reading.records import LetterInk, LineCourse

PX_PER_MM = 7.0
PLAIN = Recipe("strip", "gandrel", "source-sans-3", 500, x_height_mm=20.0, hand=Hand(wobble=0.006), seed=3)


@dataclass(frozen=True)
class DrawnStrip:
    """Absorbance (h, w, 3), the drawn lines' courses, baseline and x-height in px, each letter's rings in strip px."""

    absorbance: np.ndarray
    lines: tuple[LineCourse, ...]
    baseline_px: float
    x_height_px: float
    letters: tuple[tuple[np.ndarray, ...], ...]


def draw_strip(recipe: Recipe = PLAIN, **changes) -> DrawnStrip:
    """The word of a recipe, seen as a flat scan with a little blur and noise."""
    recipe = replace(recipe, **changes)
    recipe = replace(recipe, sheet=replace(recipe.sheet, width_mm=230.0, height_mm=120.0))
    page = draw_page(recipe, PX_PER_MM)
    x_height = recipe.x_height_mm * PX_PER_MM
    points = np.concatenate([r for letter in page.letters for r in letter]) * PX_PER_MM
    x0, y0 = np.maximum(np.floor(points.min(0) - 0.6 * x_height), 0).astype(int)
    x1, y1 = np.ceil(points.max(0) + 0.6 * x_height).astype(int)
    rgb = ndimage.gaussian_filter(page.rgb[y0:y1, x0:x1], (0.7, 0.7, 0))
    rgb = rgb + np.random.default_rng(recipe.seed).normal(0, 2, rgb.shape)
    absorbance = np.clip(1 - rgb / np.array(recipe.sheet.colour), -0.1, 1).astype(np.float32)
    lines = tuple(_course(ends, recipe, (x0, y0), absorbance.shape[1]) for ends in page.lines.values())
    letters = tuple(tuple(r * PX_PER_MM - (x0, y0) for r in letter) for letter in page.letters)
    baseline = recipe.sheet.height_mm * 0.46 * PX_PER_MM - y0
    return DrawnStrip(absorbance, lines, float(baseline), x_height, letters)


def _course(ends, recipe: Recipe, corner: tuple[int, int], width: int) -> LineCourse:
    (ax, ay), (bx, by) = ends
    x = (np.arange(width) + 0.5 + corner[0]) / PX_PER_MM
    t = (x - ax) / (bx - ax)
    sag = recipe.lines.bow_mm * 4 * t * (1 - t)
    middle = (ay + (by - ay) * t + sag) * PX_PER_MM - corner[1]
    middle[(t < 0) | (t > 1)] = np.nan
    half = max(1.0, recipe.lines.width_mm * PX_PER_MM / 2)
    return LineCourse(middle, half, recipe.lines.darkness, (0.0, 0.0), (1.0, 0.0))


def contours_of(letter: LetterInk) -> list[np.ndarray]:
    """Level lines at 0.5 of a letter's coverage in strip px, longer than a speck's."""
    found = find_contours(np.pad(letter.coverage, 1), 0.5)
    return [c[:-1, ::-1] - 0.5 + (letter.left_px, letter.top_px) for c in found if len(c) > 16]


def outline_error(letter: LetterInk, rings: tuple[np.ndarray, ...], x_height_px: float) -> float:
    """Mean symmetric distance between a letter's level line and its drawn rings, thousandths of the x-height."""
    seen, drawn = np.concatenate(contours_of(letter)), np.concatenate([_dense(r) for r in rings])
    there = cKDTree(drawn).query(seen)[0].mean()
    back = cKDTree(seen).query(drawn)[0].mean()
    return float(there + back) / 2 / x_height_px * 1000


def _dense(ring: np.ndarray, step: float = 0.25) -> np.ndarray:
    closed = np.vstack((ring, ring[:1]))
    length = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))))
    at = np.arange(0.0, length[-1], step)
    return np.column_stack((np.interp(at, length, closed[:, 0]), np.interp(at, length, closed[:, 1])))
