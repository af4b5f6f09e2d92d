"""A Study with a model comes in; out goes how its letters follow it, each letter's largest departure named by its part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from vectorize.critique.upright import allowance
from vectorize.critique.words import about, around, called, degrees, ladder, listed, more, percent, region, side
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.model.compare import (
    Departure,
    compare,
    is_another_weight,
    lean_departure,
    partners,
    shows_the_word,
    stem_departure,
)
from vectorize.study import Letter, Study
from vectorize.trade.critique import (
    MODEL_COUNTER,
    MODEL_HEAVIEST,
    MODEL_LEAN_DEG,
    MODEL_LIGHTEST,
    MODEL_OTHER_WEIGHT,
    MODEL_SHAPE,
    MODEL_STROKE,
    MODEL_WIDTH,
)

CHECK = "model"

# Each limit stands for a note; another look from 1.6 times it, a new draft from 3 times.
LOOK, FIX = 1.6, 3.0


@dataclass(frozen=True, slots=True)
class Way:
    """One way in which a letter departs: figure, limit, unit, and the words for it."""

    size: float
    limit: float
    unit: str
    text: str
    place_u: Box | None = None

    @property
    def weight(self) -> float:
        """The figure as a multiple of its limit."""
        return abs(self.size) / self.limit


def check(study: Study) -> tuple[Finding, ...]:
    """The word's weight and slant beside the model's, then each letter's largest departure; nothing without a model."""
    if study.model is None:
        return ()
    pairs = zip(study.letters, partners([x.name for x in study.letters], study.model), strict=True)
    compared = [(x, compare(x.outline, x.anatomy, m)) for x, m in pairs if m is not None]
    if not compared:
        text = "No letter of the drawing could be matched with the model, so nothing is compared."
        return (*study.model.remarks, about(CHECK, (), (None, None, ""), Severity.NOTE, text))
    if not shows_the_word(study.model, [d for _, d in compared]):
        return (*study.model.remarks, _other_word(study))
    whole = _whole(compared, study.model.weight)
    other = is_another_weight([d for _, d in compared])
    told = [_leaning(study, x, d, whole) if other else _letter(study, x, d, whole) for x, d in compared]
    found = [f for f in told if f.severity is not Severity.HOLDS]
    off = {i for f in found for i in f.letters}
    close = [x for x, _ in compared if x.index not in off]
    held = () if other else _holding(study, close, len(compared))
    return (*held, *study.model.remarks, *(w.finding for w in whole), *found)


@dataclass(frozen=True, slots=True)
class Whole:
    """A departure that the whole word shares; `kind` is not told again letter by letter."""

    kind: str
    usual: float
    finding: Finding


def _other_word(study: Study) -> Finding:
    word = f" {study.brief.word}" if study.brief.word else ""
    text = (
        f"The model picture does not seem to show the word{word} that was drawn: most of its letters have other shapes, so "
        "nothing is compared. Check that it is a specimen of the same word, and that it was read as it stands."
    )
    return about(CHECK, (), (None, None, ""), Severity.LOOK_AGAIN, text)


def _whole(compared: Sequence[tuple[Letter, Departure]], weight: float | None) -> list[Whole]:
    found = []
    off = stem_departure([d for _, d in compared])
    if off is not None and abs(off) >= MODEL_STROKE:
        found.append(Whole("stem", off, _stems(off, weight)))
    lean = lean_departure([d for _, d in compared])
    if lean is not None and abs(lean) >= MODEL_LEAN_DEG:
        text = (
            f"The stems lean {degrees(lean)} further to the {side(lean)} than the model's. "
            "Rule a few pencil lines of the model's slant and draw the stems along them."
        )
        found.append(Whole("lean", lean, _told((), Way(lean, float(MODEL_LEAN_DEG), "deg", text))))
    return found


def _stems(off: float, weight: float | None) -> Finding:
    way, turn = ("heavier", "Draw them lighter") if off > 0 else ("lighter", "Draw them heavier")
    text = f"The stems are {percent(off)} {way} than the model's all through the word. {turn} by that much in the next draft."
    usual = weight is None or MODEL_LIGHTEST <= weight <= MODEL_HEAVIEST
    if weight is not None:
        text = f"The stems are {percent(off)} {way} than the model's, a font of many weights at its default of {weight:.0f}."
        if usual:
            text += f" {turn} in the next draft, or give the model in the weight that you drew after."
    if abs(off) >= MODEL_OTHER_WEIGHT:
        text += " That is another weight, so widths, counters and edges are not compared letter by letter."
    told = _told((), Way(off, float(MODEL_STROKE), "of the stem", text))
    return told if usual else replace(told, severity=Severity.NOTE)


