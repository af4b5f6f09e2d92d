"""The limits of the critique: when a departure is worth a note, another look, or a new draft."""

from __future__ import annotations

from typing import Final

from vectorize.trade.figure import Figure

ONE_LOOK = "Heeley & Buchanan-Smith, Vision Research 30 (1990) 1429-1437: off-horizontal threshold 0.6 deg in one look"

LEVEL_NOTE_DEG: Final = Figure(
    0.3, "deg", reason="half of what one look sees: long lines are judged better than short ones", source=ONE_LOOK
)
LEVEL_LOOK_DEG: Final = Figure(0.6, "deg", reason="what one look sees of a tilt", source=ONE_LOOK)
LEVEL_FIX_DEG: Final = Figure(1.2, "deg", reason="twice what one look sees: nobody overlooks it", source=ONE_LOOK)
