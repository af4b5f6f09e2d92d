"""What the model stage hands on: the model typeface's letters of the same word, and its own spacing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from vectorize.anatomy.records import Anatomy
from vectorize.findings import Finding
from vectorize.outlines.outline import Outline


class ModelSource(StrEnum):
    """Where the model comes from."""

    FONT = "font"
    PICTURE = "picture"


@dataclass(frozen=True, slots=True, eq=False)
class ModelLetter:
    """One letter of the model in letter units, where it stands in the model's own setting; place: from 0 in the word."""

    place: int
    name: str | None
    outline: Outline
    anatomy: Anatomy


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """The model typeface, set in the word that was drawn.

    name: of the typeface, or of the picture's file. word: as told, spaces included, None where it was not.
    letters: one for each letter of the word in reading order, None where the font has no such letter.
    gap_ratios: the model's own gaps, box to box, between letter i and i + 1, in x-heights; None beside a missing letter.
    kerned: whether those gaps come from the designer's pairs or, in a picture, as printed; else advances alone.
    weight: of a variable font, at its default (OpenType 'wght': 400 is Regular); None for any other model.
    """

    name: str
    source: ModelSource
    word: str | None
    letters: tuple[ModelLetter | None, ...]
    gap_ratios: tuple[float | None, ...]
    kerned: bool
    remarks: tuple[Finding, ...] = ()
    weight: float | None = None
