"""The colours of all sheets, on white paper: texts reach 4.5:1 and lines 3:1 (WCAG 2.2, 1.4.3 and 1.4.11)."""

from __future__ import annotations

from typing import Final

from vectorize.spacing.records import Verdict

PAPER: Final = "#ffffff"
INK: Final = "#141414"
TEXT: Final = "#1f1f1f"
QUIET: Final = "#595959"
GUIDE: Final = "#1f6f8b"
OUTLINE: Final = "#b0200f"
LEADER: Final = "#767676"
EDGE: Final = "#c0550a"
MARK: Final = "#14365c"
PALE: Final = "#dcdcdc"

VERDICTS: Final[dict[Verdict | None, str]] = {
    Verdict.EVEN: "#2d6a4f",
    Verdict.WIDE: "#9a3b00",
    Verdict.TIGHT: "#5b2a86",
    None: QUIET,
}
