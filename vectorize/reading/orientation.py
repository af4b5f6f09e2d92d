"""A sheet's overview and the nearly level lines found in it come in; how far the drawing is turned goes out, roughly.

Only where no level line carries the lettering is anything looked for: first lines at any angle, by a coarse Hough
transform (Duda & Hart, CACM 15, 1972), then, without lines, the angle at which the ink's projection is sharpest
(Postl, Detection of linear oblique structures and skew scan in digitized documents, ICPR 1986, from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.raster import greatest, row_mean
from vectorize.reading.lines import STRIDE, Ridges, ridge_points
from vectorize.reading.records import StraightLine
from vectorize.reading.ruling import darkest, solid_ink
from vectorize.trade.lines import TURNED_LEAST_DEG, TURNED_MOST_DEG

# A line carries lettering when it runs along this share of the ink's width.
CARRIES = 0.5
# Angles are tried in these steps, heights in these, px: wide enough for a line that perspective or a hand bends.
ANGLE_STEP_DEG, HEIGHT_STEP_PX = 0.5, 3.0
# Ridges stand out of the grain by so many of its standard deviations, and fewer of them tell nothing.
CLEAR, FEWEST = 2.5, 20
# Votes above this many standard deviations of the grain strewn over so many heights around are lines.
SURE, AROUND = 6.0, 51
BESIDE_PX = 8
# A line is seen for so much of the overview's width at least.
LEAST_RUN = 0.09
# Lines, or the ink's projection, must be this much sharper at an angle than near level.
SHARPER_LINES, SHARPER_INK = 1.5, 1.25
# The ink is thinned out to so many points, and its heights taken in these steps, px.
INK_POINTS, INK_STEP_PX = 20000, 4


def turned_deg(overview: NDArray[np.float32], lines: tuple[StraightLine, ...], scale: float) -> float:
    """Angle of the drawing's lines on its sheet, degrees, positive when the right end is higher; 0 where it is level.

    overview: absorbance (h, w, 3). lines: the nearly level ones, in sheet px. scale: overview px per sheet px.
    """
    solid = solid_ink(overview)
    columns = np.flatnonzero(solid.any(axis=0))
    if not len(columns):
        return 0.0
    width = float(np.ptp(columns)) / scale
    carrying = [x for x in lines if x.end[0] - x.start[0] > CARRIES * width]
    if carrying:
        deg = -float(np.median(np.rad2deg(np.arctan([x.slope for x in carrying]))))
        return deg if abs(deg) > TURNED_LEAST_DEG else 0.0
    # Ends of bars and serifs, which line up as letters do, lie close to letters; lines run on.
    letters = greatest(greatest(solid, 5, axis=0), 2 * BESIDE_PX + 1, axis=1)
    by_lines = _by_lines(ridge_points(darkest(overview), letters), overview.shape[1])
    return by_lines or _by_ink(solid)


def _angles() -> NDArray[np.float64]:
    return np.arange(-TURNED_MOST_DEG, TURNED_MOST_DEG + 1e-9, ANGLE_STEP_DEG)


def _by_lines(ridges: Ridges, width: int) -> float:
    """The angle at which ridge points gather most, 0 where none stands out."""
    angles = _angles()
    clear = ridges.weight > CLEAR
    x, y = ridges.x[clear] - width / 2.0, ridges.y[clear]
    if len(x) < FEWEST:
        return 0.0
    gathered, most = np.zeros(len(angles)), np.zeros(len(angles))
    for k, slope in enumerate(np.tan(np.deg2rad(angles))):
        # Positive angles rise to the right, so that rows fall.
        across = (y + slope * x) / np.hypot(1.0, slope) / HEIGHT_STEP_PX
        votes = np.bincount((across - across.min()).astype(np.intp))
        even = row_mean(votes.astype(float), AROUND)
        above = np.maximum(votes - even - SURE * np.sqrt(even + 1.0), 0.0)
        gathered[k], most[k] = float((above**2).sum()), float(above.max())
    if most.max() < LEAST_RUN * width / STRIDE:
        return 0.0
    return _sharpest(angles, gathered, SHARPER_LINES)


def _by_ink(solid: NDArray[np.bool_]) -> float:
    """The angle along which the letters line up, 0 where it is near level or not plain."""
    rows, columns = np.nonzero(solid)
    step = max(1, len(rows) // INK_POINTS)
    y, x = rows[::step].astype(float), columns[::step].astype(float)
    angles = _angles()
    sharp = np.zeros(len(angles))
    for k, a in enumerate(np.deg2rad(angles)):
        across = y * np.cos(a) + x * np.sin(a)
        sharp[k] = float((np.bincount((across - across.min()).astype(np.intp) // INK_STEP_PX).astype(float) ** 2).sum())
    return _sharpest(angles, sharp, SHARPER_INK)


def _sharpest(angles: NDArray[np.float64], sharp: NDArray[np.float64], than_level: float) -> float:
    """The angle at which something is sharpest, 0 where that is near level, not plain, or beyond all angles."""
    best = int(sharp.argmax())
    # What grows on to the last angle that is tried is sharpest beyond it, as a stem that stands alone is along itself.
    if best in {0, len(angles) - 1}:
        return 0.0
    level = float(sharp[np.abs(angles) <= TURNED_LEAST_DEG].max())
    steep = abs(angles[best]) > TURNED_LEAST_DEG and sharp[best] > than_level * level
    return float(angles[best]) if steep else 0.0
