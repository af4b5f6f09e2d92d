"""What the user asked for: the options of one run, checked once."""

from __future__ import annotations

import hashlib
import unicodedata
from dataclasses import asdict, dataclass
from pathlib import Path

from vectorize.corrections import NO_CORRECTIONS, X_HEIGHTS_MM, Corrections, is_text
from vectorize.errors import BriefError


@dataclass(frozen=True, slots=True)
class Brief:
    """Options of the main job.

    word: what every picture of the run shows, spaces included; None when not told.
    model: font file or specimen picture, None without a model.
    x_height_mm: true distance baseline to mean line, None to take it from the sheet.
    letterspacing_percent: per cent of the x-height added to every gap of the corrected setting;
        None keeps the tightness the word was drawn with.
    page: page of a PDF or frame of a multi-page file, counting from 1.
    line: which line of lettering on the sheet, counting from the top; None takes the largest.
    corrections: what was set right by hand on this very picture.

    Raises BriefError where a value is not sensible.
    """

    word: str | None = None
    model: Path | None = None
    x_height_mm: float | None = None
    letterspacing_percent: float | None = None
    page: int = 1
    line: int | None = None
    corrections: Corrections = NO_CORRECTIONS

    def __post_init__(self) -> None:
        if self.word is not None:
            # File systems and keyboards also give an accent as a character of its own, but it is no letter.
            object.__setattr__(self, "word", unicodedata.normalize("NFC", self.word))
        if self.word is not None and not self.word.strip():
            raise BriefError(
                "The word is empty. Write the word that the picture shows after --word, or leave --word out."
            )
        if self.word is not None and not is_text(self.word):
            raise BriefError(
                "The word holds what is no character. Write it after --word as it is spelt, or leave --word out."
            )
        if self.x_height_mm is not None and not X_HEIGHTS_MM[0] <= self.x_height_mm <= X_HEIGHTS_MM[1]:
            raise BriefError(
                f"An x-height of {self.x_height_mm:g} mm cannot be drawn. "
                "Measure from the baseline to the mean line with a ruler and give that length in mm."
            )
        if self.letterspacing_percent is not None and not -50 <= self.letterspacing_percent <= 500:
            raise BriefError(
                f"A letterspacing of {self.letterspacing_percent:g} per cent is out of reach. Give a number from -50 to 500."
            )
        if self.page < 1:
            raise BriefError("Pages count from 1.")
        if self.line is not None and self.line < 1:
            raise BriefError("Lines of lettering count from 1, the topmost.")

    @property
    def names(self) -> tuple[str, ...] | None:
        """The letters of the word in reading order, spaces left out; None when no word was told."""
        return None if self.word is None else tuple(c for c in self.word if not c.isspace())

    @property
    def digest(self) -> str:
        """SHA-256 in hex over all options, the bytes of the model file among them: equal options, equal digest.

        Raises OSError where the model file cannot be read.
        """
        model = None if self.model is None else (self.model.name, hashlib.sha256(self.model.read_bytes()).hexdigest())
        said = {**asdict(self), "model": model}
        return hashlib.sha256(repr(sorted(said.items())).encode()).hexdigest()
