"""Polylines in px become pencil darkness, stroke by stroke: an edge drawn round the letter, then hatching inside it."""

from __future__ import annotations

import math

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

from tests.specimens.recipe import Fill

SUPERSAMPLE = 4


def coverage(letter: list[np.ndarray], size_px: tuple[int, int]) -> np.ndarray:
    """Share of each pixel inside the rings (even-odd), 0 to 1; rings in px, x right, y down."""
    k = SUPERSAMPLE
    inside = np.zeros((size_px[1] * k, size_px[0] * k), bool)
    for ring in letter:
        mask = Image.new("1", (size_px[0] * k, size_px[1] * k))
        ImageDraw.Draw(mask).polygon([tuple(p) for p in ring * k - 0.5], fill=1)
        inside ^= np.asarray(mask)
    return inside.reshape(size_px[1], k, size_px[0], k).mean(axis=(1, 3))


def darkness(
    letters: list[list[np.ndarray]],
    size_px: tuple[int, int],
    fills: list[Fill],
    px_per_mm: float,
    rng: np.random.Generator,
) -> np.ndarray:
    """Darkness 0 to 1 of the letters, each with its own fill, (h, w)."""
    total = np.zeros((size_px[1], size_px[0]))
    for letter, fill in zip(letters, fills, strict=True):
        points = np.concatenate(letter)
        x0, y0 = np.maximum(np.floor(points.min(0)).astype(int) - 6, 0)
        x1, y1 = np.minimum(np.ceil(points.max(0)).astype(int) + 6, size_px)
        local = [r - (x0, y0) for r in letter]
        total[y0:y1, x0:x1] = np.maximum(total[y0:y1, x0:x1], _letter(local, (x1 - x0, y1 - y0), fill, px_per_mm, rng))
    return total


def _letter(
    rings: list[np.ndarray], size_px: tuple[int, int], fill: Fill, px_per_mm: float, rng: np.random.Generator
) -> np.ndarray:
    inside = coverage(rings, size_px)
    if fill.ragged:
        out = ndimage.distance_transform_edt(inside > 0.5) - ndimage.distance_transform_edt(inside <= 0.5)
        inside = np.clip(0.5 + out + fill.ragged * px_per_mm * noise(rng, inside.shape, 0.3 * px_per_mm), 0, 1)
    if fill.pencil in {"ink", "marker"} and fill.style == "full":
        flow = 1.0 - 0.08 * fill.blotches * noise(rng, inside.shape, 1.2 * px_per_mm)
        return np.clip(inside * fill.darkness * flow, 0, 1)
    edge = _edge_line(rings, size_px, px_per_mm, fill, rng) * inside
    if fill.style == "outline":
        return edge * fill.darkness
    hatching = _hatching(size_px, fill, px_per_mm, rng)
    if fill.holes:
        hatching = np.where(
            _holes(inside, inside * (edge < 0.1), fill.holes, px_per_mm, rng), 0.08 * hatching, hatching
        )
    body = np.maximum(edge, inside * hatching)
    hard = fill.pencil == "hard"
    grain = 1.0 - (0.35 if hard else 0.22) * np.clip(noise(rng, inside.shape, 0.12 * px_per_mm) + 0.4, 0, 2)
    blotch = 1.0 + 0.28 * fill.blotches * noise(rng, inside.shape, 2.2 * px_per_mm)
    return np.clip(body * np.clip(grain, 0.2, 1) * blotch, 0, 1) * fill.darkness * (0.75 if hard else 1.0)


def _holes(
    inside: np.ndarray, core: np.ndarray, share: float, px_per_mm: float, rng: np.random.Generator
) -> np.ndarray:
    """Spots within the drawn edge that the pencil did not reach: `share` of the whole letter."""
    spots = noise(rng, inside.shape, 0.8 * px_per_mm)
    within = core > 0.5
    return within & (spots > np.quantile(spots[within], max(0.0, 1.0 - share * inside.sum() / within.sum())))


def _edge_line(
    rings: list[np.ndarray], size_px: tuple[int, int], px_per_mm: float, fill: Fill, rng: np.random.Generator
) -> np.ndarray:
    k = SUPERSAMPLE
    image = Image.new("L", (size_px[0] * k, size_px[1] * k))
    draw = ImageDraw.Draw(image)
    width = max(2, round(1.0 * px_per_mm * k))
    for ring in rings:
        draw.line([tuple(p) for p in np.vstack((ring, ring[:2])) * k - 0.5], fill=255, width=width, joint="curve")
    line = np.asarray(image.reduce(k), float) / 255.0
    return line * np.clip(1.0 + 0.12 * noise(rng, line.shape, 1.5 * px_per_mm), 0.5, 1)


def _hatching(size_px: tuple[int, int], fill: Fill, px_per_mm: float, rng: np.random.Generator) -> np.ndarray:
    """Hatching in two layers; loose hatching leaves paper between the strokes."""
    w, h = size_px
    light = np.ones((h, w))
    pitch = (1.5 if fill.style == "half" else 0.42) * px_per_mm
    for angle in (52.0, 61.0) if fill.style != "half" else (55.0,):
        image = Image.new("L", (w, h))
        draw = ImageDraw.Draw(image)
        d = np.array([math.cos(math.radians(angle)), -math.sin(math.radians(angle))])
        n = np.array([-d[1], d[0]])
        reach = math.hypot(w, h)
        for s in np.arange(-reach, reach, pitch):
            base = np.array([w / 2, h / 2]) + n * (s + rng.normal(0, 0.18 * pitch))
            lean = rng.normal(0, 0.02)
            along = d + n * lean
            p, q = base - along * reach, base + along * reach
            draw.line(
                [tuple(p), tuple(q)],
                fill=int(np.clip(rng.normal(205, 25), 90, 255)),
                width=max(1, round(0.55 * px_per_mm)),
            )
        layer = ndimage.gaussian_filter(np.asarray(image, float) / 255.0, 0.09 * px_per_mm)
        light *= 1.0 - 0.86 * layer
    return 1.0 - light


def noise(rng: np.random.Generator, shape: tuple[int, ...], sigma_px: float) -> np.ndarray:
    """A Gaussian field of unit variance, correlated over sigma_px."""
    factor = max(1, int(sigma_px / 2))
    small = tuple(-(-n // factor) + 2 for n in shape)
    field = ndimage.gaussian_filter(rng.normal(size=small), max(sigma_px / factor, 0.3), mode="wrap")
    field /= field.std() + 1e-9
    return ndimage.zoom(field, factor, order=1)[: shape[0], : shape[1]] if factor > 1 else field[: shape[0], : shape[1]]
