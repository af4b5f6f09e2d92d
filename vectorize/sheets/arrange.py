"""Items come in; out go the same items elsewhere on the page and at another size, lines and type scaled with them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from vectorize.geometry import Affine
from vectorize.sheets.drawing import Drawing, Group, Item, Label, Picture, Rule, Shape, Strokes, placed


def arranged(drawing: Drawing, left_mm: float, top_mm: float, scale: float = 1.0) -> Group:
    """A whole drawing as part of another page, its upper left corner at (left, top)."""
    to_mm = Affine(scale, 0.0, 0.0, scale, left_mm, top_mm)
    return Group(_moved_items(drawing.items, to_mm))


def _moved_items(items: Iterable[Item], to_mm: Affine) -> tuple[Item, ...]:
    """Items carried by a map that scales evenly and moves."""
    return tuple(_moved(item, to_mm) for item in items)


def _moved(item: Item, to_mm: Affine) -> Item:
    k = to_mm.xx
    match item:
        case Group():
            return replace(item, items=_moved_items(item.items, to_mm))
        case Shape():
            return replace(
                item,
                contours=placed(item.contours, to_mm),
                stroke_mm=item.stroke_mm * k,
                dash_mm=tuple(d * k for d in item.dash_mm),
            )
        case Rule():
            ends = to_mm.point(item.start), to_mm.point(item.end)
            dash = tuple(d * k for d in item.dash_mm)
            return replace(item, start=ends[0], end=ends[1], width_mm=item.width_mm * k, dash_mm=dash)
        case Strokes():
            lines = tuple(tuple(to_mm.point(p) for p in line) for line in item.lines)
            dash = tuple(d * k for d in item.dash_mm)
            return replace(item, lines=lines, width_mm=item.width_mm * k, dash_mm=dash)
        case Label():
            return replace(item, at=to_mm.point(item.at), size_mm=item.size_mm * k)
        case Picture():
            return replace(item, to_mm=item.to_mm.then(to_mm))
