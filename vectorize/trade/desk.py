"""How much the desk takes in and how long it waits."""

from __future__ import annotations

from typing import Final

from vectorize.trade.figure import COMMON_PRACTICE, Figure

UPLOAD_MB: Final = Figure(
    150,
    "MB",
    reason="an A4 scan at 600 dpi without compression is 100 MB, a 48 Mpx phone photograph 15; no sheet needs much more",
    source=COMMON_PRACTICE,
)
PICTURES_IN_A_CLASS: Final = Figure(
    500,
    "pictures",
    reason="a class hands in dozens; thousands are a job for the command line",
    source=COMMON_PRACTICE,
)
READING_SECONDS: Final = Figure(
    90,
    "s",
    reason="a 12 Mpx photograph takes a few seconds on a slow computer; thirty times that is a picture that never ends",
    source=COMMON_PRACTICE,
)
READING_MB: Final = Figure(
    4096,
    "MB",
    reason="ten times what a 12 Mpx photograph needs, half of what a learner's computer has",
    source=COMMON_PRACTICE,
)
SETTLE_SECONDS: Final = Figure(
    1.0,
    "s",
    reason="files are written when the hand has rested, not at each step of it",
    source=COMMON_PRACTICE,
)
