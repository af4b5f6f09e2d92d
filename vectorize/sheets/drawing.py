"""What goes onto a page comes in, in mm; out go frozen records that every writer can draw: no file format is known here.

x runs right and y DOWN from the upper left corner of the page, in millimetres. Later items lie over earlier ones. Colours are
"#rrggbb". Contours keep the direction they came with: a counter is hollow under either filling rule.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from vectorize.curves import Contour, transformed
from vectorize.geometry import Affine, Point

Data: TypeAlias = tuple[tuple[str, str], ...]


class Anchor(StrEnum):
    """Which end of a label stands at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Shape:
    """Closed contours, filled and stroked as one shape; None leaves the fill or the stroke out.

    fill_opacity: 0 to 1. dash_mm: lengths of line and gap in turn.
    data: pairs (name, value) that a writer may keep as data attributes. title: what a reader is told of it.
    """

    contours: tuple[Contour, ...]
    fill: str | None = "#000000"
    stroke: str | None = None
    stroke_mm: float = 0.2
    dash_mm: tuple[float, ...] = ()
    fill_opacity: float = 1.0
    id: str | None = None
    data: Data = ()
    title: str | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """A straight line."""

    start: Point
    end: Point
    colour: str = "#000000"
    width_mm: float = 0.2
    dash_mm: tuple[float, ...] = ()
    id: str | None = None
    title: str | None = None


@dataclass(frozen=True, slots=True)
class Strokes:
    """Open polylines of two or more points each, stroked alike: hatching, brackets, the edge of the pencil."""

    lines: tuple[tuple[Point, ...], ...]
    colour: str = "#000000"
    width_mm: float = 0.2
    dash_mm: tuple[float, ...] = ()
    id: str | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; `at` is its anchor on the text's baseline, `size_mm` the size of the type (its em)."""

    text: str
    at: Point
    size_mm: float = 3.2
    anchor: Anchor = Anchor.START
    bold: bool = False
    colour: str = "#000000"


@dataclass(frozen=True, slots=True)
class Picture:
    """An encoded picture. data: the file's bytes. media_type: image/jpeg or image/png. to_mm: its pixels to the page."""

    data: bytes
    media_type: str
    width_px: int
    height_px: int
    to_mm: Affine
    title: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together: a layer with a name, or a part of one.

    id: unique on the page. title: its name for people; a group with a title is a layer. link: id of the place, on this page
    or another of the same document, that a click on it leads to. data: as of Shape.
    """

    items: tuple[Item, ...]
    id: str | None = None
    title: str | None = None
    link: str | None = None
    data: Data = ()


Item: TypeAlias = Shape | Rule | Strokes | Label | Picture | Group


@dataclass(frozen=True, slots=True)
class Drawing:
    """One page. title: what it shows, for those who cannot see it and for lists of pages."""

    width_mm: float
    height_mm: float
    title: str
    items: tuple[Item, ...]
    description: str = ""


def walk(items: Iterable[Item]) -> Iterator[Item]:
    """Every item, groups before what they hold."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.items)


def placed(contours: Iterable[Contour], to_mm: Affine) -> tuple[Contour, ...]:
    """Contours carried onto the page."""
    return tuple(transformed(c, to_mm) for c in contours)
