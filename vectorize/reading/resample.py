"""A picture and a map into it come in; out goes any region of it at any scale."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vectorize.geometry import Affine, Homography, PlaneMap, Points, box_around, chained

MARGIN_PX = 8
"""Beyond the region, so that filters at its edge see real pixels."""

BAND_PX = 512
"""Rows handed to Pillow at a time: a copy of the whole picture would cost more memory than the picture."""

TILE_PX = 24
"""A bent map is followed by tiles of this size: a bow 20 px deep over a strip 1500 px long leaves it by .01 px in one."""


def local_scale(transform: PlaneMap, points: Points) -> float:
    """Output px per input px of a map at points of shape (n, 2): root of the mean area factor."""
    if isinstance(transform, Homography):
        h = transform.matrix
        w = points @ h[2, :2] + h[2, 2]
        return float(np.sqrt(np.mean(np.abs(np.linalg.det(h) / w**3))))
    a, b, c = (transform.apply(points + d) for d in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
    (ux, uy), (vx, vy) = (b - a).T, (c - a).T
    return float(np.sqrt(np.mean(np.abs(ux * vy - uy * vx))))


def scale_at_middle(transform: PlaneMap, size_px: tuple[int, int]) -> float:
    """`local_scale` at the middle of a region of that (width, height), from whose px the map leads."""
    return local_scale(transform, np.array([(size_px[0] / 2.0, size_px[1] / 2.0)]))


def resampled(
    rgb: NDArray[np.uint8],
    to_picture: PlaneMap,
    size_px: tuple[int, int],
    outside: tuple[int, int, int] = (255, 255, 255),
) -> NDArray[np.uint8]:
    """The region whose pixels `to_picture` maps into the picture; shape (height, width, 3).

    Pixel centres at +0.5 in both frames. Shrinking is done by area first, then bicubic; what lies beyond the
    picture becomes `outside`.
    """
    width, height = size_px
    seen = box_around(to_picture.apply(_rim(size_px))).grown(MARGIN_PX)
    x0, y0 = max(0, math.floor(seen.x0)), max(0, math.floor(seen.y0))
    x1, y1 = min(rgb.shape[1], math.ceil(seen.x1)), min(rgb.shape[0], math.ceil(seen.y1))
    if x1 - x0 < 1 or y1 - y0 < 1:
        return np.full((height, width, 3), outside, np.uint8)
    # Longer steps would skip ink; blocks of pixels are averaged first so that a step is about one pixel.
    step = max(1, round(scale_at_middle(to_picture, size_px)))
    source = Image.fromarray(reduced(rgb[y0:y1, x0:x1], step))
    to_source = chained(to_picture, Homography.from_affine(Affine.shift(-x0, -y0).then(Affine.scale(1.0 / step))))
    if not isinstance(to_source, Homography):
        return _by_tiles(source, to_source, size_px, outside)
    matrix = to_source.matrix / to_source.matrix[2, 2]
    box = _upright_box(matrix, size_px, source.size)
    if box is not None:
        return np.asarray(source.resize(size_px, Image.Resampling.BICUBIC, box))
    coefficients = matrix.ravel()[:8]
    out = source.transform(
        size_px, Image.Transform.PERSPECTIVE, tuple(coefficients), Image.Resampling.BICUBIC, fillcolor=outside
    )
    return np.asarray(out)


def _upright_box(
    matrix: Points, size_px: tuple[int, int], source_px: tuple[int, int]
) -> tuple[float, float, float, float] | None:
    """x0, y0, x1, y1 of the region in the source, None where it is turned or tilted or passes the source's edge."""
    (xx, xy, dx), (yx, yy, dy), (px, py, _) = matrix.tolist()
    x1, y1 = dx + xx * size_px[0], dy + yy * size_px[1]
    # A region of whole pixels may pass the source's edge by less than one of them: cut there, it is stretched by as much.
    inside = min(dx, dy) >= 0.0 and x1 < source_px[0] + 1.0 and y1 < source_px[1] + 1.0
    if xy or yx or px or py or xx <= 0.0 or yy <= 0.0 or not inside:
        return None
    return dx, dy, min(x1, source_px[0]), min(y1, source_px[1])


def _rim(size_px: tuple[int, int]) -> Points:
    """Points along the edge of a region, its corners among them."""
    t = np.linspace(0.0, 1.0, 17)
    nought, one = np.zeros_like(t), np.ones_like(t)
    return np.concatenate([np.column_stack(p) for p in ((t, nought), (t, one), (nought, t), (one, t))]) * size_px


def _by_tiles(
    source: Image.Image, to_source: PlaneMap, size_px: tuple[int, int], outside: tuple[int, int, int]
) -> NDArray[np.uint8]:
    width, height = size_px
    x, y = (np.append(np.arange(0, n, TILE_PX), n) for n in size_px)
    corners = np.stack(np.meshgrid(x, y), axis=-1)
    seen = to_source.apply(corners.reshape(-1, 2).astype(float)).reshape(corners.shape)
    mesh = [
        (
            (int(x[i]), int(y[j]), int(x[i + 1]), int(y[j + 1])),
            tuple(float(v) for p in (seen[j, i], seen[j + 1, i], seen[j + 1, i + 1], seen[j, i + 1]) for v in p),
        )
        for j in range(len(y) - 1)
        for i in range(len(x) - 1)
    ]
    return np.asarray(
        source.transform((width, height), Image.Transform.MESH, mesh, Image.Resampling.BICUBIC, fillcolor=outside)
    )


def reduced(rgb: NDArray[np.uint8], step: int) -> NDArray[np.uint8]:
    """Blocks of `step` by `step` pixels averaged; what is left over at the right and lower edge averaged too."""
    if step == 1:
        return rgb
    height = -(-rgb.shape[0] // step)
    band = max(1, BAND_PX // step)
    parts = [
        np.asarray(Image.fromarray(rgb[y * step : (y + band) * step]).reduce(step)) for y in range(0, height, band)
    ]
    return np.concatenate(parts)
