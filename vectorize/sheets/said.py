"""Pairs of a Study come in; out go the words and figures that every sheet says of them, all in the same way."""

from __future__ import annotations

from collections import Counter
from typing import Final

from vectorize.spacing.records import Pair, Verdict
from vectorize.study import Letter, Study

NONE: Final = "–"
"""Stands where nothing could be measured, or there is nothing to measure."""


def signed(value: float, decimals: int = 1) -> str:
    """A figure with a true minus (U+2212); one that is written as nothing has no sign."""
    text = f"{value:.{decimals}f}"
    return (text.removeprefix("-") if float(text) == 0.0 else text).replace("-", "−")


def looks(pair: Pair) -> str:
    """'wide', 'tight', 'even'; 'word space' for the space between two words."""
    return "word space" if pair.verdict is None else pair.verdict.value


def white_values(pair: Pair) -> tuple[str, str]:
    """The white as drawn and as corrected, in hundredths of the x-height."""
    return _hundredths(pair.white_ratio), _hundredths(pair.target_white_ratio)


def _hundredths(ratio: float | None) -> str:
    return NONE if ratio is None else f"{100.0 * ratio:.0f}"


def true_size_known(study: Study) -> bool:
    """Whether lengths in mm can be told."""
    return study.scale.source != "assumed"


def gap_unit(study: Study) -> str:
    """The unit of `gap_values`."""
    return "mm" if true_size_known(study) else "hundredths of the x-height"


def gap_values(study: Study, pair: Pair) -> tuple[str, str]:
    """The distance between the two letters as drawn and as corrected: mm to one decimal, or hundredths of the x-height."""
    return gap_text(study, pair.gap_ratio), gap_text(study, pair.target_ratio)


def gap_text(study: Study, ratio: float) -> str:
    """A length in the unit of `gap_unit`, with a true minus."""
    figure = signed(ratio * study.scale.x_height_mm) if true_size_known(study) else signed(100.0 * ratio, 0)
    return "0" if figure == "0.0" else figure


def drawn_sentence(study: Study) -> str:
    """How many spaces look even, wide and tight."""
    counts = Counter(p.verdict for p in study.setting.pairs if p.verdict is not None)
    total = sum(counts.values())
    if total == 0:
        return "There is no space to judge."
    if counts[Verdict.EVEN] == total:
        return "The one space has no other beside it." if total == 1 else f"All {total} spaces look even."
    parts = [f"{counts[v]} {v.value}" for v in (Verdict.EVEN, Verdict.WIDE, Verdict.TIGHT) if counts[v]]
    return f"Of {total} spaces, {' and '.join(', '.join(parts).rsplit(', ', 1))}."


def letter_name(letter: Letter) -> str:
    """The letter's name, or its number where the name is not known."""
    return letter.name or str(letter.index)


def between(study: Study, pair: Pair) -> str:
    """'n–t', or '2–3' where names are not known."""
    return f"{letter_name(study.letters[pair.left - 1])}–{letter_name(study.letters[pair.right - 1])}"
