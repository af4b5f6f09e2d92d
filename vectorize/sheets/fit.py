"""The room on a page and the word's true width come in; out goes the scale it is printed at, and how that is said."""

from __future__ import annotations

from dataclasses import dataclass

from vectorize.study import Study


@dataclass(frozen=True, slots=True)
class Fit:
    """The scale (1 = true size), what a letter unit then measures, and a sentence part where it is not true size."""

    scale: float
    mm_per_unit: float
    said: str | None


def fit_across(study: Study, width_u: float, room_mm: float, most_mm_per_unit: float = float("inf")) -> Fit:
    """True size where the word fits into `room_mm`; else the greatest whole per cent that does.

    most_mm_per_unit: a further limit, from the height of the page.
    """
    true = study.scale.mm_per_unit
    largest = min(room_mm / width_u, most_mm_per_unit) / true
    if largest >= 1.0:
        return Fit(1.0, true, None)
    scale = max(1, int(100.0 * largest)) / 100.0
    return Fit(scale, true * scale, f"{scale * 100.0:.0f} per cent of true size, to fit the page")
