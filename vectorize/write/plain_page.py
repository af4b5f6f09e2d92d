"""A title and blocks of text and drawings come in; out goes one HTML file that opens offline, on paper and on a phone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Final, TypeAlias
from urllib.parse import quote

from vectorize.sheets.drawing import Drawing
from vectorize.write.faces import faces
from vectorize.write.svg import inline_svg

STYLE: Final = """
:root { color-scheme: light; }
body { margin: 0 auto; max-width: 62rem; padding: 1.5rem 1rem 4rem; background: #fff; color: #1f1f1f;
  font: 1.0625rem/1.5 'Class Sheet', 'Source Sans 3', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif; }
h1 { font-size: 1.9rem; margin: 0 0 .25rem; } h2 { font-size: 1.35rem; margin: 2.5rem 0 .25rem; }
h3 { font-size: 1.1rem; margin: 1.5rem 0 0; } article > :is(h2, h3, h4) { font-size: 1rem; margin: 0 0 .4rem; } p { margin: .25rem 0 .75rem; max-width: 46rem; } .quiet { color: #595959; }
a { color: #14506b; } a:focus-visible { outline: 3px solid #14506b; outline-offset: 2px; }
.row { display: grid; gap: 1rem 1.5rem; align-items: start; }
.row > * { min-width: 0; }
@media (min-width: 40rem) { .two { grid-template-columns: 1fr 1fr; } .three { grid-template-columns: 1fr 1fr 1fr; } }
figure { margin: 0; } svg { display: block; width: 100%; height: auto; }
article { border-top: 1px solid #767676; padding: 1rem 0; }
table { border-collapse: collapse; } th, td { text-align: left; padding: .3rem 1.2rem .3rem 0; vertical-align: top; }
th { border-bottom: 1px solid #767676; } td { border-bottom: 1px solid #c9c9c9; } .scroll { overflow-x: auto; }
@media print { body { max-width: none; padding: 0; font-size: 10pt; } article { break-inside: avoid; } }
"""


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing."""

    drawing: Drawing


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph; quiet ones are set grey."""

    text: str
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """Blocks beside each other where the page is wide enough; two or three."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """Blocks under a small heading, which leads to `href` (a path beside this file, by its parts)."""

    heading: str
    blocks: tuple[Block, ...]
    href: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A head and rows of plain texts."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Section:
    """Blocks under a heading of level 2 or 3."""

    heading: str
    blocks: tuple[Block, ...]
    level: int = 2


Block: TypeAlias = Figure | Text | Row | Entry | Table | Section


def plain_page(title: str, blocks: Sequence[Block]) -> bytes:
    """The page as UTF-8; the same blocks give the same bytes."""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>\n{faces()}{STYLE}</style>\n</head>\n<body>\n<main>\n"
        f"<h1>{escape(title)}</h1>\n{_blocks(blocks)}</main>\n</body>\n</html>\n"
    ).encode()


def _blocks(blocks: Iterable[Block], above: int = 1) -> str:
    return "".join(_block(b, above) for b in blocks)


def _block(block: Block, above: int) -> str:
    """above: level of the heading that it stands under."""
    match block:
        case Text(text, quiet):
            tag = '<p class="quiet">' if quiet else "<p>"
            return f"{tag}{escape(text)}</p>\n"
        case Figure(drawing):
            drawn = inline_svg(drawing, 'role="img"')
            return f"<figure>{drawn}</figure>\n"
        case Row(blocks):
            width = "three" if len(blocks) > 2 else "two"
            cells = "".join(f"<div>{_block(b, above)}</div>" for b in blocks)
            return f'<div class="row {width}">\n{cells}</div>\n'
        case Entry(heading, blocks, href):
            name = escape(heading)
            place = "/".join(quote(p) for p in href)
            linked = f'<a href="{place}">{name}</a>' if href else name
            return f"<article>\n<h{above + 1}>{linked}</h{above + 1}>\n{_blocks(blocks, above + 1)}</article>\n"
        case Table(head, rows):
            return _table(head, rows)
        case Section(heading, blocks, level):
            return f"<section>\n<h{level}>{escape(heading)}</h{level}>\n{_blocks(blocks, level)}</section>\n"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    top = "".join(f'<th scope="col">{escape(h)}</th>' for h in head)
    lines = ("".join(f"<td>{escape(c)}</td>" for c in row) for row in rows)
    body = "".join(f"<tr>{line}</tr>\n" for line in lines)
    return f'<div class="scroll"><table>\n<thead><tr>{top}</tr></thead>\n<tbody>\n{body}</tbody>\n</table></div>\n'