def _leaning(study: Study, letter: Letter, d: Departure, whole: Sequence[Whole]) -> Finding:
    """What can be said of a letter beside a model of another weight."""
    return _told((letter,), _lean(letter, called(letter, study.letters), d, {w.kind: w.usual for w in whole}))


def _lean(letter: Letter, name: str, d: Departure, usual: Mapping[str, float]) -> Way:
    lean = (d.lean_deg or 0.0) - (usual.get("lean", 0.0) if d.lean_deg is not None else 0.0)
    text = (
        f"{name} leans {degrees(lean)} further to the {side(lean)} than the model's. Set its stem to the model's slant."
    )
    return Way(lean, MODEL_LEAN_DEG * allowance(letter), "deg", text)


def _told(letters: Sequence[Letter], way: Way) -> Finding:
    severity = ladder(abs(way.size), way.limit, LOOK * way.limit, FIX * way.limit)
    return about(CHECK, letters, (way.size, way.limit, way.unit), severity, way.text, way.place_u)


def _letter(study: Study, letter: Letter, d: Departure, whole: Sequence[Whole]) -> Finding:
    """The letter's heaviest departure beyond what the whole word shares."""
    name = called(letter, study.letters)
    usual = {w.kind: w.usual for w in whole}
    ways = [_shape(letter, name, d), _width(name, d)]
    if d.stem_share is not None:
        off = (1.0 + d.stem_share) / (1.0 + usual.get("stem", 0.0)) - 1.0
        text = f"the stem of {name} is {percent(off)} {more(off, 'heavier', 'lighter')} than the model's. Match its weight."
        ways.append(Way(off, float(MODEL_STROKE), "of the stem", text))
    if d.thin_share is not None:
        off = (1.0 + d.thin_share) / (1.0 + usual.get("stem", 0.0)) - 1.0
        text = (
            f"where the model's {letter.name or 'letter'} is thinnest, {name} is {percent(off)} "
            f"{more(off, 'thicker', 'thinner')}. Look how far its stroke thins, and follow it."
        )
        # A thin stroke is drawn and read less exactly than a stem.
        ways.append(Way(off, 2.0 * MODEL_STROKE, "of the thin stroke", text))
    if d.counter_share is not None:
        off = d.counter_share
        text = f"the counter of {name} is {percent(off)} {more(off, 'larger', 'smaller')} than the model's. Compare the white, not the black."
        ways.append(Way(off, float(MODEL_COUNTER), "of the area", text))
    if d.lean_deg is not None:
        ways.append(_lean(letter, name, d, usual))
    return _told((letter,), _heaviest(letter, d, ways))


def _heaviest(letter: Letter, d: Departure, ways: Sequence[Way]) -> Way:
    """The heaviest way; where it is not the place of the greatest departure itself, that place is told as well."""
    first = max(ways, key=lambda w: w.weight)
    shape = ways[0]
    if first is shape or shape.weight < 1.0:
        return first
    where = f"at the {d.part}" if d.part else region(letter, d.laid.at_u)
    return replace(
        first,
        text=f"{first.text} It departs most {where}, by {percent(shape.size)} of the x-height.",
        place_u=shape.place_u,
    )


def _shape(letter: Letter, name: str, d: Departure) -> Way:
    size = d.laid.greatest_u / 1000.0
    where = f"the {d.part} of {name}" if d.part else f"{name} {region(letter, d.laid.at_u)}"
    verb = "goes" if d.part is None or not d.part.endswith("s") else "go"
    how = f"{verb} beyond" if d.laid.outside else f"{'stays' if verb == 'goes' else 'stay'} short of"
    text = f"{where} {how} the model by {percent(size)} of the x-height. Lay the model under the next draft and follow it there."
    return Way(size, float(MODEL_SHAPE), "x-heights", text, around(d.laid.at_u))


def _width(name: str, d: Departure) -> Way:
    off = d.width_ratio
    text = f"{name} is {percent(off)} of the x-height {more(off, 'wider', 'narrower')} than the model's. Take its width from the model."
    return Way(off, float(MODEL_WIDTH), "x-heights", text)


def _holding(study: Study, close: Sequence[Letter], compared: int) -> tuple[Finding, ...]:
    if not close:
        return ()
    names = [called(x, study.letters) for x in close]
    text = (
        "Every letter follows"
        if len(close) == compared
        else f"{listed(names)} {'follow' if len(close) > 1 else 'follows'}"
    )
    letters = () if len(close) == compared else close
    return (about(CHECK, letters, (None, None, ""), Severity.HOLDS, f"{text} the model closely."),)
