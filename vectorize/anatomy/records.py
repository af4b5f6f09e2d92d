"""What was measured on one letter, whoever drew it: stems, strokes, counters, fill."""

from __future__ import annotations

from dataclasses import dataclass

from vectorize.geometry import Box


@dataclass(frozen=True, slots=True)
class Counter:
    """A closed counter: area in x-heights squared and its box in letter units."""

    area_ratio: float
    box_u: Box


@dataclass(frozen=True, slots=True)
class Anatomy:
    """Measures of one letter; ratios are fractions of the x-height, None where the letter has no such part.

    stem_deg: lean of the upright stems, positive when the top leans right. stem_ratio: their thickness.
    thin_ratio: the thinnest stroke. fill_evenness: 1 for a uniform black, falling with blotches; None without a picture.
    """

    stem_deg: float | None
    stem_ratio: float | None
    thin_ratio: float | None
    counters: tuple[Counter, ...]
    fill_evenness: float | None
