"""One letter's Outline and its ink come in; its Anatomy goes out: stems, strokes, counters and fill, in x-heights."""

from __future__ import annotations

import math

from vectorize.anatomy.body import body_box, without_marks
from vectorize.anatomy.edges import sample, thickness
from vectorize.anatomy.fill import fill
from vectorize.anatomy.ragged import ragged
from vectorize.anatomy.records import Anatomy, Counter
from vectorize.anatomy.stems import stem_edges
from vectorize.anatomy.strokes import along, bowl_side, main_lean, main_width, stems, thickest, thinnest
from vectorize.anatomy.tremor import tremor
from vectorize.curves import box, signed_area
from vectorize.geometry import Affine
from vectorize.outlines.outline import Outline
from vectorize.reading.records import LetterInk

UNIT = 1000.0


def measure(outline: Outline, ink: LetterInk | None, to_units: Affine | None) -> Anatomy:
    """Measure one letter.

    ink, to_units: the letter's own ink and the map from strip px to letter units; None where there is no picture,
    then the fill stays unknown.
    """
    if not outline.contours:
        return Anatomy(None, None, None, (), None)
    # A dot or an accent is no stroke of the letter, nor is the ring of an å a counter.
    body = without_marks(outline)
    samples = sample(body)
    thick = thickness(samples)
    evened = along(samples, thick)
    edges = stem_edges(samples, outline.name)
    found = stems(samples, thick, edges, outline.name)
    thin = thinnest(samples, evened)
    black = None if ink is None or to_units is None else fill(ink, UNIT / math.hypot(to_units.xx, to_units.yx))
    return Anatomy(
        stem_deg=main_lean(found),
        stem_ratio=main_width(found),
        thin_ratio=None if thin is None else thin[0] / UNIT,
        counters=tuple(Counter(-signed_area(c) / UNIT**2, box([c])) for c in body.counters),
        fill_evenness=None if black is None else black.evenness,
        stems=found,
        curve_ratio=_ratio(bowl_side(samples, evened, edges)),
        thick_ratio=_ratio(thickest(evened)),
        thin_at_u=None if thin is None else thin[1],
        body_u=body_box(body, samples),
        darkness=None if black is None else black.darkness,
        fleck_ratio=None if black is None else black.flecks,
        tremor_ratio=_ratio(tremor(outline.drawn_edge)),
        ragged_ratio=_ratio(ragged(outline.drawn_edge)),
        palest_u=None
        if black is None or ink is None or to_units is None
        else to_units.point((ink.left_px + black.palest_px[0], ink.top_px + black.palest_px[1])),
    )


def _ratio(length_u: float | None) -> float | None:
    return None if length_u is None else length_u / UNIT
