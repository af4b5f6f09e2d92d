"""A picture and a homography come in; out goes any region of it at any scale."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from vectorize.geometry import Affine, Homography, Points, box_around

MARGIN_PX = 8
"""Beyond the region, so that filters at its edge see real pixels."""

BAND_PX = 512
"""Rows handed to Pillow at a time: a copy of the whole picture would cost more memory than the picture."""


def local_scale(transform: Homography, points: Points) -> float:
    """Output px per input px of a homography at points of shape (n, 2): root of the mean area factor."""
    h = transform.matrix
    w = points @ h[2, :2] + h[2, 2]
    return float(np.sqrt(np.mean(np.abs(np.linalg.det(h) / w**3))))


def resampled(
    rgb: NDArray[np.uint8],
    to_picture: Homography,
    size_px: tuple[int, int],
    outside: tuple[int, int, int] = (255, 255, 255),
) -> NDArray[np.uint8]:
    """The region whose pixels `to_picture` maps into the picture; shape (height, width, 3).

    Pixel centres at +0.5 in both frames. Shrinking is done by area first, then bicubic; what lies beyond the
    picture becomes `outside`.
    """
    width, height = size_px
    corners = np.array([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height), (width / 2, height / 2)])
    seen = box_around(to_picture.apply(corners)).grown(MARGIN_PX)
    x0, y0 = max(0, math.floor(seen.x0)), max(0, math.floor(seen.y0))
    x1, y1 = min(rgb.shape[1], math.ceil(seen.x1)), min(rgb.shape[0], math.ceil(seen.y1))
    if x1 - x0 < 1 or y1 - y0 < 1:
        return np.full((height, width, 3), outside, np.uint8)
    # Longer steps would skip ink; blocks of pixels are averaged first so that a step is about one pixel.
    step = max(1, round(local_scale(to_picture, corners[4:])))
    source = Image.fromarray(reduced(rgb[y0:y1, x0:x1], step))
    matrix = to_picture.then(Homography.from_affine(Affine.shift(-x0, -y0).then(Affine.scale(1.0 / step)))).matrix
    coefficients = (matrix / matrix[2, 2]).ravel()[:8]
    out = source.transform(
        size_px, Image.Transform.PERSPECTIVE, tuple(coefficients), Image.Resampling.BICUBIC, fillcolor=outside
    )
    return np.asarray(out)


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
