"""A Study comes in; out go the parts that sheets share: the word's layers, as drawn and as corrected, placed on a page.

Layers are `sketch guides whites letters notes`, each a group with a title; ids carry a prefix where a page shows both.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from typing import Final

from vectorize.curves import Contour, polygon
from vectorize.geometry import Affine, Box, Points
from vectorize.outlines.outline import Outline
from vectorize.reading.records import GuideSource
from vectorize.sheets.drawing import Group, Item, Rule, Shape, placed
from vectorize.sheets.hatch import hatch
from vectorize.sheets.palette import GUIDE, INK, VERDICTS
from vectorize.spacing.records import Pair, Verdict
from vectorize.study import GuideLine, Study
from vectorize.trade.sheets import GUIDE_WIDTH_MM, WORD_MARGIN

LAYERS: Final = {
    "sketch": "Sketch",
    "guides": "Guidelines",
    "whites": "White between the letters",
    "letters": "Letters",
    "notes": "Notes",
}

DASHES: Final = {"cap-line": (2.0, 0.8), "ascender-line": (0.8, 0.8), "descender-line": (0.8, 0.8)}


def outlines(study: Study) -> tuple[Outline, ...]:
    """The letters where they were drawn."""
    return tuple(x.outline for x in study.letters)


def corrected_outlines(study: Study) -> tuple[Outline, ...]:
    """The same letters, each moved along the baseline to where the area rule sets it."""
    return tuple(x.outline.moved(dx) for x, dx in zip(study.letters, study.setting.moves_u, strict=True))


def named_lines(study: Study) -> tuple[tuple[str, GuideLine], ...]:
    """The guidelines that are known, with their ids."""
    g = study.guides
    lines = {
        "baseline": g.baseline,
        "mean-line": g.mean_line,
        "cap-line": g.cap_line,
        "ascender-line": g.ascender_line,
        "descender-line": g.descender_line,
    }
    return tuple((name, line) for name, line in lines.items() if line is not None)


def extent(study: Study) -> Box:
    """The box in letter units around the word as drawn and as corrected and its guidelines, without any margin."""
    boxes = [o.box_u for o in outlines(study)]
    moved = (b.moved(dx) for b, dx in zip(boxes, study.setting.moves_u, strict=True))
    around = reduce(Box.joined, (*boxes, *moved))
    heights = [0.0, 1000.0, *(line.middle_u for _, line in named_lines(study))]
    return Box(around.x0, min(around.y0, *heights), around.x1, max(around.y1, *heights))


def framed(study: Study) -> Box:
    """The extent with paper around it."""
    return extent(study).grown(1000.0 * WORD_MARGIN)


def page_map(study: Study, shown: Box, left_mm: float = 0.0, top_mm: float = 0.0, scale: float = 1.0) -> Affine:
    """Letter units to mm at `scale` times true size: the upper left corner of `shown` lies at (left, top)."""
    k = study.scale.mm_per_unit * scale
    return Affine(k, 0.0, 0.0, -k, left_mm - k * shown.x0, top_mm + k * shown.y1)


def layer(name: str, items: Iterable[Item | None], prefix: str = "") -> Group:
    """A layer of the word; `prefix` goes before its id ("original-")."""
    return Group(tuple(i for i in items if i is not None), f"{prefix}{name}", LAYERS[name])


def letter_shapes(
    word: Iterable[Outline],
    to_mm: Affine,
    prefix: str = "",
    *,
    fill: str | None = INK,
    stroke: str | None = None,
    stroke_mm: float = 0.1,
    fill_opacity: float = 1.0,
) -> tuple[Shape, ...]:
    """One shape a letter, in reading order, with the ids `letter-01` ... and its name as data."""
    return tuple(
        Shape(
            placed(o.contours, to_mm),
            fill,
            stroke,
            stroke_mm,
            fill_opacity=fill_opacity,
            id=f"{prefix}letter-{i:02d}",
            data=(("letter", o.name),) if o.name else (),
            title=f"{o.name}, letter {i}" if o.name else f"Letter {i}",
        )
        for i, o in enumerate(word, 1)
    )


def pencil_edge(outline: Outline, to_mm: Affine) -> tuple[Contour, ...]:
    """The edge of a letter as it was pencilled, before it was cleaned; empty where it is not known."""
    return tuple(polygon(tuple(p) for p in to_mm.apply(edge)) for edge in outline.drawn_edge)


def drawn_guides(study: Study, shown: Box, to_mm: Affine, prefix: str = "") -> tuple[Rule, ...]:
    """The guidelines as they run on the levelled sheet, drawn out to the sides of `shown`."""
    rules = []
    for name, line in named_lines(study):
        (x0, y0), (x1, y1) = line.units
        slope = (y1 - y0) / (x1 - x0) if x1 != x0 else 0.0
        ends = tuple(to_mm.point((x, y0 + slope * (x - x0))) for x in (shown.x0, shown.x1))
        rules.append(_guide(name, line, ends[0], ends[1], prefix))
    return tuple(rules)


def true_guides(study: Study, shown: Box, to_mm: Affine, prefix: str = "") -> tuple[Rule, ...]:
    """The guidelines level and parallel, as they should have been ruled."""
    return tuple(
        _guide(name, line, to_mm.point((shown.x0, height)), to_mm.point((shown.x1, height)), prefix)
        for name, line in named_lines(study)
        for height in (true_height(name, line),)
    )


def true_height(name: str, line: GuideLine) -> float:
    """Height of a level guideline above the baseline in letter units; the mean line stands at the x-height."""
    return {"baseline": 0.0, "mean-line": 1000.0}.get(name, line.middle_u)


def _guide(name: str, line: GuideLine, start: tuple[float, float], end: tuple[float, float], prefix: str) -> Rule:
    known = {GuideSource.DRAWN: "drawn", GuideSource.GIVEN: "set by hand"}.get(line.source, "inferred from the letters")
    title = f"{name.replace('-', ' ').capitalize()}, {known}"
    return Rule(start, end, GUIDE, float(GUIDE_WIDTH_MM), DASHES.get(name, ()), f"{prefix}{name}", title)


def whites(study: Study, to_mm: Affine, prefix: str = "", *, corrected: bool = False) -> tuple[Group, ...]:
    """The white of each gap as the area rule counts it; as drawn, hatched by how it looks."""
    groups = []
    for pair in study.setting.pairs:
        ring = pair.target_shape_u if corrected else pair.white_shape_u
        if ring is not None:
            verdict = Verdict.EVEN if corrected else pair.verdict
            groups.append(_white(pair, verdict, to_mm.apply(ring), abs(to_mm.xx) * 1000.0, prefix))
    return tuple(groups)


def _white(pair: Pair, verdict: Verdict | None, ring_mm: Points, x_height_mm: float, prefix: str) -> Group:
    colour = VERDICTS[verdict]
    ring = [(float(x), float(y)) for x, y in ring_mm]
    tint = 0.16 if verdict is Verdict.EVEN else 0.28
    thin = 0.008 * x_height_mm
    shape = Shape((polygon(ring),), colour, colour, thin, fill_opacity=tint)
    name = f"{prefix}white-{pair.left:02d}"
    data = () if verdict is None else (("looks", verdict.value),)
    return Group((shape, *hatch(verdict, ring, x_height_mm)), name, data=data)
