"""Figures about guidelines and printed ruling."""

from vectorize.trade.figure import COMMON_PRACTICE, MEASURED, Figure

STEEPEST_DEG = Figure(
    12.0,
    "deg",
    reason="lines are looked for this near to level; a drawing that lies steeper is turned level first",
    source=COMMON_PRACTICE,
)
TURNED_LEAST_DEG = Figure(
    6.0, "deg", reason="a drawing that lies straighter than this is read as it lies", source=COMMON_PRACTICE
)
TURNED_MOST_DEG = Figure(
    42.0, "deg", reason="at 45 degrees nothing tells a sheet's width from its height", source=COMMON_PRACTICE
)
SHORTEST_RUN = Figure(
    0.18, "share of the width", reason="shorter straight marks are bars of letters and measuring ticks", source=MEASURED
)
LEAST_COVER = Figure(
    0.45, "share of a line's length", reason="a dashed line shows about six tenths of itself", source=COMMON_PRACTICE
)
BOWED = Figure(
    0.03,
    "x-heights",
    reason="a line bowed by more than round letters pass it makes flat feet look as if they floated or sank",
    source=COMMON_PRACTICE,
)
GREATEST_SAG = Figure(
    0.03,
    "share of the length",
    reason="a line bowed more than this, by hand, curl or lens, no longer looks like a line that was meant straight",
    source=COMMON_PRACTICE,
)
PRINTED_LINES = Figure(
    6.0, "lines", reason="nobody rules more than five guidelines for one word", source=COMMON_PRACTICE
)
WORKING_X_HEIGHT_PX = Figure(
    220.0, "px", reason="the outline's accuracy no longer grows above it, the time does", source=MEASURED
)
SMALLEST_X_HEIGHT_PX = Figure(
    60.0, "px", reason="below it the grain of the picture is coarser than a pencil's edge", source=MEASURED
)
MEAN_OF_CAP = Figure(
    0.7, "cap heights", reason="the x-height where capitals alone are drawn", source="ISO 3098-0:1997, c = 0.7 h"
)
OVERSHOOT = Figure(
    0.0208,
    "x-heights",
    reason="round letters pass the lines by an eighth of a unit, six units being the short letters' height",
    source="Claflin, Standard Lettering, 2nd ed. 1922, p. 23",
)
OFF_THE_BASELINE_DEG = Figure(
    2.5,
    "deg",
    reason="a line that stands steeper to the others was not ruled as a guideline of this word",
    source=COMMON_PRACTICE,
)
