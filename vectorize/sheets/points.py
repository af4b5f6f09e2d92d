"""Findings come in; out go the points of a critique: what holds, what to do in order of weight, what was doubtful."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
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
    """One numbered thing to do: its place in letter units, None where it speaks of the whole word.

    prefix: before its ids, where a document shows the same point twice.
    """

    number: int
    finding: Finding
    place: Box | None
    prefix: str = ""

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
    """A critique in its three parts; `todo` is numbered from 1, the heaviest first."""

    holds: tuple[Finding, ...]
    todo: tuple[Point, ...]
    doubts: tuple[Finding, ...]

    @property
    def first(self) -> tuple[Point, ...]:
        """The next things to do."""
        return self.todo[:FIRST]


def points(study: Study, findings: Iterable[Finding], prefix: str = "") -> Points:
    """The findings sorted into their parts, each in the order they came in; an instructor's comments before ours."""
    said = tuple(findings)
    comments = [f for f in said if f.check == COMMENT]
    doubts = tuple(f for f in said if f in study.remarks and f.check != COMMENT)
    rest = [f for f in said if f not in study.remarks]
    todo = comments + [f for f in rest if f.severity is not Severity.HOLDS]
    return Points(
        tuple(f for f in rest if f.severity is Severity.HOLDS),
        tuple(Point(i, f, _place(study, f), prefix) for i, f in enumerate(todo, 1)),
        doubts,
    )


def _place(study: Study, finding: Finding) -> Box | None:
    if finding.place_u is not None:
        return Box(*finding.place_u)
    boxes = [x.outline.box_u for x in study.letters if x.index in finding.letters]
    return reduce(Box.joined, boxes) if boxes else None


def check_name(finding: Finding) -> str:
    """What the check is called on the sheets."""
    return CHECKS.get(finding.check, finding.check.replace("-", " ").capitalize())
