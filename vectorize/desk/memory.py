"""Letters drawn before come in again; out goes what was drawn then, so that a correction costs only what it changes."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final, TypeVar

if TYPE_CHECKING:
    from vectorize.anatomy.records import Anatomy
    from vectorize.brief import Brief
    from vectorize.geometry import Affine
    from vectorize.model.records import Model
    from vectorize.outlines.outline import Outline
    from vectorize.reading.records import LetterInk

# An outline takes some 100 kB; undo goes back over a few dozen words of a dozen letters.
MOST_LETTERS: Final = 400

Value = TypeVar("Value")


class Memory:
    """Outlines and measures of letters, known again by their ink, their place and the frame they were drawn in."""

    def __init__(self) -> None:
        self._outlines: OrderedDict[object, Outline] = OrderedDict()
        self._anatomies: OrderedDict[object, Anatomy] = OrderedDict()
        self._models: dict[object, Model | None] = {}

    def draw(self, ink: LetterInk, to_units: Affine, edge_blur_px: float) -> Outline:
        """As `outlines.draw.draw_outline`."""
        from vectorize.outlines.draw import draw_outline

        key = (_known_by(ink), to_units, edge_blur_px)
        outline = _kept(self._outlines, key, lambda: draw_outline(ink, to_units, edge_blur_px))
        # A letter that is named anew is drawn the same.
        return replace(outline, name=ink.name)

    def gauge(self, outline: Outline, ink: LetterInk, to_units: Affine) -> Anatomy:
        """As `anatomy.measure.measure`."""
        from vectorize.anatomy.measure import measure

        key = (_known_by(ink), to_units, ink.name)
        return _kept(self._anatomies, key, lambda: measure(outline, ink, to_units))

    def follow(self, brief: Brief) -> Model | None:
        """As `flow.model_of`; a model that was replaced by another file is read anew."""
        from vectorize.flow import model_of

        if brief.model is None:
            return None
        key = (hashlib.sha256(brief.model.read_bytes()).digest(), brief.word)
        if key not in self._models:
            self._models = {key: model_of(brief)}
        return self._models[key]


def _known_by(ink: LetterInk) -> object:
    digest = hashlib.sha256(ink.coverage.tobytes())
    digest.update(ink.darkness.tobytes())
    return digest.digest(), ink.coverage.shape, ink.left_px, ink.top_px


def _kept(values: OrderedDict[object, Value], key: object, make: Callable[[], Value]) -> Value:
    if key not in values:
        values[key] = make()
        if len(values) > MOST_LETTERS:
            values.popitem(last=False)
    values.move_to_end(key)
    return values[key]
