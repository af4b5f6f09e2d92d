"""The floor under any tool for this job: `python benchmarks/floor.py PICTURE...` decodes and blurs once."""

from __future__ import annotations

import sys

import numpy as np
from PIL import Image, ImageOps
from scipy import ndimage

if __name__ == "__main__":
    for each in sys.argv[1:]:
        grey = np.asarray(ImageOps.exif_transpose(Image.open(each)).convert("L"), np.float32)
        ndimage.gaussian_filter(grey, 2.0)
