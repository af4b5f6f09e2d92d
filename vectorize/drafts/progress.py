"""Two or more drafts come in; out go the files that tell how the drawing has come along: progress.html, .pdf, .svg, .json."""

from __future__ import annotations

import json
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Final

from vectorize.critique.words import listed, percent
from vectorize.drafts.changes import Change, Figures, State, changes, figures, sentence
from vectorize.drafts.draft import Draft
from vectorize.findings import Finding
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.light_box import Layer, changes_pages, light_box
from vectorize.write.plain_page import Block, Figure, Section, Table, Text, plain_page
from vectorize.write.svg import svg_bytes

PROGRESS: Final = "progress"
SCHEMA_VERSION: Final = 1

HEADINGS: Final = {
    State.GONE: "Gone",
    State.BETTER: "Better",
    State.SAME: "About the same",
    State.WORSE: "Worse",
    State.NEW: "New",
}


def progress_files(drafts: Sequence[Draft]) -> dict[str, bytes]:
    """The files by name; at least two drafts, the earliest first."""
    from vectorize.write.pdf import pdf_bytes

    found = changes(drafts[0], drafts[-1])
    title = _title(drafts)
    layers = [_layer(d) for d in drafts]
    sheet, part = light_box(layers, title), light_box(layers, title, framed=False)
    parts = [("What became of it", [summary(found, len(drafts))]), *_parts(found)]
    return {
        f"{PROGRESS}.svg": svg_bytes(part),
        f"{PROGRESS}.pdf": pdf_bytes((sheet, *changes_pages(title, parts))),
        f"{PROGRESS}.html": plain_page(title, _page(drafts, found, part)),
        f"{PROGRESS}.json": (json.dumps(progress(drafts), ensure_ascii=False, indent=1) + "\n").encode(),
    }


def progress(drafts: Sequence[Draft]) -> dict[str, Any]:
    """What became of each finding from the first draft to the last, and from each to the next, as plain values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "drafts": [_draft(d) for d in drafts],
        "changes": [_change(c) for c in changes(drafts[0], drafts[-1])],
        "steps": [
            {"earlier": a.name, "later": b.name, "changes": [_change(c) for c in changes(a, b)]}
            for a, b in pairwise(drafts)
        ],
        "summary": summary(changes(drafts[0], drafts[-1]), len(drafts)),
    }


def summary(found: Sequence[Change], drafts: int) -> str:
    """What became of the drawing in a sentence or two, what is better first."""
    counted = {state: [c for c in found if c.state is state] for state in State}
    told = []
    for state, one, many in (
        (State.GONE, "is gone", "are gone"),
        (State.BETTER, "is better", "are better"),
        (State.SAME, "is about the same", "are about the same"),
        (State.WORSE, "is worse", "are worse"),
        (State.NEW, "is new", "are new"),
    ):
        number = len(counted[state])
        if number:
            told.append(f"{number} {one if number == 1 else many}")
    between = "the two drafts" if drafts == 2 else f"the first and the last of {drafts} drafts"
    if not told:
        return f"Between {between} nothing that was looked at has changed, and nothing needs putting right."
    return f"Between {between}, of what the critique says, {listed(told)}."


def _title(drafts: Sequence[Draft]) -> str:
    spelt = drafts[-1].spelt
    return "From draft to draft" if "?" in spelt or not spelt else f"From draft to draft: {spelt}"


def _layer(draft: Draft) -> Layer:
    uneven = figures(draft).uneven_ratio
    said = "one space or none" if uneven is None else f"spaces off by {percent(uneven)} of the x-height"
    return Layer(draft.name, draft.letters, draft.setting.pairs, said)


def _parts(found: Sequence[Change]) -> list[tuple[str, list[str]]]:
    parts = [(HEADINGS[s], [sentence(c) for c in found if c.state is s]) for s in State]
    return [(heading, texts) for heading, texts in parts if texts]


def _page(drafts: Sequence[Draft], found: Sequence[Change], sheet: Drawing) -> tuple[Block, ...]:
    rows = []
    for d in drafts:
        f = figures(d)
        rows.append((d.name, *(_told(v) for v in (f.uneven_ratio, f.baseline_deg, f.stem_spread_deg))))
    head = ("draft", "spaces off, x-heights", "baseline, degrees", "stems differ by, degrees")
    return (
        Text(summary(found, len(drafts))),
        Figure(sheet),
        *(Section(heading, tuple(Text(t) for t in texts)) for heading, texts in _parts(found)),
        Section("In figures", (Table(head, tuple(rows)),)),
    )


def _told(value: float | None) -> str:
    return "not known" if value is None else f"{value:.2f}".replace("-", "\u2212")


def _draft(draft: Draft) -> dict[str, Any]:
    f: Figures = figures(draft)
    return {
        "name": draft.name,
        "file": draft.file,
        "word": draft.spelt,
        "x_height_mm": draft.measures["scale"]["x_height_mm"],
        "uneven_ratio": _rounded(f.uneven_ratio),
        "baseline_deg": _rounded(f.baseline_deg),
        "stem_spread_deg": _rounded(f.stem_spread_deg),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(float(value), 5)


def _change(change: Change) -> dict[str, Any]:
    said = change.said
    return {
        "state": change.state.value,
        "check": said.check,
        "letters": list(said.letters),
        "unit": said.unit,
        "limit": said.limit,
        "was": _side(change.was),
        "now": _side(change.now),
        "text": sentence(change),
    }


def _side(finding: Finding | None) -> dict[str, Any] | None:
    return None if finding is None else {"measured": finding.measured, "severity": finding.severity.value}
