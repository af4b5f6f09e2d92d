"""A rough side of a sheet comes in; out goes the same side, measured at full resolution, straight or slightly bowed."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.geometry import Points
from vectorize.raster import blurred
from vectorize.reading.straight import huber_weights, robust_sigma

NORMALS = 160
"""Places along a side at which the step from desk to paper is looked for."""
REACH_STEPS = 6.0
"""How far from the rough side, in px of the thumb it was found in."""
MOST_BOW = 0.03
"""Of a side's length: what a phone's lens or a curled sheet can bow it at most."""
WORTH_A_BOW = 0.08
"""Share of the places that a bow must bring onto the line before it is believed."""
CLEAR_OF_CORNERS = 0.03
"""Share of a side at each end where the step is not looked for: a rough corner may be that far off."""
FEWEST_NORMALS, LEAST_SEEN = NORMALS // 8, 0.3
"""Places with a step, and share of these on one line, without which a side is not believed."""

LEAST_SIGMA_PX = 0.1
"""No side is known better than to this standard deviation of its places."""
COMB, WELL_APART = {2: 28, 3: 16}, 0.2
"""Points tried in pairs and in triples, some hundreds of either; share of the stretch by which those of one choice part."""


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """A side of the sheet. normal: unit vector (x, y) into the sheet; offset: normal . p = offset on the side.

    ends: the stretch that is seen, shape (2, 2); a bowed side is stood for by the chord of its arc, and bow_px is how
    far the arc's middle lies towards the sheet. seen: share of the stretch where a step in the picture lies on the line.
    """

    normal: Points
    offset: float
    ends: Points
    seen: float = 1.0
    bow_px: float = 0.0

    def distance(self, points: Points) -> Points:
        """Signed distance of points (n, 2) from the side, px, positive towards the sheet."""
        d: Points = points @ self.normal - self.offset
        return d


def side_between(p: Points, q: Points, inner: Points, *, seen: float = 1.0, bow_px: float = 0.0) -> Side:
    """The straight side from p to q with the point `inner` on its sheet's side."""
    d = (q - p) / math.dist(p, q)
    normal = np.array([-d[1], d[0]])
    if normal @ (inner - p) < 0:
        normal = -normal
    return Side(normal, float(normal @ p), np.array([p, q]), seen, bow_px)


