"""The ink's own edge comes in; out goes how much it trembles about its smooth course."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import ndimage

from vectorize.geometry import Points

# Letter units: points along the edge, the window in which it is held against its own smooth course, and its sliding step.
STEP_U = 8.0
WINDOW_U = 320.0
# A window that turns more than this holds a corner or a terminal, not a stroke's side.
TURN_DEG = 50.0
# The direction of the edge is read from points smoothed over this many steps.
SMOOTH_STEPS = 4.0


def tremor(edges: Sequence[Points]) -> float | None:
    """Root mean square distance of the drawn edge from the best parabola over a third of an x-height, letter units.

    Typical (median) over all windows that hold a stroke's side; None where the edge has none or is not known.
    """
    found: list[float] = []
    for edge in edges:
        found += _windows(_even(edge))
    return float(np.median(found)) if found else None


def _even(edge: Points) -> Points:
    ring = np.vstack((edge, edge[:1]))
    run = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))))
    at = np.linspace(0.0, run[-1], max(8, round(run[-1] / STEP_U)), endpoint=False)
    return np.column_stack((np.interp(at, run, ring[:, 0]), np.interp(at, run, ring[:, 1])))


def _windows(ring: Points) -> list[float]:
    size = round(WINDOW_U / STEP_U)
    if len(ring) < 2 * size:
        return []
    smooth = ndimage.gaussian_filter1d(ring, SMOOTH_STEPS, axis=0, mode="wrap")
    step = np.roll(smooth, -1, axis=0) - smooth
    turn = np.abs(np.diff(np.unwrap(np.arctan2(step[:, 1], step[:, 0])), append=np.nan))
    turn[-1] = 0.0
    t = np.linspace(-1.0, 1.0, size)
    basis = np.linalg.qr(np.stack((np.ones(size), t, t * t), axis=1))[0]
    found = []
    for start in range(0, len(ring), size // 4):
        numbers = np.arange(start, start + size) % len(ring)
        if np.degrees(turn[numbers].sum()) > 3 * TURN_DEG or _bend_deg(smooth[numbers]) > TURN_DEG:
            continue
        p = ring[numbers] - ring[numbers].mean(axis=0)
        chord = p[-1] - p[0]
        off = p @ np.array((-chord[1], chord[0])) / max(float(np.hypot(*chord)), 1e-9)
        found.append(float(np.sqrt(np.mean((off - basis @ (basis.T @ off)) ** 2))))
    return found


def _bend_deg(p: Points) -> float:
    """Greatest angle between the thirds of a stretch."""
    third = len(p) // 3
    parts = [p[third] - p[0], p[2 * third] - p[third], p[-1] - p[2 * third]]
    angles = np.unwrap([float(np.arctan2(v[1], v[0])) for v in parts])
    return float(np.degrees(np.ptp(angles)))
