"""The ink's own edge comes in; out goes how ragged it is: pencil strokes that run over the edge or stop short of it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from vectorize.geometry import Points
from vectorize.raster import ring_blurred, ring_mean

# Letter units: points along the edge; the width over which it is smoothed, a third of a pencil line: ends of single pencil
# strokes are lost in it, a hand's tremor is not; and the stretch over which the departures are taken together.
STEP_U = 6.0
SMOOTH_U = 12.0
STRETCH_U = 150.0
# Of a letter's stretches up to two thirds may hold corners and serifs.
QUIET = 0.35


def ragged(edges: Sequence[Points]) -> float | None:
    """Root mean square distance of the drawn edge from itself smoothed, letter units; None where no edge is known.

    That of the quieter stretches, so that corners and serifs do not count.
    """
    found: list[float] = []
    for edge in edges:
        ring = np.vstack((edge, edge[:1]))
        run = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))))
        if run[-1] < 2.0 * STRETCH_U:
            continue
        at = np.arange(0.0, run[-1], STEP_U)
        even = np.column_stack((np.interp(at, run, ring[:, 0]), np.interp(at, run, ring[:, 1])))
        off = even - ring_blurred(even, SMOOTH_U / STEP_U)
        size = round(STRETCH_U / STEP_U)
        square = ring_mean((off**2).sum(axis=1), size)
        found += list(np.sqrt(np.maximum(0.0, square[:: size // 2])))
    return float(np.quantile(found, QUIET)) if found else None
