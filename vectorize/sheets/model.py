"""A Study with a model and its findings come in; out go its letters beside the model's, their figures and both spacings.

Readable in black and white: the model is a grey body, the drawn letter a full line. A drawn letter is never replaced.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise
from typing import Final

from vectorize.anatomy.records import Anatomy
from vectorize.critique.model import CHECK
from vectorize.critique.words import percent, region
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Box
from vectorize.model.compare import Departure, compare, is_another_weight, partners, shows_the_word
from vectorize.model.records import Model, ModelLetter, ModelSource
from vectorize.outlines.outline import Outline
from vectorize.sheets.columns import spread
from vectorize.sheets.disc import disc
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Shape, placed
from vectorize.sheets.figures import Table
from vectorize.sheets.palette import GUIDE, INK, MARK, OUTLINE, PALE, TEXT
from vectorize.sheets.said import NONE, letter_name, signed
from vectorize.sheets.type import width_mm
from vectorize.sheets.word import corrected_outlines
from vectorize.study import Letter, Study
from vectorize.trade.sheets import SMALL_TEXT_MM

X_HEIGHT_MM: Final = 15.0
COLUMN_MM: Final = 38.0
SMALL: Final = float(SMALL_TEXT_MM)
SETTING_MM: Final = 180.0
RING_MM: Final = 2.6

EXPLAINED: Final = (
    "On the left the model, in the middle the letter as drawn, on the right both on one baseline and one x-height: the "
    "model is the grey body, the letter the red line. The ring is where it departs most."
)

CLOSE: Final = "Follows the model closely."
OTHER_WEIGHT: Final = "Of another weight than the model: only the slant of its stems is compared."


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """One letter: model, drawing and both in a figure; what is said of it, and where it departs most.

    furthest: None where the text says it.
    """

    figure: Drawing
    name: str
    text: str
    furthest: str | None
    departs: bool


@dataclass(frozen=True, slots=True, eq=False)
class Compared:
    """All that the model sheet shows. settings: the word in several spacings, each a figure with its title."""

    name: str
    letters: tuple[Beside, ...]
    figures: Table
    spacing: str
    settings: tuple[Drawing, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """A drawn letter, its model, how they differ, and the finding on it."""

    letter: Letter
    model: ModelLetter
    departure: Departure
    finding: Finding | None


def compared(study: Study, findings: Iterable[Finding]) -> Compared | None:
    """The model sheet; None where the study has no model or none that matches its letters."""
    model = study.model
    rows = _rows(study, model, findings) if model is not None else []
    if model is None or not rows or not shows_the_word(model, [r.departure for r in rows]):
        return None
    scale, span = _scale(rows), _span(rows)
    other = is_another_weight([r.departure for r in rows])
    return Compared(
        model.name,
        tuple(_beside(r, scale, span, CLOSE if not other else OTHER_WEIGHT) for r in rows),
        _figures(rows),
        _spacing_said(model),
        _settings(study, model),
    )


def _rows(study: Study, model: Model, findings: Iterable[Finding]) -> list[_Row]:
    found = {f.letters[0]: f for f in findings if _departs(f)}
    pairs = zip(study.letters, partners([x.name for x in study.letters], model), strict=True)
    return [_Row(x, m, compare(x.outline, x.anatomy, m), found.get(x.index)) for x, m in pairs if m is not None]


def _departs(finding: Finding) -> bool:
    return finding.check == CHECK and finding.severity is not Severity.HOLDS and len(finding.letters) == 1


def _span(rows: Sequence[_Row]) -> Box:
    boxes = [b for r in rows for b in (r.letter.outline.box_u, r.model.outline.box_u)]
    return reduce(Box.joined, boxes).joined(Box(boxes[0].x0, 0.0, boxes[0].x1, 1000.0))


def _scale(rows: Sequence[_Row]) -> float:
    """Millimetres to a letter unit: one for all letters, so that the widest fits its column."""
    widest = max(max(r.letter.outline.box_u.width, r.model.outline.box_u.width) for r in rows)
    return min(X_HEIGHT_MM / 1000.0, (COLUMN_MM - 4.0) / widest)


def _beside(row: _Row, scale: float, span: Box, else_said: str) -> Beside:
    name = letter_name(row.letter)
    d = row.departure
    where = f"at the {d.part}" if d.part else region(row.letter, d.laid.at_u)
    by = f"{percent(d.laid.greatest_u / 1000.0)} of the x-height {'beyond' if d.laid.outside else 'short of'} it"
    return Beside(
        _figure(row, name, scale, span),
        name,
        row.finding.text if row.finding else else_said,
        None if _told(row) else f"Furthest from the model {where}, {by}.",
        row.finding is not None,
    )


def _told(row: _Row) -> bool:
    """Whether the finding names the place already."""
    said = row.finding.text if row.finding else ""
    return any(words in said for words in ("departs most", "beyond the model", "short of the model"))


def _figure(row: _Row, name: str, scale: float, span: Box) -> Drawing:
    baseline = span.y1 * scale + 1.0
    own, other = row.letter.outline, row.model.outline
    laid = other.moved(row.departure.laid.move_u[0])
    items: list[Item] = [
        Rule((0.0, y), (3 * COLUMN_MM, y), GUIDE, 0.12, title=line)
        for line, y in (("mean line", baseline - 1000.0 * scale), ("baseline", baseline))
    ]
    maps = [_centred(o, scale, (k + 0.5) * COLUMN_MM, baseline) for k, o in enumerate((other, own, own))]
    items += [
        Shape(placed(other.contours, maps[0]), INK, title=f"the model's {row.model.name or 'letter'}"),
        Shape(placed(own.contours, maps[1]), INK, title=f"letter {row.letter.index} as drawn"),
        Shape(placed(laid.contours, maps[2]), PALE, title="the model"),
        Shape(placed(own.contours, maps[2]), None, OUTLINE, 0.25, title="the letter as drawn"),
        Shape((disc(maps[2].point(row.departure.laid.at_u), RING_MM),), None, MARK, 0.35, title="departs most here"),
    ]
    group = Group(tuple(items), f"model-letter-{row.letter.index:02d}")
    height = (span.y1 - min(span.y0, 0.0)) * scale + 2.0
    return Drawing(3 * COLUMN_MM, height, f"{name}: the model, as drawn, and both", (group,))


def _centred(outline: Outline, scale: float, x: float, baseline: float) -> Affine:
    return Affine(scale, 0.0, 0.0, -scale, x - scale * outline.box_u.centre[0], baseline)


def _figures(rows: Sequence[_Row]) -> Table:
    heads = ("letter", "width", "stem", "thinnest", "thin to thick", "counters", "lean")
    lines = []
    for r in rows:
        a, m = r.letter.anatomy, r.model.anatomy
        lines.append((
            letter_name(r.letter),
            _both(_width(a, r.letter.outline), _width(m, r.model.outline)),
            _both(a.stem_ratio, m.stem_ratio),
            _both(a.thin_ratio, m.thin_ratio),
            _both(_thinning(a), _thinning(m)),
            _both(_white(a), _white(m)),
            f"{_degrees(a.stem_deg)} / {_degrees(m.stem_deg)}",
        ))  # fmt: skip
    return heads, tuple(lines), (16.0, 25.0, 25.0, 26.0, 30.0, 28.0, 30.0)


def _width(anatomy: Anatomy, outline: Outline) -> float:
    return (anatomy.body_u or outline.box_u).width / 1000.0


def _thinning(anatomy: Anatomy) -> float | None:
    return anatomy.thin_ratio / anatomy.stem_ratio if anatomy.thin_ratio and anatomy.stem_ratio else None


def _white(anatomy: Anatomy) -> float | None:
    return sum(c.area_ratio for c in anatomy.counters) or None


def _both(drawn: float | None, model: float | None) -> str:
    return " / ".join(NONE if v is None else f"{100.0 * v:.0f}" for v in (drawn, model))


def _degrees(deg: float | None) -> str:
    return NONE if deg is None else f"{signed(deg)}°"


def _spacing_said(model: Model) -> str:
    if model.source is ModelSource.PICTURE:
        own = "stands as it was printed"
    else:
        own = "is set by its advances and kerning" if model.kerned else "is set by its advances alone"
    return (
        "Gaps between two uprights held against the letters, in hundredths of the x-height. "
        f"{model.name} {own}. Neither spacing is a fault of the other: the model shows what its maker chose."
    )


def _settings(study: Study, model: Model) -> tuple[Drawing, ...]:
    """The model as its maker set it, the drawn letters in that spacing, by the area rule, and as drawn."""
    drawn = [x.outline for x in study.letters]
    settings = [("The model in its own spacing", [x.outline for x in model.letters if x])]
    if len(model.letters) == len(drawn) and all(g is not None for g in model.gap_ratios):
        settings.append(("The drawn letters in the model's spacing", _set(drawn, [g or 0.0 for g in model.gap_ratios])))
    settings.append(("The drawn letters by the area rule", list(corrected_outlines(study))))
    settings.append(("As drawn", drawn))
    scale = min(*(SETTING_MM / _around(o).width for _, o in settings), X_HEIGHT_MM / 1000.0)
    return tuple(_setting(name, outlines, scale) for name, outlines in settings)


def _set(drawn: Sequence[Outline], gaps: Sequence[float]) -> list[Outline]:
    """The letters, unchanged, with these gaps between their boxes."""
    placed_at, x = [], 0.0
    for o, gap in zip(drawn, [*gaps, 0.0], strict=True):
        placed_at.append(o.moved(x - o.box_u.x0))
        x += o.box_u.width + 1000.0 * gap
    return placed_at


def _around(outlines: Sequence[Outline]) -> Box:
    return reduce(Box.joined, [o.box_u for o in outlines])


def _setting(name: str, outlines: Sequence[Outline], scale: float) -> Drawing:
    around = _around(outlines)
    baseline = 1.0 + max(around.y1, 1000.0) * scale
    to_mm = Affine(scale, 0.0, 0.0, -scale, -scale * around.x0, baseline)
    items: list[Item] = [Rule((0.0, h), (SETTING_MM, h), GUIDE, 0.12) for h in (baseline - 1000.0 * scale, baseline)]
    items += [Shape(placed(o.contours, to_mm), INK) for o in outlines]
    foot = baseline - min(around.y0, 0.0) * scale + 1.6 * SMALL
    gaps = [(a.box_u.x1, b.box_u.x0) for a, b in pairwise(outlines)]
    said = [signed((b - a) / 10.0, 0) for a, b in gaps]
    wanted = [to_mm.point(((a + b) / 2.0, 0.0))[0] for a, b in gaps]
    at = spread(wanted, [width_mm(s, SMALL) + 1.0 for s in said], 0.0, SETTING_MM)
    items += [Label(s, (x, foot), SMALL, Anchor.MIDDLE, colour=TEXT) for s, x in zip(said, at, strict=True)]
    return Drawing(SETTING_MM, foot + 1.0, name, (Group(tuple(items)),), f"Gaps: {', '.join(said)}.")
