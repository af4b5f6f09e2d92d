"""Figures of the printed sheets: colours, sizes of type, thickness of lines, margins."""

from __future__ import annotations

from typing import Final

from vectorize.trade.figure import COMMON_PRACTICE, Figure

TEXT_SIZE_MM: Final = Figure(
    3.5, "mm", reason="ten points, read at the length of an arm on a table", source=COMMON_PRACTICE
)
SMALL_TEXT_MM: Final = Figure(2.8, "mm", reason="eight points, the least that prints well", source=COMMON_PRACTICE)
HEADING_MM: Final = Figure(6.0, "mm", reason="seventeen points, read across a table", source=COMMON_PRACTICE)
PAGE_MARGIN_MM: Final = Figure(
    15.0, "mm", reason="every office printer leaves less than this blank", source=COMMON_PRACTICE
)
RULE_LENGTH_MM: Final = Figure(
    100.0, "mm", reason="long enough that a printer's scaling of one per cent shows on a ruler", source=COMMON_PRACTICE
)
GUIDE_WIDTH_MM: Final = Figure(0.15, "mm", reason="a sharp pencil's line", source=COMMON_PRACTICE)
LABEL_SIZE: Final = Figure(
    0.125, "x-heights", reason="read from where the whole word is seen, and three figures fit a narrow space",
    source=COMMON_PRACTICE,
)  # fmt: skip
WORD_MARGIN: Final = Figure(
    0.45, "x-heights", reason="paper around the word, so that its own edge is seen", source=COMMON_PRACTICE
)
LIGHT_LETTER: Final = Figure(
    0.22,
    "of black",
    reason="light enough to draw over in pencil, dark enough to survive a printer",
    source=COMMON_PRACTICE,
)
