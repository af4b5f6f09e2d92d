"""A Study and its points come in; out goes the figure of both proofs: the sketch with all that was found, layer by layer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from vectorize.curves import polygon
from vectorize.geometry import Affine, Box
from vectorize.sheets.columns import spread
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Shape, Strokes
from vectorize.sheets.palette import EDGE, INK, MARK, OUTLINE, PAPER
from vectorize.sheets.picture import sketch_picture
from vectorize.sheets.points import Point, check_name
from vectorize.sheets.round import disc
from vectorize.sheets.word import (
    corrected_outlines,
    drawn_guides,
    framed,
    layer,
    letter_shapes,
    outlines,
    page_map,
    whites,
)
from vectorize.study import Study

PREFIX: Final = "drawn-"

LONGEST_PX: Final = 2400

RADIUS: Final = 0.13
"""Of a number's disc, in x-heights."""


EXTRA: Final = ("even", "edge")
"""Layers for the screen only, where they can be hidden."""


def drawn(study: Study, todo: Sequence[Point]) -> Drawing:
    """The levelled sketch at true size: the layers of the word, the pencil's own edge, the evenly spaced letters, the places."""
    e = study.scale.x_height_mm
    frame = framed(study)
    shown = _with_room(frame)
    to_mm = page_map(study, shown)
    picture = sketch_picture(study.sketch, frame, to_mm, longest_px=LONGEST_PX, title="The levelled sketch")
    hair = 0.01 * e
    clean = letter_shapes(outlines(study), to_mm, PREFIX, fill=None, stroke=OUTLINE, stroke_mm=hair)
    even = letter_shapes(corrected_outlines(study), to_mm, f"{PREFIX}even-", fill=INK, fill_opacity=0.55)
    layers = (
        layer("sketch", [picture], PREFIX),
        layer("guides", drawn_guides(study, shown, to_mm, PREFIX), PREFIX),
        layer("whites", whites(study, to_mm, PREFIX), PREFIX),
        Group(even, f"{PREFIX}even", "Evenly spaced letters"),
        Group(pencil_edges(study, to_mm, hair), f"{PREFIX}edge", "Edge of the pencil"),
        layer("letters", clean, PREFIX),
        layer("notes", _places(todo, to_mm, e, shown), PREFIX),
    )
    return Drawing(
        shown.width * study.scale.mm_per_unit,
        shown.height * study.scale.mm_per_unit,
        "The drawing, levelled",
        layers,
    )


def with_places(figure: Drawing, study: Study, todo: Sequence[Point]) -> Drawing:
    """A figure of `drawn` for print: without the extra layers, and with these places only."""
    shown = _with_room(framed(study))
    left_out = {f"{PREFIX}{name}" for name in (*EXTRA, "notes")}
    kept = tuple(g for g in figure.items if isinstance(g, Group) and g.id not in left_out)
    notes = layer("notes", _places(todo, page_map(study, shown), study.scale.x_height_mm, shown), PREFIX)
    return replace(figure, items=(*kept, notes))


def _with_room(frame: Box) -> Box:
    """The frame with room for the numbers above it."""
    return Box(frame.x0, frame.y0, frame.x1, frame.y1 + 1000.0 * 2.6 * RADIUS)


def pencil_edges(study: Study, to_mm: Affine, width_mm: float) -> tuple[Shape, ...]:
    """The drawn edge of each letter before it was cleaned."""
    return tuple(
        Shape(tuple(polygon([tuple(p) for p in to_mm.apply(edge)]) for edge in o.drawn_edge), None, EDGE, width_mm)
        for o in outlines(study)
        if o.drawn_edge
    )


def _places(todo: Sequence[Point], to_mm: Affine, e: float, shown: Box) -> list[Item]:
    """A numbered disc above each place, led to a bracket around it."""
    placed = [(p, p.place) for p in todo if p.place is not None]
    order = sorted(placed, key=lambda x: x[1].centre[0])
    wanted = [to_mm.point(box.centre)[0] for _, box in order]
    at = spread(wanted, [2.3 * RADIUS * e] * len(order))
    y = to_mm.point((0.0, shown.y1))[1] + 1.2 * RADIUS * e
    items: list[Item] = []
    for (point, _), x, foot in zip(order, at, wanted, strict=True):
        items.append(_place(point, to_mm, e, (x, y), foot))
    return items


def _place(point: Point, to_mm: Affine, e: float, centre: tuple[float, float], foot: float) -> Group:
    assert point.place is not None
    box = point.place.grown(25.0)
    (x0, y1), (x1, y0) = to_mm.point((box.x0, box.y0)), to_mm.point((box.x1, box.y1))
    arm = min(0.12 * e, (x1 - x0) / 3.0)
    bracket = (
        ((x0 + arm, y0), (x0, y0), (x0, y0 + arm)),
        ((x1 - arm, y0), (x1, y0), (x1, y0 + arm)),
        ((x0 + arm, y1), (x0, y1), (x0, y1 - arm)),
        ((x1 - arm, y1), (x1, y1), (x1, y1 - arm)),
    )
    lead = ((centre[0], centre[1] + RADIUS * e), (foot, min(y0, centre[1] + 1.6 * RADIUS * e)), (foot, y0))
    size = 1.35 * RADIUS * e
    items: tuple[Item, ...] = (
        Strokes(bracket, MARK, 0.016 * e),
        Strokes((lead,), MARK, 0.016 * e),
        Shape((disc(centre, RADIUS * e),), MARK),
        Label(str(point.number), (centre[0], centre[1] + 0.34 * size), size, Anchor.MIDDLE, bold=True, colour=PAPER),
    )
    name = f"{point.number}, {check_name(point.finding)}"
    return Group(items, point.place_id, name, link=point.text_id)
