"""Figures for true size where neither the sheet nor the file tells it."""

from vectorize.trade.figure import COMMON_PRACTICE, Figure

ASSUMED_X_HEIGHT_MM = Figure(
    25.0,
    "mm",
    reason="a word of some six letters then fills the width of a sheet held upright, which is how class drawings are set out",
    source=COMMON_PRACTICE,
)
GIVEN_WITHIN = Figure(
    0.04,
    "share",
    reason="a ruler held to a drawing of 18 mm is read to half a millimetre; the sheet itself tells it to half a per cent",
    source=COMMON_PRACTICE,
)
