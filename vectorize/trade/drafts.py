"""Figures for comparing drafts and for a class's wall."""

from vectorize.trade.figure import COMMON_PRACTICE, Figure

HARDLY = Figure(
    0.25,
    "of the limit",
    reason="two photographs of one drawing differ by less; a change that small is not worth a word",
    source=COMMON_PRACTICE,
)
NEW_NOTE = Figure(
    1.0,
    "of the limit",
    reason="a note that only one of two drafts has may be chance up to twice its limit: two careful drawings of one word "
    "differ by as much",
    source=COMMON_PRACTICE,
)
