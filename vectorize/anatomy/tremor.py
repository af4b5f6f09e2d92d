"""The ink's own edge comes in; out goes how much it trembles about its smooth course."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from vectorize.anatomy.edges import even_polyline
from vectorize.geometry import Points
from vectorize.raster import ring_blurred

# Letter units: points along the edge, the window in which it is held against its own smooth course, and its sliding step.
STEP_U = 8.0
WINDOW_U = 320.0
# A window that turns more than this holds a corner or a terminal, not a stroke's side.
TURN_DEG = 50.0
# All turns of a trembling stroke's side, to and fro, come to no more than three times that.
TURNS_DEG = 3 * TURN_DEG
# The direction of the edge is read from points smoothed over this many steps.
SMOOTH_STEPS = 4.0


def tremor(edges: Sequence[Points]) -> float | None:
    """Root mean square distance of the drawn edge from the best parabola over a third of an x-height, letter units.

    Typical (median) over all windows that hold a stroke's side; None where the edge has none or is not known.
    """
    found: list[float] = []
    for edge in edges:
        found += _windows(even_polyline(edge, STEP_U))
    return float(np.median(found)) if found else None


def _windows(ring: Points) -> list[float]:
    size = round(WINDOW_U / STEP_U)
    if len(ring) < 2 * size:
        return []
    smooth = ring_blurred(ring, SMOOTH_STEPS)
    step = np.roll(smooth, -1, axis=0) - smooth
    turn = np.abs(np.diff(np.unwrap(np.arctan2(step[:, 1], step[:, 0])), append=np.nan))
    turn[-1] = 0.0
    t = np.linspace(-1.0, 1.0, size)
    basis = np.linalg.qr(np.stack((np.ones(size), t, t * t), axis=1))[0]
    numbers = (np.arange(0, len(ring), size // 4)[:, None] + np.arange(size)) % len(ring)
    plain = (np.degrees(turn[numbers].sum(axis=1)) <= TURNS_DEG) & (_bend_deg(smooth[numbers]) <= TURN_DEG)
    p = ring[numbers[plain]]
    p -= p.mean(axis=1, keepdims=True)
    chord = p[:, -1] - p[:, 0]
    across = np.stack((-chord[:, 1], chord[:, 0]), axis=1) / np.maximum(np.hypot(*chord.T), 1e-9)[:, None]
    off = np.einsum("ijk,ik->ij", p, across)
    found: list[float] = np.sqrt(np.mean((off - (off @ basis) @ basis.T) ** 2, axis=1)).tolist()
    return found


def _bend_deg(p: Points) -> NDArray[np.float64]:
    """Greatest angle between the thirds of each stretch, (m,), of stretches of shape (m, n, 2)."""
    third = p.shape[1] // 3
    parts = np.diff(p[:, [0, third, 2 * third, -1]], axis=1)
    angles = np.unwrap(np.arctan2(parts[..., 1], parts[..., 0]), axis=1)
    return np.asarray(np.degrees(np.ptp(angles, axis=1)))
