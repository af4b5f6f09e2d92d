"""What was measured on one letter, whoever drew it: stems, strokes, counters, fill."""

from __future__ import annotations

from dataclasses import dataclass

from vectorize.geometry import Box, Point


@dataclass(frozen=True, slots=True)
class Counter:
    """A closed counter: area in x-heights squared and its box in letter units."""

    area_ratio: float
    box_u: Box


@dataclass(frozen=True, slots=True)
class Stem:
    """One upright stem: its box in letter units, lean, thickness, and the length of straight edge it was read from.

    swell_ratio: how much thicker its upper third is than its lower; None where one of them is not seen.
    """

    box_u: Box
    lean_deg: float
    width_ratio: float
    edge_length_u: float
    swell_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class Anatomy:
    """Measures of one letter; ratios are fractions of the x-height, None where the letter has no such part.

    stem_deg: lean of the upright stems, positive when the top leans right; None too where too little straight edge is
    seen to tell. stem_ratio: their thickness.
    thin_ratio: the thinnest stroke. fill_evenness: 1 for a uniform black, falling with blotches; None without a picture.
    stems: each upright stem, from the left. curve_ratio: the thickest part of a bowl's side. thick_ratio: of any stroke.
    thin_at_u: where the thinnest stroke is. body_u: box of the letter without dots and accents, its foot and head
    evened over the tremor. darkness: median of the pencil's black, 0 to 1. fleck_ratio: share of the black that is
    much lighter. tremor_ratio: rms of the drawn edge about its own smooth course.
    ragged_ratio: the same over lengths shorter than a pencil line. palest_u: where the black is lightest.
    """

    stem_deg: float | None
    stem_ratio: float | None
    thin_ratio: float | None
    counters: tuple[Counter, ...]
    fill_evenness: float | None
    stems: tuple[Stem, ...] = ()
    curve_ratio: float | None = None
    thick_ratio: float | None = None
    thin_at_u: Point | None = None
    body_u: Box | None = None
    darkness: float | None = None
    fleck_ratio: float | None = None
    tremor_ratio: float | None = None
    ragged_ratio: float | None = None
    palest_u: Point | None = None
