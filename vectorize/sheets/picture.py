"""The levelled sketch comes in; out goes the part of it that a sheet shows, encoded, with its place on the page."""

from __future__ import annotations

import io
import math

import numpy as np
from PIL import Image

from vectorize.geometry import Affine, Box, box_around
from vectorize.sheets.drawing import Picture
from vectorize.study import Sketch

# Fine enough that JPEG's own traces stay below the grain of pencil; the same bytes for the same pixels.
JPEG_QUALITY = 84


def sketch_picture(sketch: Sketch, shown_u: Box, to_mm: Affine, *, longest_px: int, title: str) -> Picture | None:
    """The sketch within `shown_u` (letter units) as a JPEG of at most `longest_px`, placed by its own affine map.

    to_mm: letter units to the page. None when the sketch has nothing there.
    """
    corners = sketch.to_units.inverse().apply(shown_u.corners)
    around = box_around(corners)
    height, width = sketch.rgb.shape[:2]
    x0, y0 = max(0, math.floor(around.x0)), max(0, math.floor(around.y0))
    x1, y1 = min(width, math.ceil(around.x1)), min(height, math.ceil(around.y1))
    if x1 <= x0 or y1 <= y0:
        return None
    part = np.ascontiguousarray(sketch.rgb[y0:y1, x0:x1])
    shrink = max(1.0, max(part.shape[:2]) / longest_px)
    size = (max(1, round(part.shape[1] / shrink)), max(1, round(part.shape[0] / shrink)))
    own = Affine(part.shape[1] / size[0], 0.0, 0.0, part.shape[0] / size[1], float(x0), float(y0))
    return Picture(_jpeg(part, size), "image/jpeg", size[0], size[1], own.then(sketch.to_units).then(to_mm), title)


def _jpeg(rgb: np.ndarray[tuple[int, ...], np.dtype[np.uint8]], size: tuple[int, int]) -> bytes:
    image = Image.fromarray(rgb)
    if image.size != size:
        image = image.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return out.getvalue()
