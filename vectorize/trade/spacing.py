"""Figures of the area rule and of how an uneven space is told; lengths in x-heights."""

from vectorize.trade.figure import COMMON_PRACTICE, MEASURED, Figure

SHADOW_SLOPE = Figure(
    0.8,
    "x-heights per x-height",
    reason="white under an arm or inside an open counter belongs to the space only as far as it opens towards it; "
    "from .75 to 1 the agreement with type designers hardly changes",
    source=MEASURED,
)
DEEP_WHITE = Figure(
    0.55,
    "x-heights",
    reason="white further away than this from the edge of a letter no longer opens the space; .5 to .6 do as well",
    source=MEASURED,
)
NARROWNESS = Figure(
    -0.5,
    "power",
    reason="the eye takes a space by its narrow places more than by its wide ones; -.5 to -.56 do as well",
    source=MEASURED,
)
TOUCHING = Figure(
    0.02,
    "x-heights",
    reason="a channel narrower than a pencil line counts as closed; below it crowding grows in a straight line",
    source=MEASURED,
)
TALL_WHITE = Figure(
    0.4,
    "power of the height",
    reason="designers give capitals, 1.4 x-heights high, a common white of .36 where small letters have .31; found on half "
    "of 32 families, it halves the false findings on the first space of capitalised words in the other half",
    source=MEASURED,
)
SMALL_LETTER_TOP = Figure(
    1.15,
    "x-heights",
    reason="overshoot ends well below it and ascenders and capitals begin well above it",
    source="overshoot of at most 5 per cent: Karow, Digital Formats for Typefaces, p. 26 (quoted second-hand)",
)
EVEN_WITHIN = Figure(
    0.05,
    "x-heights",
    reason="twice the .027 by which type designers differ from each other over the same pair",
    source=MEASURED,
)
LOOK_AGAIN_BEYOND = Figure(
    0.08,
    "x-heights",
    reason="three times what designers differ by: few of them would leave it",
    source=MEASURED,
)
FIX_BEYOND = Figure(
    0.12,
    "x-heights",
    reason="about half of the space between two straight stems: no designer's own gap is that far off",
    source=MEASURED,
)
STRAIGHT_SHARE = Figure(
    0.5,
    "share of the height",
    reason="an edge that is upright and straight for half of its height is read as a stem, whatever its ends do",
    source=COMMON_PRACTICE,
)
FACING_DEPTH = Figure(
    0.15,
    "x-heights",
    reason="about a stem's thickness: what lies deeper is behind the edge and does not face the space",
    source=COMMON_PRACTICE,
)
CURVE_SHARE = Figure(
    0.3,
    "share of the height",
    reason="a bowl fills at least a third of the height; arms, feet and terminals fill less",
    source=COMMON_PRACTICE,
)
UPRIGHT_WITHIN = Figure(
    7.0,
    "deg",
    reason="a stem drawn by hand leans a few degrees at most, the steepest diagonals (of W and M) begin at about nine",
    source=COMMON_PRACTICE,
)
STRAIGHT_WITHIN = Figure(
    0.02,
    "x-heights",
    reason="a tremor of the pencil; a bowl bulges more than this over half of its height",
    source=COMMON_PRACTICE,
)
SPLITS_FROM = Figure(
    1.4,
    "of the common white",
    reason="across a distance 1.4 times as wide, dots in a lattice are grouped about a third as often (odds fall as "
    "exp(-2.9 (ratio - 1))); that a word parts there as well is common practice",
    source="Kubovy & Wagemans, Psychological Science 6:225-234, 1995; the slope is quoted from memory",
)
TIGHT_BELOW = Figure(
    0.40,
    "of the counters' mean width",
    reason="95 per cent of the words set by designers from 32 families lie above .43",
    source=MEASURED,
)
OPEN_ABOVE = Figure(
    1.15,
    "of the counters' mean width",
    reason="95 per cent of the words set by designers from 32 families lie below 1.05",
    source=MEASURED,
)
TIGHT_BELOW_STEM = Figure(
    0.8,
    "stems",
    reason="where no letter has a counter: a space narrower than the stems beside it turns the word into one dark mass",
    source=COMMON_PRACTICE,
)
OPEN_ABOVE_STEM = Figure(
    4.0,
    "stems",
    reason="where no letter has a counter: letters four stems apart stand alone",
    source=COMMON_PRACTICE,
)
WORD_SPACE_OF_O = Figure(
    1.0,
    "widths of an o",
    reason="the width of an o between words",
    source="Johnston, Writing & Illuminating, & Lettering, 1906, p. 78",
)
WORD_SPACE_NARROW = Figure(
    0.6,
    "widths of an o",
    reason="open fonts leave .70 to .95; below .6 the words run together",
    source=MEASURED,
)
WORD_SPACE_WIDE = Figure(
    1.5,
    "widths of an o",
    reason="half as wide again as the trade's o: the line falls apart into words",
    source=COMMON_PRACTICE,
)
SERIF_REACH = Figure(
    0.03,
    "x-heights",
    reason="a serif stands out from its stem by a third of the stem or more; a tremor does not",
    source=COMMON_PRACTICE,
)
