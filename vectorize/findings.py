"""What any stage has to tell about a drawing: one frozen record, in words and in figures."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding weighs; the order of the members is the order of weight."""

    HOLDS = "holds"
    NOTE = "note"
    LOOK_AGAIN = "look-again"
    FIX = "fix"

    @property
    def rank(self) -> int:
        """0 for what holds, 3 for what should be put right first."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True)
class Finding:
    """One statement about the drawing.

    check: name of the check ("level", "spaces", ...), or what else tells it: "reading", "size" and "model" for what was
    doubted or assumed on the way, "comment" for what was pinned by hand.
    letters: indices of the letters it speaks of, counting from 1; empty for the whole word.
    measured, limit: figures in `unit`, None where the statement has none.
    text: one or two plain sentences about the drawing, never about the person.
    place_u: box (x0, y0, x1, y1) in letter units where the eye should go; None for the whole drawing.
    """

    check: str
    letters: tuple[int, ...]
    measured: float | None
    limit: float | None
    unit: str
    severity: Severity
    text: str
    place_u: tuple[float, float, float, float] | None = None
