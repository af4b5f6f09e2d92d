"""Figures of how a drawn edge becomes a clean outline; lengths in x-heights unless said otherwise."""

from vectorize.trade.figure import COMMON_PRACTICE, MEASURED, Figure

GRAIN = Figure(
    0.010,
    "x-heights",
    reason="the grain of pencil on paper: finer roughness is no part of the letter; 2.5 times as much costs a seventh of the corners",
    source=MEASURED,
)
SPECK = Figure(
    0.06,
    "x-heights",
    reason="side of the smallest closed edge that is kept: the dot of an i is twice as wide, a fleck of the pencil half",
    source=MEASURED,
)
TREMOR_DEPTH = Figure(
    0.008,
    "x-heights",
    reason="a wave of the edge shallower than this is tremor, not shape: the width of a sharp pencil's line (.2 mm) at an "
    "x-height of 25 mm, and less than the overshoot of a round letter",
    source=COMMON_PRACTICE,
)
TREMOR_LENGTH = Figure(
    0.025,
    "x-heights",
    reason="a wave of the edge shorter than this is tremor: the smallest serif or spur is about twice as long",
    source=COMMON_PRACTICE,
)
STRAIGHT_BOW = Figure(
    0.006,
    "x-heights",
    reason="an edge between two corners bowed no further than this, and a little more the longer it is, was meant straight",
    source=MEASURED,
)
STRAIGHT_BOW_SLOPE = Figure(
    0.008,
    "x-heights per x-height",
    reason="a hand holds a long edge less straight than a short one",
    source=MEASURED,
)
STRAIGHT_SHORTEST = Figure(
    0.25,
    "x-heights",
    reason="the shortest straight part that is told from a curve where a corner bounds it at one end only",
    source=MEASURED,
)
STRAIGHT_FREE_SHORTEST = Figure(
    0.35,
    "x-heights",
    reason="the same with no corner at either end: the flat side of a round capital follows a line for .3 within a tremor, "
    "straight-sided bowls are straight for .4 and more",
    source=COMMON_PRACTICE,
)
CORNER_TURN = Figure(
    28.0,
    "deg",
    reason="an edge that turns less than this at one place is smooth; hardly one in fifty of such turns is a corner of the drawing",
    source=MEASURED,
)
EXTREME_TURN = Figure(
    9.0,
    "deg",
    reason="a curve that turns less than this to either side of its level or upright place has no extreme to mark",
    source=MEASURED,
)
EXTREME_DEPTH = Figure(
    0.001,
    "x-heights",
    reason="an extreme that stands out by less than a pencil's grain beyond the nearest node is not one",
    source=COMMON_PRACTICE,
)
INFLECTION_BOW = Figure(
    0.002,
    "x-heights",
    reason="a curve that bows by less beside a node is straight there: one unit of a thousand to the em where the x-height is half of "
    "it, by which rounding to whole units bends a curve",
    source=COMMON_PRACTICE,
)
HANDLE_LEAST = Figure(
    0.2,
    "share of the chord as seen along the handle",
    reason="a shorter handle makes the curve turn all at once; .55 draws a quarter of an ellipse, a third a flat arc",
    source=COMMON_PRACTICE,
)
HANDLE_MOST = Figure(
    0.7,
    "share of the chord",
    reason="a quarter turn's handles meet at .71 of the chord, and no handle may reach the place where both meet; "
    "of a thousand handles of traced open faces none asks for more",
    source=MEASURED,
)
PARALLEL_STEMS = Figure(
    1.0,
    "deg",
    reason="edges of an upright stem whose angles differ by less were meant parallel: a careful hand's differ by .7 in the median "
    "and by 1.3 in one of four; upright stems of open text faces do not taper",
    source=MEASURED,
)
PARALLEL_STROKES = Figure(
    0.6,
    "deg",
    reason="the same for bars and diagonals: designers taper the diagonals of k, x and R by up to 1.8 degrees, mostly by more than this",
    source=MEASURED,
)
PARALLEL_MOVE = Figure(
    0.006,
    "x-heights",
    reason="no end of an edge is moved further than this to make it parallel: less than the grain of the pencil",
    source=COMMON_PRACTICE,
)
STROKE_BROADEST = Figure(
    0.45,
    "x-heights",
    reason="edges further apart than the heaviest stems are broad do not bound one stroke",
    source=COMMON_PRACTICE,
)
