"""The darkness of a strip of dotted paper comes in with the rows and columns of its dots, the same without dots goes out.

All dots of a sheet are alike, so the median over all crossings of rows and columns shows one, however many letters stand on
others. A dot on bare paper is wiped; under the edge of a letter what lies around it is carried over it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import box_mean, regions_of, spread

Places = NDArray[np.float64]

# So many dots are needed to know one.
FEWEST = 9
# A dot is darker than paper by so much at least; lines run on beside a crossing with more than this share of it.
FAINTEST, RUNS_ON = 0.03, 0.3
# A dot ends where it is darker than paper by less than this share of its middle.
EDGE = 0.08
# A letter stands where it is this share of its darkness; a dot lies on paper, or in a letter, where so much around it does.
INKED, PAPER_AROUND, LETTER_AROUND = 0.33, 0.05, 0.9
# Weight by distance, as a power, of what is carried over a dot.
NEARNESS = -3.0


def erase_dots(
    darkness: NDArray[np.float32],
    rows: tuple[Places, ...],
    columns: tuple[Places, ...],
    ink_level: float,
    paper_level: float,
    reach: int,
) -> NDArray[np.float32]:
    """Darkness (h, w) without the dots at the crossings; unchanged on squared paper.

    rows: y of each row of dots at each x, (w,); columns: x of each column at each y, (h,); nan where they do not run.
    ink_level, paper_level: darkness of the letters and of bare paper. reach: px around a crossing that hold a dot.
    """
    places = _crossings(rows, columns, darkness.shape, reach)
    if len(places) < FEWEST:
        return darkness
    around = np.arange(-reach, reach + 1)
    patches = darkness[(places[:, 1, None] + around)[:, :, None], (places[:, 0, None] + around)[:, None, :]]
    dot = np.median(patches, axis=0) - paper_level
    mask = _dot_mask(dot, reach)
    if mask is None:
        return darkness
    near = spread(mask, 2)
    ring = spread(near, 2) & ~near
    carry = _carried(near, ring)
    limit = paper_level + INKED * (ink_level - paper_level)
    clean = darkness.copy()
    for (x, y), patch in zip(places, patches, strict=True):
        inked = float((patch[ring] > limit).mean())
        if inked < LETTER_AROUND:
            window = clean[y - reach : y + reach + 1, x - reach : x + reach + 1]
            window[near] = paper_level if inked < PAPER_AROUND else carry @ patch[ring]
    return clean


def _crossings(
    rows: tuple[Places, ...], columns: tuple[Places, ...], shape: tuple[int, ...], reach: int
) -> NDArray[np.intp]:
    """Pixel (x, y) of each crossing that lies inside, (n, 2)."""
    h, w = shape
    places = []
    for row in rows:
        for column in columns:
            y = float(np.nanmean(row))
            for _ in range(3):
                x = float(column[int(np.clip(y, 0, h - 1))])
                y = float(row[int(np.clip(x, 0, w - 1))]) if np.isfinite(x) else np.nan
                if not np.isfinite(y):
                    break
            if np.isfinite(x) and np.isfinite(y) and reach < x < w - reach - 1 and reach < y < h - reach - 1:
                places.append((int(x), int(y)))
    return np.array(places, np.intp).reshape(-1, 2)


def _dot_mask(dot: NDArray[np.float32], reach: int) -> NDArray[np.bool_] | None:
    """Where a dot is dark, about the middle of its patch; None where lines cross instead."""
    corners = float(np.mean((dot[0, 0], dot[0, -1], dot[-1, 0], dot[-1, -1])))
    arms = float(np.mean((dot[reach, 0], dot[reach, -1], dot[0, reach], dot[-1, reach])))
    top = float(box_mean(dot, 3).max()) - corners
    if top < FAINTEST or arms - corners > RUNS_ON * top:
        return None
    labels = regions_of(dot - corners > EDGE * top).labels
    middle = labels[reach, reach]
    return np.asarray(labels == middle) if middle else None


def _carried(inside: NDArray[np.bool_], ring: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Weights (inside, ring) that carry the ring's values over what lies inside, the nearest most."""
    p, q = np.argwhere(inside), np.argwhere(ring)
    distance = np.hypot(*np.moveaxis(p[:, None] - q[None], 2, 0).astype(float))
    weight = distance**NEARNESS
    return np.asarray(weight / weight.sum(axis=1, keepdims=True))
