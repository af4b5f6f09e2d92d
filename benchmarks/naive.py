"""The naive reference: `python benchmarks/naive.py PICTURE... DIR` decodes, thresholds by Otsu, traces with the
potrace library, sets the parts at equal gaps and writes one SVG a picture. No level, no lines, no area rule."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import potrace
from PIL import Image, ImageOps
from scipy import ndimage
from skimage.filters import threshold_otsu

SMALLEST = 0.0002
"""Share of the picture below which a part is dirt."""


def rebuild(picture: Path, folder: Path) -> None:
    """One picture to one SVG."""
    grey = np.asarray(ImageOps.exif_transpose(Image.open(picture)).convert("L"))
    parts, _ = ndimage.label(grey < threshold_otsu(grey))
    boxes = ndimage.find_objects(parts)
    sizes = np.bincount(parts.ravel())[1:]
    kept = [i for i in np.argsort([b[1].start for b in boxes]) if sizes[i] > SMALLEST * grey.size]
    widths = [boxes[i][1].stop - boxes[i][1].start for i in kept]
    gap = max(0.0, (boxes[kept[-1]][1].stop - boxes[kept[0]][1].start - sum(widths)) / max(1, len(kept) - 1))
    paths, pen = [], float(boxes[kept[0]][1].start)
    for i, width in zip(kept, widths, strict=True):
        paths.append(_path(parts[boxes[i]] == i + 1, pen, boxes[i][0].start))
        pen += width + gap
    h, w = grey.shape
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}">{"".join(paths)}</svg>'
    (folder / f"{picture.stem}.svg").write_text(svg, encoding="utf-8")


def _path(mask: np.ndarray, x: float, y: float) -> str:
    bits = potrace.Bitmap(~np.pad(mask, 1))  # a boolean array is taken for white on black
    d = []
    for curve in bits.trace(turdsize=2):
        at = lambda p: f"{p.x + x - 1:.2f} {p.y + y - 1:.2f}"  # noqa: E731
        d.append(f"M {at(curve.start_point)}")
        for s in curve.segments:
            d.append(
                f"L {at(s.c)} L {at(s.end_point)}" if s.is_corner else f"C {at(s.c1)} {at(s.c2)} {at(s.end_point)}"
            )
        d.append("Z")
    return f'<path d="{" ".join(d)}"/>'


if __name__ == "__main__":
    *pictures, out = map(Path, sys.argv[1:])
    out.mkdir(parents=True, exist_ok=True)
    for each in pictures:
        rebuild(each, out)
