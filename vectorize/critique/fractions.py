"""A ratio of two whites comes in; out goes how a person would say it: 'a third wider', 'half as wide'."""

from __future__ import annotations

from typing import Final

WIDER: Final = (
    (0.03, "a touch wider"),
    (0.10, "a tenth wider"),
    (0.20, "a fifth wider"),
    (0.25, "a quarter wider"),
    (0.33, "a third wider"),
    (0.50, "half as wide again"),
    (0.67, "two thirds wider"),
    (1.00, "twice as wide"),
    (1.50, "two and a half times as wide"),
    (2.00, "three times as wide"),
    (3.00, "four times as wide"),
    (4.00, "many times as wide"),
)
NARROWER: Final = (
    (0.03, "a touch narrower"),
    (0.10, "a tenth narrower"),
    (0.20, "a fifth narrower"),
    (0.25, "a quarter narrower"),
    (0.33, "a third narrower"),
    (0.50, "half as wide"),
    (0.67, "a third as wide"),
    (0.75, "a quarter as wide"),
    (1.00, "almost closed"),
)


def compared(ratio: float, other: str = "the others") -> str:
    """'a third wider than the others', 'twice as wide as the others', 'almost closed beside the others'.

    ratio: one white as a multiple of the other.
    """
    table = WIDER if ratio >= 1.0 else NARROWER
    said = min(table, key=lambda row: abs(row[0] - abs(ratio - 1.0)))[1]
    if said.endswith(("wider", "narrower")):
        return f"{said} than {other}"
    return f"{said} beside {other}" if said.endswith("closed") else f"{said} as {other}"
