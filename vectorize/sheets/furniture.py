"""What every printed page has: its size, a rule to check the printer by, and a foot that says where it comes from."""

from __future__ import annotations

from typing import Final

from vectorize.sheets.drawing import Anchor, Item, Label, Strokes
from vectorize.sheets.palette import QUIET, TEXT
from vectorize.study import Study
from vectorize.trade.paper import SHEETS_MM
from vectorize.trade.sheets import PAGE_MARGIN_MM, RULE_LENGTH_MM, SMALL_TEXT_MM

LONGEST_NAME: Final = 48
"""Characters of a file's name that stand beside the measuring rule; of a longer one the middle is left out."""


def page_size(study: Study, word_width_u: float = 0.0) -> tuple[float, float]:
    """Width and height of the paper in the learner's printer: Letter where the drawing is on it, else A4; lying where the
    word needs it."""
    short, long = SHEETS_MM["Letter" if study.sheet_name == "Letter" else "A4"]
    wide = word_width_u * study.scale.mm_per_unit > short - 2.0 * PAGE_MARGIN_MM
    return (long, short) if wide else (short, long)


def measuring_rule(left: float, y: float) -> tuple[Item, ...]:
    """A rule of 100 mm with its centimetres, its line at height `y`."""
    length = float(RULE_LENGTH_MM)
    ticks = tuple(
        ((left + x, y), (left + x, y - (3.0 if x % 50 == 0 else 2.0)))
        for x in (10.0 * k for k in range(int(length // 10) + 1))
    )
    said = "100 mm on a ruler, or the printer has scaled the page"
    return (
        Strokes((((left, y), (left + length, y)), *ticks), TEXT, 0.2, id="rule-100-mm"),
        Label(said, (left, y - 4.0), float(SMALL_TEXT_MM), colour=QUIET),
    )


def foot(study: Study, width: float, height: float, page: str = "") -> tuple[Item, ...]:
    """The picture's name at the lower right, and the page."""
    margin = float(PAGE_MARGIN_MM)
    name = study.picture.file
    if len(name) > LONGEST_NAME:
        name = f"{name[:30]}…{name[-14:]}"
    text = f"{name}   {page}" if page else name
    return (Label(text, (width - margin, height - margin), float(SMALL_TEXT_MM), Anchor.END, colour=QUIET),)
