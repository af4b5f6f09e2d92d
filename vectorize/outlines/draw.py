"""One letter's ink comes in, its outline as closed Bezier contours in letter units goes out."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from vectorize.curves import Contour, fewer, flatten, moved, points_of, polygon, signed_area
from vectorize.geometry import Affine, frozen
from vectorize.outlines.bevels import with_bevels
from vectorize.outlines.corners import find_corners
from vectorize.outlines.edge import FORM, roughness, samples_of, without_blur
from vectorize.outlines.finish import UNITS, finished, started
from vectorize.outlines.fit import Fitted, Samples, fit
from vectorize.outlines.inflections import without_inflections
from vectorize.outlines.outline import Outline
from vectorize.outlines.parallel import made_parallel
from vectorize.outlines.plan import plan_nodes
from vectorize.outlines.polylines import crossing
from vectorize.outlines.ring import Ring, directions, heading
from vectorize.outlines.straights import corners_at_ends, find_straights
from vectorize.outlines.tidy import tidied
from vectorize.outlines.trace import edges_of
from vectorize.reading.records import LetterInk
from vectorize.trade.outlines import GRAIN, SPECK

# Spacing of the points of an edge: in x-heights, and in pixels at least.
_STEP, _STEP_PX = 0.006, 0.25
# A plain polygon stays this near to the edge, x-heights.
_PLAIN = 0.004
# Chords within so many letter units stand for the curves when crossings are looked for.
_ACCURACY = 0.5


def draw_outline(letter: LetterInk, to_units: Affine, edge_blur_px: float) -> Outline:
    """The letter's outline in letter units; no contours where the ink has no edge.

    to_units: strip px -> letter units. edge_blur_px: sigma of the ink's edge. Curves, corners and straights where the
    edge bears them out; an edge that no curve follows without crossing itself is given as a plain polygon.
    """
    # Drawn in the patch's own frame and then put in its place, so that twins in one word come out the same.
    to_x_heights = Affine(to_units.xx, to_units.xy, to_units.yx, to_units.yy, 0.0, 0.0).then(Affine.scale(1.0 / UNITS))
    left_u, top_u = to_units.point((letter.left_px, letter.top_px))
    px = math.sqrt(abs(to_x_heights.determinant))
    step = max(_STEP, _STEP_PX * px)
    rings = edges_of(letter.coverage, to_x_heights, GRAIN / px, SPECK, step)
    blur = math.hypot(edge_blur_px * px, GRAIN)
    drawn = _drawn(rings, blur)
    if crossing([flatten(contour, _ACCURACY) for contour, _ in drawn]) is not None:
        drawn = [(_polygon(ring), None) for ring in rings]
    plain = any(error is None for _, error in drawn)
    worst = max((error for _, error in drawn if error is not None), default=0.0)
    edges = tuple(frozen(UNITS * ring.points + (left_u, top_u)) for ring in rings)
    placed = tuple(moved(contour, left_u, top_u) for contour, _ in drawn)
    return Outline(placed, letter.name, edges, UNITS * worst, plain)


def _drawn(rings: Sequence[Ring], blur: float) -> list[tuple[Contour, float | None]]:
    """The contour of each edge and its greatest distance from it away from corners, x-heights; None for a polygon."""
    fits = [_fitted(ring, blur) for ring in rings]
    kept = [f for f in fits if f is not None]
    again = iter(_parallel(kept))
    drawn: list[tuple[Contour, float | None]] = []
    for ring, first in zip(rings, fits, strict=True):
        if first is None:
            drawn.append((_polygon(ring), None))
            continue
        fitted, samples = first
        contour = finished(parallel := next(again))
        sound = parallel is fitted or _sound(contour, ring)
        drawn.append((contour, _error(parallel, samples)) if sound else (finished(fitted), _error(fitted, samples)))
    return drawn


def _parallel(fits: Sequence[tuple[Fitted, Samples]]) -> list[Fitted]:
    """The fits with parallel edges of strokes; as they were where that has no fit."""
    try:
        return made_parallel(fits)
    except np.linalg.LinAlgError:
        return [fitted for fitted, _ in fits]


def _fitted(ring: Ring, blur: float) -> tuple[Fitted, Samples] | None:
    """The fit of an edge that makes a sound contour, None where there is none."""
    try:
        fitted, samples = _planned(ring, blur)
        better = without_inflections(tidied(fitted, samples), samples)
    except np.linalg.LinAlgError:
        # A plan whose normal equations are singular has no fit; a polygon stands in for it.
        return None
    return next(((f, samples) for f in (better, fitted) if _sound(finished(f), ring)), None)


def _planned(ring: Ring, blur: float) -> tuple[Fitted, Samples]:
    corners = with_bevels(ring, find_corners(ring, blur), blur)
    edge = without_blur(ring, corners, blur)
    rough = roughness(ring)
    straights = find_straights(edge, corners.at, blur, rough)
    more = corners_at_ends(edge, straights, corners)
    if len(more.at) > len(corners.at):
        corners, straights = more, find_straights(edge, more.at, blur, rough)
    plan = plan_nodes(edge, corners, straights, heading(directions(edge, FORM)))
    samples = samples_of(edge, corners, plan, blur, rough)
    return fit(plan, samples), samples


def _sound(contour: Contour, ring: Ring) -> bool:
    """Whether a contour is made of finite numbers, runs the way its edge does and does not cross itself."""
    if not all(math.isfinite(v) for s in contour.segments for p in points_of(s) for v in p):
        return False
    return signed_area(contour) * ring.area > 0.0 and crossing([flatten(contour, _ACCURACY)]) is None


def _polygon(ring: Ring) -> Contour:
    """The edge as straight lines: as few as follow it within _PLAIN, all that it has where these would cross."""
    every = UNITS * ring.points
    few = fewer(np.vstack((every, every[:1])), UNITS * _PLAIN)[:-1]
    corners = few if len(few) >= 3 and crossing([few]) is None else every
    return started(polygon(corners.tolist()))


def _error(fitted: Fitted, samples: Samples) -> float:
    counts = samples.weight > 0.0
    return float(np.abs(fitted.off[counts]).max()) if counts.any() else 0.0
