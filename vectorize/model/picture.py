"""A picture of a printed specimen comes in, with the stages that read a drawing; the Model goes out, or a plain refusal."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeAlias

from vectorize.anatomy.measure import measure
from vectorize.brief import Brief
from vectorize.errors import ModelError, PictureError
from vectorize.findings import Finding, Severity
from vectorize.model.font import bytes_of, gaps, is_font, read_font_model
from vectorize.model.records import Model, ModelLetter, ModelSource
from vectorize.outlines.outline import Outline

Draw: TypeAlias = Callable[[bytes, str, Brief], Sequence[Outline]]
"""Reads a picture (bytes, file name, options) into outlines in letter units; raises PictureError."""


def read_model(path: Path, word: str | None, draw: Draw) -> Model:
    """The model from a font file or a picture of its specimen, told apart by their first bytes.

    word: what was drawn; a font needs it. draw: the stages that read a picture into outlines.
    Raises ModelError.
    """
    data = bytes_of(path)
    if not is_font(data):
        return read_picture_model(data, path.name, word, draw)
    if word is None or not word.strip():
        raise ModelError("A model font is compared letter by letter, so the word is needed. Write it after --word.")
    return read_font_model(data, word)


def read_picture_model(data: bytes, name: str, word: str | None, draw: Draw) -> Model:
    """A specimen picture of the same word, read by the stages that read a drawing. Raises ModelError."""
    try:
        outlines = draw(data, name, Brief(word=word))
    except PictureError as error:
        raise ModelError(f"The model picture cannot be used. {error}") from error
    if not outlines:
        raise ModelError(
            "No letters were seen in the model picture. Give a scan of the printed word, or its font file."
        )
    letters = tuple(ModelLetter(i, o.name, o, measure(o, None, None)) for i, o in enumerate(outlines))
    return Model(
        name, ModelSource.PICTURE, word, letters, gaps(letters), kerned=True, remarks=_remarks(word, len(letters))
    )


def _remarks(word: str | None, seen: int) -> tuple[Finding, ...]:
    expected = None if word is None else sum(not c.isspace() for c in word)
    if expected in {None, seen}:
        return ()
    text = (
        f"The model picture shows {seen} letters where the word has {expected}; only letters that could be matched are "
        "compared. Give a picture of the word alone."
    )
    return (Finding("model", (), float(seen), float(expected or 0), "letters", Severity.LOOK_AGAIN, text),)
