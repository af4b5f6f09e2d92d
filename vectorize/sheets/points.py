"""Findings come in; out go the points of a critique: what holds, what to do in order of weight, what was doubtful."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import reduce
from typing import Final

from vectorize.findings import Finding, Severity
from vectorize.geometry import Box
from vectorize.study import Study

FIRST: Final = 3
"""So many things are named as the next ones to do: more cannot be kept in mind while drawing."""

WORDS: Final = {
    Severity.FIX: "put right",
    Severity.LOOK_AGAIN: "look again",
    Severity.NOTE: "note",
    Severity.HOLDS: "holds",
}

BESIDE: Final = "beside-"

LINE_U: Final = 40.0
"""Half the height of a place that is a guideline."""

BEYOND_U: Final = 130.0
"""How far such a place goes beyond the word, so that its number is led to the line beside the letters."""

COMMENT: Final = "comment"
"""What was pinned to the drawing by hand."""

CHECKS: Final = {
    "level": "Level",
    "parallel": "Parallel lines",
    "upright": "Upright stems",
    "seat": "On the lines",
    "size": "Size",
    "fill": "Black",
    "likeness": "Same letters alike",
    "kin": "Related letters",
    "counters": "Counters",
    "weight": "Weight",
    "contrast": "Thick and thin",
    "spaces": "Spaces",
    "edge": "Edges",
    "overshoot": "Overshoot",
    "model": "The model",
    COMMENT: "The instructor",
    "reading": "Reading",
    "word": "The word",
}


@dataclass(frozen=True, slots=True)
class Point:
    """One numbered thing to do, and its place in letter units; whole: it speaks of the word, not of a part of it.

    prefix: before its ids, where a document shows the same point twice. lead_u: where along the line its number is led to;
    None for the middle of its place.
    """

    number: int
    finding: Finding
    place: Box
    whole: bool = False
    prefix: str = ""
    lead_u: float | None = None

    @property
    def text_id(self) -> str:
        """Id of its words."""
        return f"{self.prefix}finding-{self.number:02d}"

    @property
    def place_id(self) -> str:
        """Id of its place on the drawing."""
        return f"{self.prefix}place-{self.number:02d}"


@dataclass(frozen=True, slots=True)
class Points:
    """A critique in its three parts; `todo` is numbered from 1, the heaviest first.

    beside: places of what holds and of doubts, for those that speak of certain letters; not numbered on the drawing.
    """

    holds: tuple[Finding, ...]
    todo: tuple[Point, ...]
    doubts: tuple[Finding, ...]
    beside: tuple[Point, ...]

    @property
    def first(self) -> tuple[Point, ...]:
        """The next things to do."""
        return self.todo[:FIRST]


def points(study: Study, findings: Iterable[Finding]) -> Points:
    """The findings sorted into their parts, each in the order they came in; an instructor's comments before ours."""
    said = tuple(findings)
    comments = [f for f in said if f.check == COMMENT]
    doubts = tuple(f for f in said if f in study.remarks and f.check != COMMENT)
    rest = [f for f in said if f not in study.remarks and f.check != COMMENT]
    todo = comments + [f for f in rest if f.severity is not Severity.HOLDS]
    holds = tuple(f for f in rest if f.severity is Severity.HOLDS)
    beside = [f for f in (*holds, *doubts) if f.place_u is not None or f.letters]
    return Points(
        holds,
        tuple(_point(study, i, f) for i, f in enumerate(todo, 1)),
        doubts,
        tuple(replace(_point(study, i, f), prefix=BESIDE) for i, f in enumerate(beside, 1)),
    )


def _point(study: Study, number: int, finding: Finding) -> Point:
    """Its place: told, or around its letters, or along the baseline, or the whole word."""
    if finding.place_u is not None:
        return Point(number, finding, Box(*finding.place_u))
    boxes = [x.outline.box_u for x in study.letters]
    own = [x.outline.box_u for x in study.letters if x.index in finding.letters]
    around = reduce(Box.joined, own or boxes)
    if own:
        return Point(number, finding, around)
    if finding.check == "level":
        return Point(
            number,
            finding,
            Box(around.x0 - BEYOND_U, -LINE_U, around.x1 + BEYOND_U, LINE_U),
            lead_u=around.x0 - 0.7 * BEYOND_U,
        )
    return Point(number, finding, around, whole=True)


def check_name(finding: Finding) -> str:
    """What the check is called on the sheets."""
    return CHECKS.get(finding.check, finding.check.replace("-", " ").capitalize())
