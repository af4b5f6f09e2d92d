"""Figures for paper to draw on: sizes of sheets, proportions of lines, how light they are."""

from vectorize.trade import lines, picture
from vectorize.trade.figure import COMMON_PRACTICE, Figure

SHEETS_MM = {
    name: (float(short), float(long))
    for name, (short, long) in ((n, picture.SHEET_SIZES_MM[n]) for n in ("A3", "A4", "A5", "Letter"))
}
"""Width and height, upright, of the sheets that paper is made for."""

_ISO_3098 = "ISO 3098-0:1997, lettering type B, as tabled in NF EN ISO 3098-0"

CAP_OF_X_HEIGHT = Figure(
    1.0 / lines.MEAN_OF_CAP,
    "x-heights",
    reason="small letters are .7 of the height h of capitals (c = 0.7 h)",
    source=_ISO_3098,
)
PITCH_OF_CAP = Figure(
    1.5, "cap heights", reason="from baseline to baseline, for capitals and small letters (b = 1.5 h)", source=_ISO_3098
)
DESCENDER_OF_CAP = Figure(
    0.3,
    "cap heights",
    reason="tails as long as ascenders rise above the small letters, h - c",
    source="common practice; ISO 3098 draws its tails so, quoted from memory",
)
MARGIN_MM = Figure(15.0, "mm", reason="printers leave 5 mm; a hand needs a little more", source=COMMON_PRACTICE)
LINE_MM = Figure(
    0.18, "mm", reason="the thinnest pen of ISO 128; seen while drawing, hardly in the photograph", source="ISO 128"
)
BASELINE_MM = Figure(
    0.25, "mm", reason="the next pen of ISO 128: the baseline is the line to stand on", source="ISO 128"
)
SLANT_STEP = Figure(
    1.0, "x-heights", reason="near enough to lean a stem by, far enough not to be a grid", source=COMMON_PRACTICE
)
CHECK_RULE_MM = Figure(100.0, "mm", reason="long enough to see half a per cent on a ruler", source=COMMON_PRACTICE)
USUAL_X_HEIGHT_MM = Figure(
    20.0, "mm", reason="a word of six letters then fills the width of an upright A4 sheet", source=COMMON_PRACTICE
)
