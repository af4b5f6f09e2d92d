"""A drawn letter and its model come in; out goes how they differ: proportions, strokes, counters, slant, and where most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from statistics import median

from vectorize.anatomy.overlay import Overlay, lay_over
from vectorize.anatomy.records import Anatomy
from vectorize.anatomy.stems import shared
from vectorize.model.records import Model, ModelLetter, ModelSource
from vectorize.outlines.outline import Outline
from vectorize.trade.critique import MODEL_OTHER_WEIGHT, MODEL_OTHER_WORD
from vectorize.trade.parts import base_of, part_of


@dataclass(frozen=True, slots=True)
class Departure:
    """How a drawn letter departs from its model, both on the baseline and scaled by their x-heights.

    width: drawn minus model, in x-heights. stem, thin, counters: drawn over model minus 1, None where either has
    none (counters: the sum of areas). lean_deg: drawn minus model. laid: the model laid over the drawn letter, moved
    along the baseline only; its `at_u` lies in the word as drawn. part: what the trade calls that place, or None.
    """

    width_ratio: float
    stem_share: float | None
    thin_share: float | None
    counter_share: float | None
    lean_deg: float | None
    laid: Overlay
    part: str | None


def compare(outline: Outline, anatomy: Anatomy, model: ModelLetter) -> Departure:
    """Lay the model's letter over the drawn one and measure what differs."""
    box, other = anatomy.body_u or outline.box_u, model.anatomy.body_u or model.outline.box_u
    laid = lay_over(outline, model.outline, upright_too=False)
    u = (laid.at_u[0] - box.x0) / max(box.width, 1.0)
    return Departure(
        (box.width - other.width) / 1000.0,
        _share(anatomy.stem_ratio, model.anatomy.stem_ratio),
        _share(anatomy.thin_ratio, model.anatomy.thin_ratio),
        _share(_white(anatomy), _white(model.anatomy)) if _as_many(anatomy, model.anatomy) else None,
        _difference(anatomy.stem_deg, model.anatomy.stem_deg),
        laid,
        part_of(base_of(model.name), u, laid.at_u[1] / 1000.0, box.y1 / 1000.0),
    )


def partners(names: Sequence[str | None], model: Model) -> tuple[ModelLetter | None, ...]:
    """For each drawn letter its letter of the model, None where there is none.

    One to one where both have equally many letters; otherwise the longest runs of equal names are matched.
    """
    if len(names) == len(model.letters):
        return model.letters
    found: list[ModelLetter | None] = [None] * len(names)
    theirs = [x.name if x else None for x in model.letters]
    mine = [n if n is not None else f"letter {i}" for i, n in enumerate(names)]
    for a, b, size in SequenceMatcher(None, mine, theirs, autojunk=False).get_matching_blocks():
        for k in range(size):
            found[a + k] = model.letters[b + k]
    return tuple(found)


def shows_the_word(model: Model, departures: Sequence[Departure]) -> bool:
    """Whether a model picture can be a specimen of the drawn word: not if half of its letters are other shapes.

    A font sets the word it is told, so it always does.
    """
    if model.source is not ModelSource.PICTURE or not departures:
        return True
    return median(d.laid.greatest_u for d in departures) < 1000.0 * MODEL_OTHER_WORD


def stem_departure(departures: Sequence[Departure]) -> float | None:
    """How much heavier the stems are than the model's, as the word has it; None for fewer than two stems."""
    return _usual([d.stem_share for d in departures if d.stem_share is not None])


def lean_departure(departures: Sequence[Departure]) -> float | None:
    """How much further the stems lean to the right than the model's, degrees; None for fewer than two stems."""
    return _usual([d.lean_deg for d in departures if d.lean_deg is not None])


def is_another_weight(departures: Sequence[Departure]) -> bool:
    """Whether the drawing is so much heavier or lighter that it cannot follow this model but in its slant."""
    off = stem_departure(departures)
    return off is not None and abs(off) >= MODEL_OTHER_WEIGHT


def _usual(values: Sequence[float]) -> float | None:
    """The middle of several; of two what both share, for either may be the one that departs; None of fewer."""
    if len(values) == 2:
        return shared(*values)
    return median(values) if len(values) > 2 else None


def _share(drawn: float | None, model: float | None) -> float | None:
    return None if not drawn or not model else drawn / model - 1.0


def _difference(drawn: float | None, model: float | None) -> float | None:
    return None if drawn is None or model is None else drawn - model


def _white(anatomy: Anatomy) -> float:
    return sum(c.area_ratio for c in anatomy.counters)


def _as_many(a: Anatomy, b: Anatomy) -> bool:
    return len(a.counters) == len(b.counters)
