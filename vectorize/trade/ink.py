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
PENCIL_LINE_RATIO = Figure(
    0.10,
    "x-heights",
    reason="one drawn line is about a millimetre broad, half a tenth of a usual x-height of 18 to 26 mm; twice that is room"
    " for a blunt pencil",
    source=COMMON_PRACTICE,
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
MARK_HEIGHT_RATIO = Figure(
    0.62,
    "x-heights",
    reason="dots and accents are lower than this; the lowest letters are an x-height tall",
    source=COMMON_PRACTICE,
)
MARK_OVERLAP_SHARE = Figure(
    0.25,
    "share",
    reason="an accent may lean out over its letter's side, but a quarter of it stands above",
    source=MEASURED,
)
MARK_REACH_RATIO = Figure(
    0.35,
    "x-heights",
    reason="a dot of i or j may stray sideways by about a stem and a half",
    source=COMMON_PRACTICE,
)
BODY_OVERLAP_SHARE = Figure(
    0.45,
    "share",
    reason="arms reach over neighbours by up to about two fifths of the narrower letter (f, T, V A); parts that overlap"
    " more have fallen apart",
    source=MEASURED,
)
STRANGER_STROKE_SHARE = Figure(
    0.45,
    "share",
    reason="handwriting, arrows and measuring ticks are single pencil lines, less than half as broad as the word's strokes",
    source=COMMON_PRACTICE,
)
WORD_SPACE_RATIO = Figure(
    0.45,
    "x-heights",
    reason="a word space is about the width of an o less its side bearings; gaps between letters seldom pass .4",
    source="Johnston, Writing & Illuminating, & Lettering, 1906, p. 78 (word space = width of o)",
)
WORD_SPACE_TIMES = Figure(
    2.2,
    "times the usual gap",
    reason="letterspaced words have wide gaps too, but even ones",
    source=MEASURED,
)
LIKELY_MISFIT = Figure(
    1.5,
    "cost a letter",
    reason="how much less likely a told word may be than the likeliest reading without it: 95 of 100 right words stay below"
    " it, one in 100 other words of that length does",
    source=MEASURED,
)
DOUBTFUL_MISFIT = Figure(
    3.0,
    "cost a letter",
    reason="up to here a word is taken with a warning, for letters that touch need its help; all words of another length"
    " lie beyond it",
    source=MEASURED,
)
STRANGE_LETTER = Figure(
    3.5,
    "cost",
    reason="a letter that is this much likelier to be another one is told: nine of ten words with one wrong letter are"
    " noticed so, three of 100 right words are doubted",
    source=MEASURED,
)
CRACK_WIDTH_RATIO = Figure(
    0.06,
    "x-heights",
    reason="a scratch of the eraser or a fold is up to a millimetre wide; the gap under the dot of an i is twice that",
    source=COMMON_PRACTICE,
)
SMALL_SIGN_RATIO = Figure(
    0.32,
    "x-heights",
    reason="full stops and the heads of commas are no larger than a heavy stem; so are specks and the ends of stray lines",
    source=COMMON_PRACTICE,
)
SMALLEST_DOT_SHARE = Figure(
    0.55,
    "share",
    reason="a dot is about as wide as the stem beneath it; one half as wide is a speck (side of a square against the stroke)",
    source=COMMON_PRACTICE,
)
