"""A number that knows its unit, the reason for it and its source."""

from __future__ import annotations

from typing import Self

COMMON_PRACTICE = "common practice, no source"
MEASURED = "measured by us; see DEVELOPERS.md"


class Figure(float):
    """A float with papers; arithmetic on it gives plain floats.

    unit: "x-heights", "deg", "mm", "per cent", "px" ...
    reason: one sentence, why this value and not half or twice of it.
    source: a publication, COMMON_PRACTICE or MEASURED.
    """

    __slots__ = ("reason", "source", "unit")

    unit: str
    reason: str
    source: str

    def __new__(cls, value: float, unit: str, *, reason: str, source: str) -> Self:
        """The figure with its papers."""
        figure = super().__new__(cls, value)
        figure.unit, figure.reason, figure.source = unit, reason, source
        return figure
