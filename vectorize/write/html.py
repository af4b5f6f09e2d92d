"""What the proof on the screen shows comes in; out goes one HTML file that opens offline: drawings, style and script inside.

Standards: HTML Living Standard; WCAG 2.2 AA (colours, focus, 24 px targets, reflow at 320 px). Without scripts the page reads
and prints the same, it only does not zoom.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

from vectorize.findings import Finding
from vectorize.sheets.cell import EXPLAINED, Cell
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.figures import Table
from vectorize.sheets.model import EXPLAINED as MODEL_EXPLAINED
from vectorize.sheets.model import Beside, Compared
from vectorize.sheets.points import WORDS, Point, Points, check_name
from vectorize.sheets.proof import size_said
from vectorize.sheets.shown import Shown
from vectorize.write.faces import faces
from vectorize.write.svg import attribute, inline_svg, text

LAYERS: Final = (
    ("sketch", "sketch", True),
    ("guides", "guidelines", True),
    ("whites", "whites", True),
    ("letters", "clean outline", True),
    ("edge", "pencil's edge", False),
    ("even", "evenly spaced", False),
    ("notes", "numbers", True),
)
"""Layer, its name beside the box to tick, whether it is shown at first."""

QUIET_CLASS: Final = ' class="quiet"'


def proof_html(shown: Shown) -> bytes:
    """The page as UTF-8; the same proof gives the same bytes."""
    return (
        "<!DOCTYPE html>\n"
        '<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{text(shown.title)}: proof of a drawing</title>\n<style>\n{faces()}{_part('proof.css')}</style>\n</head>\n<body>\n"
        f"<header>\n<h1>{text(shown.title)}</h1>\n"
        f'<p class="sub">Proof of a drawing, {text(shown.study.picture.file)}. {text(size_said(shown.study, 1.0))}</p>\n</header>\n<main>\n'
        f"{_board(shown)}{_points(shown.points)}{_spaces(shown)}{_letters(shown)}{_model(shown.model)}{_figures(shown)}"
        f"</main>\n<script>\n{_part('proof.js')}</script>\n</body>\n</html>\n"
    ).encode()


def _part(name: str) -> str:
    return (Path(__file__).parent / "page" / name).read_text(encoding="utf-8")


def _board(shown: Shown) -> str:
    boxes = "".join(
        f'<label><input type="checkbox" id="see-{layer}"{" checked" if on else ""}>{text(name)}</label>\n'
        for layer, name, on in LAYERS
    )
    stage = inline_svg(
        shown.drawn,
        'id="stage" role="group" tabindex="0" aria-label="The drawing, levelled; arrows move, plus and minus zoom"',
    )
    return (
        '<section class="board" id="board" aria-label="The drawing">\n'
        f'<div class="sheet stage">{stage}</div>\n'
        '<div class="bar">\n<div class="near-far">'
        '<button type="button" id="nearer">Nearer</button><button type="button" id="further">Further</button>'
        '<button type="button" id="whole">Whole word</button></div>\n'
        f"<fieldset><legend>Show</legend>\n{boxes}</fieldset>\n</div>\n"
        '<p class="hint">Click the drawing, then turn the wheel or press + and −; drag or use the arrows to move; 0 shows the '
        "whole word. On glass, pinch.</p>\n</section>\n"
    )


def _points(said: Points) -> str:
    places = {id(p.finding): p for p in said.beside}
    holds = f'<ul class="holds">\n{_list(said.holds, places)}</ul>\n' if said.holds else ""
    if said.doubts:
        holds += f'<h3>Not sure in the reading</h3>\n<ul class="holds doubts">\n{_list(said.doubts, places)}</ul>\n'
    title = "What holds" if said.holds else "The reading"
    left = f"<section>\n<h2>{title}</h2>\n{holds}</section>\n" if holds else ""
    rest = said.todo[len(said.first) :]
    todo = _numbered(said.first) if said.todo else "<p>Nothing was found to put right.</p>\n"
    if rest:
        todo += f"<h3>After that, in order of weight</h3>\n{_numbered(rest)}"
    return f'<div class="said">\n{left}<section>\n<h2>Next</h2>\n{todo}</section>\n</div>\n'


def _list(findings: Iterable[Finding], places: Mapping[int, Point]) -> str:
    return "".join(_quiet(f, places.get(id(f))) for f in findings)


def _quiet(finding: Finding, point: Point | None) -> str:
    if point is None:
        return f"<li>{text(finding.text)}</li>\n"
    return f'<li id="{point.text_id}">{text(finding.text)} {_show(point, finding.text, "Show")}</li>\n'


def _numbered(todo: Iterable[Point]) -> str:
    return f'<ol class="points">\n{"".join(_point(p) for p in todo)}</ol>\n'


def _point(point: Point) -> str:
    finding = point.finding
    name = check_name(finding)
    return (
        f'<li id="{point.text_id}"><span class="number">{point.number}</span><div>'
        f'<p class="what">{text(name)}<span class="weight">{WORDS[finding.severity]}</span></p>'
        f"<p>{text(finding.text)}</p>{_show(point, f'{point.number}, {name}')}</div></li>\n"
    )


def _show(point: Point, what: str, said: str = "Show on the drawing") -> str:
    label = attribute("aria-label", f"Show on the drawing: {what}")
    return f'<a class="show" href="#{point.place_id}"{label}>{said}</a>'


def _spaces(shown: Shown) -> str:
    figure = inline_svg(shown.comparison, 'role="group" aria-label="As drawn and evenly spaced"')
    return (
        '<section class="theme">\n<h2>Spaces</h2>\n<div class="sheet wide-figure" tabindex="0" role="region" '
        f'aria-label="As drawn above, evenly spaced below">{figure}</div>\n</section>\n'
    )


def _letters(shown: Shown) -> str:
    cells = "".join(
        f"<figure>{_still(c.figure)}<figcaption><b>{text(c.name)}</b>{_measured(c)}</figcaption></figure>\n"
        for c in shown.cells
    )
    return (
        f'<section class="theme">\n<h2>Letters</h2>\n<p class="quiet">{text(EXPLAINED)}</p>\n'
        f'<div class="letters">\n{cells}</div>\n</section>\n'
    )


def _measured(cell: Cell) -> str:
    rows = "".join(f"<div><dt>{text(words)}</dt><dd>{text(figure)}</dd></div>" for words, figure in cell.measures)
    return f"<dl>{rows}</dl>"


def _model(model: Compared | None) -> str:
    if model is None:
        return ""
    letters = "".join(
        f'<figure class="beside">{_still(x.figure)}<figcaption><b>{text(x.name)}</b>'
        f"<p{'' if x.departs else QUIET_CLASS}>{text(x.text)}</p>{_furthest(x)}"
        "</figcaption></figure>\n"
        for x in model.letters
    )
    settings = "".join(
        f'<h3>{text(d.title)}</h3>\n<div class="wide-figure" tabindex="0" role="region"'
        f"{attribute('aria-label', d.title)}>{_still(d)}</div>\n"
        for d in model.settings
    )
    return (
        f'<section class="theme">\n<h2>Beside the model, {text(model.name)}</h2>\n'
        f'<p class="quiet">{text(MODEL_EXPLAINED)}</p>\n{letters}</section>\n'
        f"<section class=\"theme\">\n<h2>The model's spacing and the area rule's</h2>\n"
        f'<p class="quiet">{text(model.spacing)}</p>\n{settings}</section>\n'
    )


def _furthest(letter: Beside) -> str:
    return f'<p class="quiet">{text(letter.furthest)}</p>' if letter.furthest else ""


def _still(drawing: Drawing) -> str:
    return inline_svg(drawing, f'role="group"{attribute("aria-label", drawing.title)}')


def _figures(shown: Shown) -> str:
    lines = "".join(f"<p>{text(line)}</p>\n" for line in shown.lines)
    tables = _table("Letters, lengths in per cent of the x-height", shown.letters)
    if shown.pairs is not None:
        tables += _table("Spaces, whites in per cent of the x-height", shown.pairs)
    if shown.model is not None:
        tables += _table("Beside the model, drawn / model, in per cent of the x-height", shown.model.figures)
    return f'<section class="theme">\n<h2>Figures</h2>\n{lines}{tables}</section>\n'


def _table(caption: str, table: Table) -> str:
    heads, rows, _ = table
    head = "".join(f'<th scope="col">{text(h)}</th>' for h in heads)
    body = "".join(
        f'<tr><th scope="row">{text(row[0])}</th>{"".join(f"<td>{text(v)}</td>" for v in row[1:])}</tr>\n'
        for row in rows
    )
    return (
        f'<div class="wide" tabindex="0" role="region"{attribute("aria-label", caption)}><table><caption>{text(caption)}</caption>\n'
        f"<thead><tr>{head}</tr></thead>\n<tbody>\n{body}</tbody></table></div>\n"
    )
