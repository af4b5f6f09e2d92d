"""One letter's ink comes in, its outline as closed Bezier contours in letter units goes out."""

from __future__ import annotations

import math

import numpy as np

from vectorize.geometry import Affine, Points
from vectorize.outlines.bevels import drawn_back, with_bevels
from vectorize.outlines.corners import Corners, find_corners
from vectorize.outlines.fit import Fitted, Samples, fit
from vectorize.outlines.finish import finished
from vectorize.outlines.outline import Outline
from vectorize.outlines.plan import CORNER, Plan, plan_nodes
from vectorize.outlines.ring import Ring, directions, heading, smoothed, turning
from vectorize.outlines.straights import corners_at_ends, find_straights
from vectorize.outlines.tidy import tidied
from vectorize.outlines.trace import edges_of
from vectorize.reading.records import LetterInk
from vectorize.trade.outlines import GRAIN, SPECK

STEP = 0.006
_FORM = 0.028


def draw_outline(letter: LetterInk, to_units: Affine, edge_blur_px: float) -> Outline:
    """The letter's outline in letter units; no contours where the ink has no edge.

    to_units: strip px -> letter units. edge_blur_px: sigma of the ink's edge.
    """
    place = Affine.shift(letter.left_px, letter.top_px).then(to_units).then(Affine.scale(0.001))
    x_height_px = 1.0 / math.sqrt(abs(place.determinant))
    rings = edges_of(letter.coverage, place, GRAIN * x_height_px, SPECK, STEP)
    blur = math.hypot(edge_blur_px / x_height_px, GRAIN)
    fits = [draw_ring(r, blur) for r in rings]
    contours = tuple(finished(f) for f in fits)
    worst = 1000.0 * max((float(np.abs(f.off).max()) for f in fits), default=0.0)
    return Outline(contours, letter.name, tuple(1000.0 * r.points for r in rings), worst)


def draw_ring(ring: Ring, blur: float) -> Fitted:
    corners = with_bevels(ring, find_corners(ring, blur), blur)
    edge = _undo_blur(ring, corners, blur)
    rough = 1.48 * float(np.median(np.hypot(*(ring.points - smoothed(ring.points, 0.02, ring.step)).T)))
    straights = find_straights(edge, corners.at, blur, rough)
    more = corners_at_ends(edge, straights, corners)
    if len(more.at) > len(corners.at):
        corners, straights = more, find_straights(edge, more.at, blur, rough)
    tangents = directions(edge, _FORM)
    plan = plan_nodes(edge, corners, straights, heading(tangents))
    slope = np.tan(np.maximum(np.pi - corners.turn, 0.2) / 2)
    reach = np.zeros(len(edge.points))
    reach[corners.at] = np.maximum(2.6, 1.5 * drawn_back(corners.turn)) * blur + 0.008
    hidden = np.zeros(len(edge.points))
    hidden[corners.at] = np.clip(1.2 / slope, 2.0, 6.0) * blur
    samples = Samples(edge.points, tangents, _weights(plan, edge, hidden), max(rough, 0.0012), edge.step, reach)
    return tidied(fit(plan, samples), samples)


def _undo_blur(ring: Ring, corners: Corners, blur: float) -> Ring:
    t = directions(ring, _FORM)
    k = turning(t) / ring.step
    n = len(ring.points)
    far = np.ones(n, bool)
    if len(corners.at):
        d = np.abs((np.arange(n)[:, None] - corners.at + n // 2) % n - n // 2).min(axis=1)
        far = d * ring.step > 3 * blur
    move = 0.5 * blur**2 * k * far
    normal = np.column_stack((t.imag, -t.real))
    return Ring(ring.points + normal * move[:, None], ring.step)


def _weights(plan: Plan, ring: Ring, hidden: Points) -> Points:
    n = len(ring.points)
    w = np.ones(n)
    corner = plan.at[plan.kind == CORNER]
    for c in corner:
        i = int(np.flatnonzero(plan.at == c)[0])
        for sign, other in ((1, plan.at[(i + 1) % len(plan.at)]), (-1, plan.at[i - 1])):
            gap = (sign * (other - c)) % n or n
            cut = min(round(hidden[c] / ring.step), int(0.35 * gap))
            w[(c + sign * np.arange(cut + 1)) % n] = 0.0
    return w
