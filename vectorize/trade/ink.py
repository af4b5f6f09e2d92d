"""Figures for telling letters from everything else that is dark on a sheet."""

from __future__ import annotations

from vectorize.trade.figure import COMMON_PRACTICE, MEASURED, Figure

COLOURED_LETTERS_CHROMA = Figure(
    0.62,
    "share",
    reason="graphite and black ink darken all colours alike; a pencil whose weakest channel falls below this share of its"
    " strongest is a coloured one, warm lamp light included",
    source=MEASURED,
)
FULL_DARKNESS_SHARE = Figure(
    0.4,
    "share",
    reason="a spot four tenths as dark as its surroundings in the letter is meant black: pencil fill is blotchy, and its"
    " light blotches are seldom lighter; at .3 smudges begin to count",
    source=MEASURED,
)
GHOST_SHARE = Figure(
    0.42,
    "share",
    reason="what is lighter than this share of the word's darkness is a smudge or the ghost of an erased drawing",
    source=MEASURED,
)
SMALLEST_DOT_RATIO = Figure(
    0.055,
    "x-heights",
    reason="a dot is as wide as a stem, and a hairline stem is .06 of the x-height; specks are smaller (side of a square)",
    source=MEASURED,
)
SMALLEST_COUNTER_RATIO = Figure(
    0.05,
    "x-heights",
    reason="counters are wider than this even in heavy letters; smaller holes are flecks of paper in the fill"
    " (side of a square)",
    source=MEASURED,
)
LINE_ZONE_MARGIN_RATIO = Figure(
    0.010,
    "x-heights",
    reason="a drawn line's edge trembles and blurs by about this much beyond its own width",
    source=MEASURED,
)
HOLLOW_WIDTH_SHARE = Figure(
    0.95,
    "share",
    reason="the hollow of an unfilled stroke is narrower than a filled stem of the same word by the pencil's two lines",
    source=COMMON_PRACTICE,
)
PENCIL_LINE_SHARE = Figure(
    0.55,
    "share",
    reason="a wall thinner than about half a stem is an outline not yet filled in, or a hairline",
    source=MEASURED,
)
HAIRLINE_STEM_RATIO = Figure(
    0.09,
    "x-heights",
    reason="where every stroke is thinner than this the letters are hairlines or outlines; one drawn pencil line is about"
    " .04 to .06 of a usual x-height",
    source=MEASURED,
)
WASH_SHARE = Figure(
    0.07,
    "share",
    reason="a hollow that is greyer than the paper by this share of the letters' darkness has seen the pencil: a counter"
    " has not",
    source=MEASURED,
)
