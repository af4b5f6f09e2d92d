"""Spans of ink come in, how unlike each letter of the alphabet they look goes out.

A span is seen as a coarse picture: the share of ink in the cells of a grid that is as wide as the span and stands on the
baseline. Its distance to a letter is that of the nearest of the letter's forms after linear discriminant analysis (Fisher
1936; Rao 1948), in standard deviations of that form between typefaces and hands. The forms come from open families;
`benchmarks/letter_looks.py` makes them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray

# The grid: rows from this height in x-heights above the baseline downward, each of this height; columns.
TOP, ROW, ROWS, COLUMNS = 1.6, 0.15, 14, 10
FILE = "letter_looks.npz"


@dataclass(frozen=True, slots=True, eq=False)
class Forms:
    """letters: names, sorted. axes: (ROWS * COLUMNS, d). forms: (n, d). owner: index of each form's letter, (n,)."""

    letters: tuple[str, ...]
    axes: NDArray[np.float32]
    forms: NDArray[np.float32]
    owner: NDArray[np.intp]


@cache
def known_forms() -> Forms:
    """The forms of every letter that is known by its looks."""
    with (resources.files("vectorize.trade") / FILE).open("rb") as file, np.load(file) as stored:
        names = tuple(str(n) for n in stored["letters"])
        return Forms(names, stored["axes"].astype(np.float32), stored["forms"].astype(np.float32), stored["owner"])


def rows_of_ink(mask: NDArray[np.bool_], top: float, baseline_px: float, x_height_px: float) -> NDArray[np.float32]:
    """Share of ink (ROWS, w) in the grid's rows for each column of a mask (h, w) whose first row is at `top`."""
    h, w = mask.shape
    total = np.zeros((h + 1, w), np.float32)
    np.cumsum(mask, axis=0, out=total[1:], dtype=np.float32)
    edges = baseline_px - (TOP - ROW * np.arange(ROWS + 1)) * x_height_px - top
    return np.diff(_between(total, np.clip(edges, 0, h)), axis=0) / np.float32(ROW * x_height_px)


def grid(columns_total: NDArray[np.float32], x0: float, x1: float) -> NDArray[np.float32]:
    """The span's picture (ROWS * COLUMNS,) from its running total along x (w + 1, ROWS), between two columns."""
    edges = np.linspace(x0, x1, COLUMNS + 1)
    cells = np.diff(_between(columns_total, edges), axis=0) * np.float32(COLUMNS / (x1 - x0))
    return cells.T.ravel()


def distances(pictures: NDArray[np.float32]) -> NDArray[np.float32]:
    """Squared distance of pictures (n, ROWS * COLUMNS) to each letter of `known_forms`, (n, letters)."""
    known = known_forms()
    seen = pictures @ known.axes
    square = (seen**2).sum(1)[:, None] + (known.forms**2).sum(1)[None] - 2.0 * seen @ known.forms.T
    starts = np.flatnonzero(np.diff(known.owner, prepend=-1))
    nearest = np.minimum.reduceat(square, starts, axis=1)
    return np.asarray(np.maximum(nearest, 0.0), np.float32)


def _between(total: NDArray[np.float32], edges: NDArray[np.float64]) -> NDArray[np.float32]:
    """Rows of a running total at fractional places."""
    low = np.minimum(edges.astype(int), len(total) - 2)
    t = (edges - low).astype(np.float32)[:, None]
    return np.asarray(total[low] * (1 - t) + total[low + 1] * t)
