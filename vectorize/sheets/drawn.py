"""A Study and its points come in; out goes the figure of both proofs: the sketch with all that was found, layer by layer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from vectorize.geometry import Affine, Box
from vectorize.sheets.columns import spread
from vectorize.sheets.disc import disc
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Shape, Strokes
from vectorize.sheets.furniture import page_size
from vectorize.sheets.palette import EDGE, INK, MARK, OUTLINE, PAPER
from vectorize.sheets.picture import sketch_picture
from vectorize.sheets.points import BESIDE, Point, Points, check_name
from vectorize.sheets.word import (
    corrected_outlines,
    drawn_guides,
    extent,
    framed,
    layer,
    letter_shapes,
    outlines,
    page_map,
    pencil_edge,
    whites,
)
from vectorize.study import Study
from vectorize.trade.sheets import PAGE_MARGIN_MM

PREFIX: Final = "drawn-"

LONGEST_PX: Final = 2400

RADIUS: Final = 0.13
"""Of a number's disc, in x-heights; small lettering has larger ones, so that the number is read on paper."""

LEAST_RADIUS_MM: Final = 2.2

MOST_ROOM: Final = 2.6
"""Above the word for the numbers, in radii."""

GROWN_U: Final = 25.0
"""Between a place and its bracket."""

QUIETLY: Final = (("beside", "yes"),)

EXTRA: Final = ("even", "edge")
"""Layers for the screen only, where they can be hidden."""


def drawn(study: Study, said: Points) -> Drawing:
    """The levelled sketch at true size: the layers of the word, the pencil's own edge, the evenly spaced letters, the places."""
    x_height_mm = study.scale.x_height_mm
    frame, shown = _frames(study)
    to_mm = page_map(study, shown)
    picture = sketch_picture(study.sketch, frame, to_mm, longest_px=LONGEST_PX, title="The levelled sketch")
    hair = 0.01 * x_height_mm
    clean = letter_shapes(outlines(study), to_mm, PREFIX, fill=None, stroke=OUTLINE, stroke_mm=hair)
    edges = tuple(Shape(pencil_edge(o, to_mm), None, EDGE, hair) for o in outlines(study) if o.drawn_edge)
    even = letter_shapes(corrected_outlines(study), to_mm, f"{PREFIX}even-", fill=INK, fill_opacity=0.55)
    beside = [Group((_bracket(p, to_mm, x_height_mm),), p.place_id, _name(p), p.text_id, QUIETLY) for p in said.beside]
    layers = (
        layer("sketch", [picture], PREFIX),
        layer("guides", drawn_guides(study, shown, to_mm, PREFIX), PREFIX),
        layer("whites", whites(study, to_mm, PREFIX), PREFIX),
        Group(even, f"{PREFIX}even", "Evenly spaced letters"),
        Group(edges, f"{PREFIX}edge", "Edge of the pencil"),
        layer("letters", clean, PREFIX),
        layer("notes", [*beside, *_places(said.todo, to_mm, x_height_mm, shown)], PREFIX),
    )
    return Drawing(
        shown.width * study.scale.mm_per_unit,
        shown.height * study.scale.mm_per_unit,
        "The drawing, levelled",
        layers,
    )


def with_places(figure: Drawing, study: Study, todo: Sequence[Point]) -> Drawing:
    """A figure of `drawn` for print: without the extra layers, and with these places only."""
    shown = _frames(study)[1]
    left_out = {f"{PREFIX}{name}" for name in (*EXTRA, "notes")}
    kept = tuple(g for g in figure.items if isinstance(g, Group) and g.id not in left_out)
    notes = layer("notes", _places(todo, page_map(study, shown), study.scale.x_height_mm, shown), PREFIX)
    return replace(figure, items=(*kept, notes))


def _frames(study: Study) -> tuple[Box, Box]:
    """What is shown of the sketch, and the same with room for the numbers above it.

    The paper at the sides gives way where that lets the word stand on its page at true size.
    """
    word, frame = extent(study), framed(study)
    room = (page_size(study, word.width)[0] - 2.0 * PAGE_MARGIN_MM) / study.scale.mm_per_unit
    side = min(word.x0 - frame.x0, max(0.0, (room - word.width) / 2.0))
    frame = Box(word.x0 - side, frame.y0, word.x1 + side, frame.y1)
    above = MOST_ROOM * _radius(study.scale.x_height_mm) / study.scale.mm_per_unit
    return frame, Box(frame.x0, frame.y0, frame.x1, frame.y1 + above)


def _radius(x_height_mm: float) -> float:
    return max(RADIUS * x_height_mm, LEAST_RADIUS_MM)


def _places(todo: Sequence[Point], to_mm: Affine, x_height_mm: float, shown: Box) -> list[Item]:
    """A numbered disc above each place, led to a bracket around it; what speaks of the whole word has the disc alone."""
    if not todo:
        return []
    (left, top), (right, _) = to_mm.point((shown.x0, shown.y1)), to_mm.point((shown.x1, shown.y0))
    radius = min(_radius(x_height_mm), (right - left) / (2.3 * len(todo)))
    order = sorted(todo, key=lambda p: (not p.whole, _led_to(p)))
    wanted = [left if p.whole else to_mm.point((_led_to(p), 0.0))[0] for p in order]
    at = spread(wanted, [2.3 * radius] * len(order), left, right)
    y = top + 1.2 * radius
    return [
        _place(p, to_mm, x_height_mm, Disc((x, y), radius), foot) for p, x, foot in zip(order, at, wanted, strict=True)
    ]


def _led_to(point: Point) -> float:
    return point.place.centre[0] if point.lead_u is None else point.lead_u


@dataclass(frozen=True, slots=True)
class Disc:
    """Where a number stands, in mm."""

    centre: tuple[float, float]
    radius: float


def _place(point: Point, to_mm: Affine, x_height_mm: float, at: Disc, foot: float) -> Group:
    x, y = at.centre
    size = 1.35 * at.radius
    number: tuple[Item, ...] = (
        Shape((disc(at.centre, at.radius),), MARK),
        Label(str(point.number), (x, y + 0.34 * size), size, Anchor.MIDDLE, bold=True, colour=PAPER),
    )
    if point.whole:
        return Group(number, point.place_id, _name(point), point.text_id, (("whole", "yes"),))
    head = to_mm.point((0.0, point.place.grown(GROWN_U).y1))[1]
    lead = ((x, y + at.radius), (foot, min(head, y + 1.6 * at.radius)), (foot, head))
    items = (_bracket(point, to_mm, x_height_mm), Strokes((lead,), MARK, 0.016 * x_height_mm), *number)
    return Group(items, point.place_id, _name(point), point.text_id)


def _bracket(point: Point, to_mm: Affine, x_height_mm: float) -> Strokes:
    """The four corners of a place."""
    box = point.place.grown(GROWN_U)
    (x0, y1), (x1, y0) = to_mm.point((box.x0, box.y0)), to_mm.point((box.x1, box.y1))
    arm = min(0.12 * x_height_mm, (x1 - x0) / 3.0, (y1 - y0) / 3.0)
    corners = (
        ((x0 + arm, y0), (x0, y0), (x0, y0 + arm)),
        ((x1 - arm, y0), (x1, y0), (x1, y0 + arm)),
        ((x0 + arm, y1), (x0, y1), (x0, y1 - arm)),
        ((x1 - arm, y1), (x1, y1), (x1, y1 - arm)),
    )
    return Strokes(corners, MARK, 0.016 * x_height_mm)


def _name(point: Point) -> str:
    name = check_name(point.finding)
    return name if point.prefix == BESIDE else f"{point.number}, {name}"