def facing(side: Side) -> int:
    """0 for a left side, 1 top, 2 right, 3 bottom, by where its normal points."""
    angle = math.degrees(math.atan2(side.normal[1], side.normal[0]))
    return int(((angle + 45) % 360) // 90)


def refined(rgb: NDArray[np.uint8], rough: Side, chain: Points, step: int) -> Side | None:
    """The side at full resolution; None when hardly a step in the picture lies on one line.

    rough: in px of a thumb `step` times smaller. chain: (m, 2), the polyline that was found there, as distances along
    the rough side from its first end and towards the sheet. Method: the strongest step in colour along each of 160
    normals, sub-pixel by a parabola, then the line or flat parabola that most of them follow.
    """
    ends = rough.ends * step
    length = math.dist(*ends)
    t = np.linspace(CLEAR_OF_CORNERS, 1.0 - CLEAR_OF_CORNERS, NORMALS)
    start = np.interp(t * length, chain[:, 0] * step, chain[:, 1] * step)
    offset, usable = _steps(rgb, ends[0] + t[:, None] * (ends[1] - ends[0]), rough.normal, start, step)
    if usable.sum() < FEWEST_NORMALS:
        return None
    (a, b, c), seen = robust_arc(2 * t[usable] - 1, offset[usable], max(1.5, 0.5 * step), MOST_BOW * length)
    if seen < LEAST_SEEN:
        return None
    p, q = ends[0] + rough.normal * (a - b + c), ends[1] + rough.normal * (a + b + c)
    return side_between(p, q, (p + q) / 2 + rough.normal, seen=seen, bow_px=-c)


def _steps(
    rgb: NDArray[np.uint8], along: Points, normal: Points, start: Points, step: int
) -> tuple[Points, NDArray[np.bool_]]:
    """Distance towards the sheet of the strongest step in colour at each place, and where one can be told."""
    reach = REACH_STEPS * step
    spread = max(1.0, step / 4)
    depth = start[:, None] + np.arange(-reach, reach + spread, spread)[None, :]
    points = along[:, None, :] + depth[..., None] * normal
    x, y = points[..., 0], points[..., 1]
    inside = (x > 1) & (y > 1) & (x < rgb.shape[1] - 1) & (y < rgb.shape[0] - 1)
    smooth = blurred(_bilinear(rgb, x, y), (0.0, 0.35 * step / spread + 0.6))
    jump = np.abs(np.gradient(smooth, axis=1)).sum(axis=2) * inside
    k = jump[:, 1:-1].argmax(axis=1) + 1
    rows = np.arange(len(k))
    a, b, c = jump[rows, k - 1], jump[rows, k], jump[rows, k + 1]
    curvature = a - 2 * b + c
    offset = depth[rows, k] + spread * 0.5 * (a - c) / np.where(curvature == 0, -1.0, curvature)
    return offset, inside.all(axis=1) & (b > 0)


def _bilinear(rgb: NDArray[np.uint8], x: Points, y: Points) -> NDArray[np.float32]:
    """Colour at points given with pixel centres at +0.5."""
    x = np.clip(x - 0.5, 0, rgb.shape[1] - 1.001)
    y = np.clip(y - 0.5, 0, rgb.shape[0] - 1.001)
    i, j = x.astype(int), y.astype(int)
    u, v = (x - i)[..., None].astype(np.float32), (y - j)[..., None].astype(np.float32)
    top = rgb[j, i] * (1 - u) + rgb[j, i + 1] * u
    low = rgb[j + 1, i] * (1 - u) + rgb[j + 1, i + 1] * u
    blended: NDArray[np.float32] = top * (1 - v) + low * v
    return blended


def robust_arc(x: Points, y: Points, tolerance: float, most_bow: float) -> tuple[tuple[float, float, float], float]:
    """(a, b, c) of y = a + b x + c x^2 over x in [-1, 1] despite outliers, and the share of points within `tolerance`.

    x, y: (n,), x rising, n >= 3. c stays 0 unless a bow of at most `most_bow` brings clearly more points onto the line.
    Method: the line or parabola through two or three points that most others follow (RANSAC, Fischler and Bolles 1981,
    with all choices from a fixed coarse comb instead of random ones), then Huber's reweighting.
    """
    line = _most_followed(x, y, tolerance, 2, 0.0)
    arc = _most_followed(x, y, tolerance, 3, most_bow)
    better = arc[1] - line[1] > WORTH_A_BOW
    degree = 2 if better else 1
    coefficients = _huber(x, y, arc[0] if better else line[0], tolerance, degree)
    seen = float((np.abs(y - _value(coefficients, x)) < tolerance).mean())
    return coefficients, seen


def _most_followed(
    x: Points, y: Points, tolerance: float, order: int, most_bow: float
) -> tuple[tuple[float, float, float], float]:
    """((a, b, c), share of points near it) of the line (order 2) or parabola (order 3) that most points follow."""
    comb = np.linspace(0, len(x) - 1, COMB[order]).astype(int)
    chosen = np.array(list(itertools.combinations(comb, order)))
    gaps = np.diff(x[chosen], axis=1).min(axis=1)
    chosen = chosen[gaps > WELL_APART * (x.max() - x.min())]
    powers = x[chosen][..., None] ** np.arange(order)
    found = np.linalg.solve(powers, y[chosen][..., None])[..., 0]
    if order == 2:
        found = np.column_stack((found, np.zeros(len(found))))
    found = found[np.abs(found[:, 2]) <= most_bow]
    if not len(found):
        return (float(np.median(y)), 0.0, 0.0), 0.0
    near = np.abs(y - found @ np.vstack((np.ones_like(x), x, x * x))) < tolerance
    share = near.mean(axis=1)
    a, b, c = (float(v) for v in found[int(share.argmax())])
    return (a, b, c), float(share.max())


def _huber(
    x: Points, y: Points, start: tuple[float, float, float], tolerance: float, degree: int
) -> tuple[float, float, float]:
    best = np.array(start)
    basis = np.vander(x, degree + 1, increasing=True)
    for _ in range(8):
        off = y - _value(tuple(best), x)
        near = np.abs(off) < 2 * tolerance
        if near.sum() < 2 * degree + 2:
            break
        w = np.sqrt(np.where(near, huber_weights(off, robust_sigma(off[near], LEAST_SIGMA_PX)), 0.0))
        best[: degree + 1] = np.linalg.lstsq(basis * w[:, None], y * w, rcond=None)[0]
    return float(best[0]), float(best[1]), float(best[2])


def _value(coefficients: tuple[float, ...], x: Points) -> Points:
    a, b, c = coefficients
    return a + b * x + c * x * x
