"""The record that the outline stages hand on: one letter as clean closed contours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vectorize.curves import Contour, box, moved, signed_area
from vectorize.geometry import Box, Points


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """A letter in letter units (1000 = x-height, y up from the baseline), where it stands in the word.

    contours: outer ones counter-clockwise, counters clockwise. name: the letter or None.
    drawn_edge: the ink's own sub-pixel edge before cleaning, closed polylines of shape (n, 2).
    fit_error_u: greatest distance between the clean curves and that edge, the blur of the picture undone, away from
    corners; edges for which plain lines stand are not counted.
    plain: whether an edge was such that no curve follows it, so that straight lines from place to place stand for it.
    """

    contours: tuple[Contour, ...]
    name: str | None = None
    drawn_edge: tuple[Points, ...] = ()
    fit_error_u: float = 0.0
    plain: bool = False

    @property
    def box_u(self) -> Box:
        """The exact box around the letter."""
        return box(self.contours)

    @property
    def counters(self) -> tuple[Contour, ...]:
        """The closed counters, biggest first."""
        return tuple(sorted((c for c in self.contours if signed_area(c) < 0.0), key=signed_area))

    @property
    def node_count(self) -> int:
        """On-curve points of all contours, closing points once."""
        return sum(len(c.segments) for c in self.contours)

    def moved(self, dx_u: float) -> Outline:
        """The same letter moved along the baseline."""
        return Outline(
            tuple(moved(c, dx_u) for c in self.contours),
            self.name,
            tuple(e + np.array((dx_u, 0.0)) for e in self.drawn_edge),
            self.fit_error_u,
            self.plain,
        )
