"""Small plain pictures of typeset words on ruled lines: quick to read, each with bytes of its own."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import flatten, signed_area

X_HEIGHT_PX = 60.0


def picture(word: str, *, seed: int = 0, gaps_u: tuple[float, ...] = (), family: str = "lato") -> bytes:
    """A PNG of the word in black on white between a baseline and a mean line, with a little grain.

    seed: of the grain; equal arguments give equal bytes. gaps_u: white added after each letter.
    """
    outlines = outline_word(font_path(family), word)
    shifts = np.cumsum([0.0, *gaps_u, *[0.0] * len(outlines)])[: len(outlines)]
    k, left, baseline = X_HEIGHT_PX / 1000.0, 60.0, 160.0
    width = int(2 * left + k * (outlines[-1].box_u.x1 + shifts[-1]))
    image = Image.new("L", (4 * width, 4 * 240), 250)
    draw = ImageDraw.Draw(image)
    for height in (0.0, 1000.0):
        y = 4 * (baseline - k * height)
        draw.line([(80, y), (4 * width - 80, y)], fill=150, width=6)
    for outline, shift in zip(outlines, shifts, strict=True):
        for contour in sorted(outline.contours, key=signed_area, reverse=True):
            ring = [(4 * (left + k * (x + shift)), 4 * (baseline - k * y)) for x, y in flatten(contour, 0.5)]
            draw.polygon(ring, fill=35 if signed_area(contour) > 0 else 250)
    grey = np.asarray(image.reduce(4), float) + np.random.default_rng(seed).normal(0.0, 2.0, (240, width))
    out = io.BytesIO()
    Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).save(out, "PNG", dpi=(150, 150))
    return out.getvalue()


def lay(folder: Path, count: int, word: str = "l") -> list[Path]:
    """So many different pictures as files."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / f"sheet {i + 1}.png" for i in range(count)]
    for i, path in enumerate(paths):
        path.write_bytes(picture(word, seed=i))
    return paths
