"""An open font's word becomes polylines that a hand could have drawn, in x-heights, y up from the baseline."""

from __future__ import annotations

import math

import numpy as np
from scipy import ndimage
from shapely.geometry import MultiPolygon, Polygon
from shapely.ops import unary_union

from tests.specimens.recipe import Hand, Recipe
from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import flatten

STEP = 0.01
"""Spacing of the points that tremble, x-heights."""


def drawn_word(recipe: Recipe) -> list[list[np.ndarray]]:
    """For each letter its closed polylines (n, 2), the outer one first, in x-heights."""
    rng = np.random.default_rng(recipe.seed)
    outlines = outline_word(font_path(recipe.family), recipe.word, recipe.weight)
    letters, shift = [], 0.0
    for i, outline in enumerate(outlines):
        rings = _merged([flatten(c, 0.4) / 1000.0 for c in outline.contours])
        rings = _faults([r + np.array((shift, 0.0)) for r in rings], i, recipe.hand)
        letters.append([_even(r) for r in rings])
        shift += recipe.hand.gaps.get(i, 0.0)
    return _trembled(letters, recipe.hand, rng)


def _merged(rings: list[np.ndarray]) -> list[np.ndarray]:
    """Overlapping contours of variable fonts become one edge, as a hand would draw it."""
    area = lambda r: np.sum(r[:, 0] * np.roll(r[:, 1], -1) - np.roll(r[:, 0], -1) * r[:, 1])  # noqa: E731
    solid = unary_union([Polygon(r).buffer(0) for r in rings if area(r) > 0])
    holes = [Polygon(r).buffer(0) for r in rings if area(r) < 0]
    shape = solid.difference(unary_union(holes)) if holes else solid
    return rings_of(shape)


def rings_of(shape: Polygon | MultiPolygon) -> list[np.ndarray]:
    """The exterior and interior rings of a shapely shape, open (first point not repeated)."""
    parts = list(shape.geoms) if isinstance(shape, MultiPolygon) else [shape]
    return [np.array(r.coords)[:-1] for p in parts for r in (p.exterior, *p.interiors)]


def _faults(rings: list[np.ndarray], i: int, hand: Hand) -> list[np.ndarray]:
    everything = np.concatenate(rings)
    middle = (everything[:, 0].min() + everything[:, 0].max()) / 2
    if i in hand.weight:
        shape = Polygon(rings[0], rings[1:]).buffer(hand.weight[i], join_style="mitre")
        rings = rings_of(shape)
    if i in hand.counter:
        rings = [r if k == 0 else r.mean(0) + (r - r.mean(0)) * hand.counter[i] for k, r in enumerate(rings)]
    factor, slope = hand.size.get(i, 1.0), math.tan(math.radians(hand.lean.get(i, 0.0)))
    out = []
    for r in rings:
        p = (r - (middle, 0.0)) * factor
        out.append(np.column_stack((p[:, 0] + slope * (p[:, 1] - 0.5) + middle, p[:, 1] - hand.drop.get(i, 0.0))))
    return out


def _even(ring: np.ndarray) -> np.ndarray:
    """Points about STEP apart, the ring's own corners kept."""
    parts = []
    for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        n = max(1, math.ceil(math.dist(a, b) / STEP))
        parts.append(a + (b - a) * (np.arange(n) / n)[:, None])
    return np.concatenate(parts)


def _trembled(letters: list[list[np.ndarray]], hand: Hand, rng: np.random.Generator) -> list[list[np.ndarray]]:
    """Every point moved by a smooth random field, so that both edges of a stroke tremble together a little."""
    if hand.wobble == 0.0:
        return letters
    points = np.concatenate([r for letter in letters for r in letter])
    low = points.min(0) - 1.0
    cell = hand.wobble_length / 4.0
    shape = np.ceil((points.max(0) + 1.0 - low) / cell).astype(int)
    fields = []
    for _ in range(2):
        f = ndimage.gaussian_filter(rng.normal(size=shape), 2.0)
        fields.append(f / f.std() * hand.wobble)
    moved = lambda r: r + np.column_stack([ndimage.map_coordinates(f, ((r - low) / cell).T, order=1) for f in fields])  # noqa: E731
    return [[moved(r) for r in letter] for letter in letters]
