"""A font file comes in; out go the heights its lines are ruled by, in x-heights, and a word's outlines."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from vectorize.curves import Contour
from vectorize.errors import ModelError
from vectorize.model.font import read_font_model

CAPITAL, ASCENDER, DESCENDER = "H", "d", "p"
"""Letters with flat ends, so that no overshoot is taken for a line."""


@dataclass(frozen=True, slots=True)
class Proportions:
    """Heights above the baseline in x-heights; the descender's is negative. None for a letter the font does not have."""

    name: str
    cap_ratio: float | None
    ascender_ratio: float | None
    descender_ratio: float | None


def font_proportions(path: Path) -> Proportions:
    """The proportions of a typeface, from its own outlines: stored metrics are often wrong.

    Raises ModelError where the font cannot be used.
    """
    model = read_font_model(path, CAPITAL + ASCENDER + DESCENDER)
    capital, ascender, descender = (None if x is None else x.outline.box_u for x in model.letters)
    return Proportions(
        model.name,
        None if capital is None else capital.y1 / 1000.0,
        None if ascender is None else ascender.y1 / 1000.0,
        None if descender is None else descender.y0 / 1000.0,
    )


def word_contours(path: Path, word: str) -> tuple[Contour, ...]:
    """The word set in the typeface with its own spacing, in letter units.

    Raises ModelError where the font cannot be used or lacks a letter of the word.
    """
    model = read_font_model(path, word)
    missing = [c for c, x in zip((c for c in word if not c.isspace()), model.letters, strict=True) if x is None]
    if missing:
        raise ModelError(
            f"The model typeface has no {' and no '.join(dict.fromkeys(missing))}. "
            "Choose another typeface, or another word."
        )
    return tuple(c for x in model.letters if x is not None for c in x.outline.contours)
