"""Studies of words that a careful hand drew after an open font, with faults planted in the drawing itself, no picture.

The tremor and the faults come from tests.specimens.hand; what a Study says beside the letters (lines, angles) is set here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.ops import unary_union

from tests.specimens.hand import drawn_word, rings_of
from tests.specimens.recipe import Fill, Hand, Recipe
from vectorize.anatomy.measure import measure
from vectorize.brief import Brief
from vectorize.curves import Contour, polygon, reversed_contour, signed_area
from vectorize.geometry import Affine, Points, frozen
from vectorize.outlines.outline import Outline
from vectorize.reading.records import GuideSource
from vectorize.spacing.setting import space
from vectorize.study import GuideLine, GuideLines, Letter, Level, PictureFacts, Scale, Sketch, Study

X_HEIGHT_MM = 18.0


@dataclass(frozen=True)
class Drawing:
    """One drawn word. named: the word was told. drawn_lines: which guidelines are on the sheet; others are inferred.

    drawing_deg: tilt of the baseline on the sheet, None where no sheet is seen. mean_extra_deg, cap_extra_deg: of those
    lines against the baseline. By letter, from 0: wobble_of: tremor of that letter alone; level_strokes: added above and
    below all its ink, x-heights, so that its level strokes thicken; stretch: factor on its width; fills: its own fill.
    """

    word: str
    family: str
    weight: int = 400
    hand: Hand = field(default_factory=Hand)
    seed: int = 1
    named: bool = True
    drawn_lines: tuple[str, ...] = ("baseline", "mean", "cap")
    drawing_deg: float | None = 0.0
    camera_deg: float = 0.0
    mean_extra_deg: float = 0.0
    cap_extra_deg: float = 0.0
    wobble_of: dict[int, float] = field(default_factory=dict)
    level_strokes: dict[int, float] = field(default_factory=dict)
    stretch: dict[int, float] = field(default_factory=dict)
    fills: dict[int, Fill] = field(default_factory=dict)


def outlines(drawing: Drawing) -> tuple[Outline, ...]:
    """The letters as they were drawn."""
    names = [c for c in drawing.word if not c.isspace()]
    return tuple(_outline(rings, name) for rings, name in zip(drawn(drawing), names, strict=True))


def drawn(drawing: Drawing) -> list[list[Points]]:
    """The closed polylines of each letter, x-heights."""
    steady = _rings(drawing, drawing.hand.wobble)
    for i, wobble in drawing.wobble_of.items():
        steady[i] = _rings(drawing, wobble)[i]
    for i, added in drawing.level_strokes.items():
        steady[i] = _thickened(steady[i], added)
    shift = 0.0
    for i, rings in enumerate(steady):
        left, right = _span(rings)
        factor = drawing.stretch.get(i, 1.0)
        steady[i] = [(r - (left, 0.0)) * (factor, 1.0) + (left + shift, 0.0) for r in rings]
        shift += (factor - 1.0) * (right - left)
    return steady


def _span(rings: list[Points]) -> tuple[float, float]:
    x = np.concatenate(rings)[:, 0]
    return float(x.min()), float(x.max())


def _thickened(rings: list[Points], added: float) -> list[Points]:
    """The letter with `added` more ink above and below each stroke (Minkowski sum with an upright line, in steps)."""
    shape = unary_union([Polygon(r) for r in rings if _solid(r, rings)])
    shape = shape.difference(unary_union([Polygon(r) for r in rings if not _solid(r, rings)]))
    steps = [translate(shape, 0.0, t) for t in np.linspace(-abs(added), abs(added), 5)]
    if added < 0.0:
        thinner = steps[0]
        for s in steps[1:]:
            thinner = thinner.intersection(s)
        return rings_of(thinner)
    return rings_of(unary_union(steps))


def _solid(ring: Points, rings: list[Points]) -> bool:
    own = Polygon(ring)
    around = [p for r in rings if r is not ring and (p := Polygon(r)).area > own.area]
    return sum(p.contains(own.representative_point()) for p in around) % 2 == 0


def _rings(drawing: Drawing, wobble: float) -> list[list[Points]]:
    hand = replace(drawing.hand, wobble=wobble)
    return drawn_word(Recipe("drawn", drawing.word, drawing.family, drawing.weight, hand=hand, seed=drawing.seed))


def _outline(rings: list[Points], name: str) -> Outline:
    rings = [r * 1000.0 for r in rings if Polygon(r).area > 0.0015]
    shapes = [Polygon(r) for r in rings]
    contours = []
    for i, ring in enumerate(rings):
        inside = sum(s.area > shapes[i].area and s.contains(shapes[i].representative_point()) for s in shapes)
        contours.append(_turned(polygon(ring), positive=inside % 2 == 0))
    return Outline(tuple(contours), name, tuple(frozen(r) for r in rings))


def _turned(contour: Contour, *, positive: bool) -> Contour:
    return contour if (signed_area(contour) > 0.0) is positive else reversed_contour(contour)


def study(drawing: Drawing) -> Study:
    """All that would be found out about this drawing."""
    letters = outlines(drawing)
    words = [i for i, part in enumerate(drawing.word.split()) for _ in part]
    names = [o.name if drawing.named else None for o in letters]
    letters = tuple(replace(o, name=n) for o, n in zip(letters, names, strict=True))
    angle = drawing.drawing_deg or 0.0
    known = drawing.drawing_deg is not None
    return Study(
        Brief(word=drawing.word if drawing.named else None),
        PictureFacts("drawn.png", 3000, 2000, "0" * 64),
        "A4",
        Scale(0.1, X_HEIGHT_MM, "page", "mean-line"),
        Level(
            angle + drawing.camera_deg,
            angle + drawing.camera_deg + drawing.mean_extra_deg,
            angle + drawing.camera_deg + drawing.cap_extra_deg,
            drawing.camera_deg if known else None,
            drawing.drawing_deg,
            _source(drawing, "baseline"),
        ),
        _lines(drawing, letters),
        Sketch(frozen(np.full((8, 8, 3), 255, np.uint8)), Affine.scale(1.0)),
        tuple(
            Letter(i + 1, o.name, word, o, (0.0, 0.0, 1.0, 1.0), measure(o, None, None))
            for i, (o, word) in enumerate(zip(letters, words, strict=True))
        ),
        space(letters, words, None),
        (),
    )


def _source(drawing: Drawing, line: str) -> GuideSource:
    return GuideSource.DRAWN if line in drawing.drawn_lines else GuideSource.INFERRED


def _lines(drawing: Drawing, letters: tuple[Outline, ...]) -> GuideLines:
    x0, x1 = letters[0].box_u.x0, letters[-1].box_u.x1

    def line(name: str, height: float, extra_deg: float) -> GuideLine:
        rise = math.tan(math.radians(extra_deg)) * (x1 - x0) / 2.0
        ends = ((x0, height - rise), (x1, height + rise))
        return GuideLine(_source(drawing, name), ends, ends)

    return GuideLines(
        line("baseline", 0.0, 0.0),
        line("mean", 1000.0, drawing.mean_extra_deg),
        line("cap", cap_height(drawing), drawing.cap_extra_deg) if "cap" in drawing.drawn_lines else None,
        None,
        None,
    )


def cap_height(drawing: Drawing) -> float:
    """Height of the H of the font that the word is drawn after, letter units."""
    plain = Drawing("H", drawing.family, drawing.weight, Hand(wobble=0.0))
    return outlines(plain)[0].box_u.y1
