"""The limits of the critique: when a departure is worth a note, another look, or a new draft.

For most checks three figures stand in a row: note, look again, fix.
"""

from __future__ import annotations

from typing import Final

from vectorize.trade.figure import COMMON_PRACTICE, MEASURED, Figure

ONE_LOOK = "Heeley & Buchanan-Smith, Vision Research 30 (1990) 1429-1437: threshold of tilt .6 deg in one look"
LONG_LINES = "Orban et al., Vision Research 24 (1984) 121-128: tilt is seen better the longer the line"
PARALLELS = "Vision Research 154 (2019) 97-104: parallel pairs have the lowest thresholds of all; no figure printed"
GAPS = "Weber fraction of gaps 2 to 5 per cent: Levi & Klein, Burbeck, Whitaker & Latham; from memory"
AREAS = "Weber fraction of areas 3 to 6 per cent: Morgan 2005, Nachmias 2011; from memory"
WEIGHTS = "OpenType 1.9, OS/2 usWeightClass: 400 normal (Regular), 500 medium"
CLAFLIN = "Claflin, Standard Lettering, 2nd ed. 1922, p. 23"
STEADY_HAND = "a careful hand's own scatter (edge tremor of .006 x-heights), " + MEASURED

LEVEL_NOTE_DEG: Final = Figure(
    0.3, "deg", reason="half of what one look sees: long lines are judged better", source=ONE_LOOK
)
LEVEL_LOOK_DEG: Final = Figure(0.6, "deg", reason="what one look sees of a tilt", source=ONE_LOOK)
LEVEL_FIX_DEG: Final = Figure(1.2, "deg", reason="twice what one look sees: nobody overlooks it", source=ONE_LOOK)

PARALLEL_NOTE_DEG: Final = Figure(0.15, "deg", reason="half of the limit for a single line", source=PARALLELS)
PARALLEL_LOOK_DEG: Final = Figure(0.3, "deg", reason="half of the limit for a single line", source=PARALLELS)
PARALLEL_FIX_DEG: Final = Figure(0.6, "deg", reason="half of the limit for a single line", source=PARALLELS)
PARALLEL_DRIFT: Final = Figure(
    0.015,
    "x-heights",
    reason="below it the drift over the word is a pencil line's own thickness",
    source=COMMON_PRACTICE,
)

UPRIGHT_NOTE_DEG: Final = Figure(
    1.3, "deg", reason="twice what one look sees, and twice what a careful hand scatters by", source=ONE_LOOK
)
UPRIGHT_LOOK_DEG: Final = Figure(2.2, "deg", reason="beyond what a careful hand ever scatters by", source=STEADY_HAND)
UPRIGHT_FIX_DEG: Final = Figure(4.0, "deg", reason="seen across a room", source=COMMON_PRACTICE)
UPRIGHT_LENGTH: Final = Figure(
    1.5, "x-heights", reason="both edges of one stem; with less the limits widen with its root", source=LONG_LINES
)
UPRIGHT_ALONE: Final = Figure(
    1.5,
    "times the limit",
    reason="one stem of two has half of the letter's straight edge, and there are twice as many to scatter",
    source=STEADY_HAND,
)
LEAN_TOLD: Final = Figure(
    0.9,
    "x-heights",
    reason="with less straight edge, both sides of the stems together, tremor alone turns them by more than a degree",
    source=STEADY_HAND,
)
WORD_UPRIGHT_NOTE_DEG: Final = Figure(
    0.9, "deg", reason="many stems together: little more than one look", source=ONE_LOOK
)
WORD_UPRIGHT_LOOK_DEG: Final = Figure(1.5, "deg", reason="nearly three times what one look sees", source=ONE_LOOK)
WORD_UPRIGHT_FIX_DEG: Final = Figure(3.0, "deg", reason="five times what one look sees", source=ONE_LOOK)
SLOPED_DEG: Final = Figure(
    5.0, "deg", reason="half of the slope of most italics: from here a slope is meant", source=COMMON_PRACTICE
)

OVERSHOOT: Final = Figure(
    0.021, "x-heights", reason="1/8 of a unit where small letters are 6 units high", source=CLAFLIN
)
OVERSHOOT_MOST: Final = Figure(
    0.035, "x-heights", reason="the most that round letters pass their lines by in 62 open text faces", source=MEASURED
)
POINT_OVERSHOOT_MOST: Final = Figure(
    0.08,
    "x-heights",
    reason="points pass further than curves: 5 per cent of the cap height, more in faces with sharp points",
    source="Karow, Digital Formats for Typefaces, p. 26 (quoted second-hand); " + MEASURED,
)
SEAT_NOTE: Final = Figure(
    0.025, "x-heights", reason="half a millimetre at a 20 mm x-height: the eye finds it", source=GAPS
)
SEAT_LOOK: Final = Figure(0.045, "x-heights", reason="more than overshoot ever is", source=CLAFLIN)
SEAT_FIX: Final = Figure(0.09, "x-heights", reason="half a stem: the letter dances", source=COMMON_PRACTICE)

SIZE_NOTE: Final = Figure(0.035, "x-heights", reason="what the eye sees of a length side by side", source=GAPS)
SIZE_LOOK: Final = Figure(0.06, "x-heights", reason="beyond the eye's threshold and any overshoot", source=GAPS)
SIZE_FIX: Final = Figure(
    0.12, "x-heights", reason="two thirds of a stem: another size of letter", source=COMMON_PRACTICE
)

WEIGHT_NOTE: Final = Figure(
    0.08, "of the stem", reason="three times what a careful hand scatters by", source=STEADY_HAND
)
WEIGHT_LOOK: Final = Figure(
    0.12, "of the stem", reason="a stem an eighth heavier reads as another weight", source=COMMON_PRACTICE
)
WEIGHT_FIX: Final = Figure(
    0.24, "of the stem", reason="one class of weight to the next in type", source=COMMON_PRACTICE
)
CURVE_NOTE: Final = Figure(
    0.11, "of the stroke", reason="curved strokes scatter half as much again as stems", source=STEADY_HAND
)
CURVE_LOOK: Final = Figure(0.16, "of the stroke", reason="half as much again as for stems", source=STEADY_HAND)
CURVE_FIX: Final = Figure(0.3, "of the stroke", reason="half as much again as for stems", source=STEADY_HAND)
CURVE_LIGHTEST: Final = Figure(
    0.95, "of the stem", reason="curved strokes thinner than stems look starved; Claflin draws 1.125", source=CLAFLIN
)
CURVE_HEAVIEST: Final = Figure(
    1.35, "of the stem", reason="the most in 62 open text faces is 1.22 to 1.28", source=MEASURED
)

THIN_NOTE: Final = Figure(0.02, "x-heights", reason="four times what a careful hand scatters by", source=STEADY_HAND)
THIN_LOOK: Final = Figure(0.03, "x-heights", reason="a sixth of a stem", source=COMMON_PRACTICE)
THIN_FIX: Final = Figure(0.06, "x-heights", reason="a third of a stem", source=COMMON_PRACTICE)
THIN_SHARE: Final = Figure(
    0.15,
    "of the thin stroke",
    reason="open text faces differ by up to a seventh between their own letters",
    source=MEASURED,
)

SWELL_NOTE: Final = Figure(
    0.035,
    "x-heights",
    reason="stems of a careful hand part by .03 at most between head and foot from what the word's stems do",
    source=STEADY_HAND,
)
SWELL_LOOK: Final = Figure(0.05, "x-heights", reason="a quarter of a stem", source=COMMON_PRACTICE)
SWELL_FIX: Final = Figure(0.09, "x-heights", reason="half a stem", source=COMMON_PRACTICE)

COUNTER_NOTE: Final = Figure(0.09, "of the area", reason="beyond what the eye sees of areas side by side", source=AREAS)
COUNTER_LOOK: Final = Figure(0.15, "of the area", reason="three times the eye's threshold", source=AREAS)
COUNTER_FIX: Final = Figure(0.3, "of the area", reason="six times the eye's threshold", source=AREAS)
COUNTER_SHAPE_NOTE: Final = Figure(
    0.12,
    "of the width",
    reason="three times what open text faces and a careful hand differ by between b, d, p and q",
    source=MEASURED,
)
COUNTER_SHAPE_LOOK: Final = Figure(0.18, "of the width", reason="half as much again", source=COMMON_PRACTICE)
COUNTER_SHAPE_FIX: Final = Figure(0.3, "of the width", reason="a round counter turned oval", source=COMMON_PRACTICE)
COUNTER_TREMOR: Final = Figure(
    0.04,
    "x-heights",
    reason="a steady hand's area scatters by .012 times its root; three times that",
    source=STEADY_HAND,
)
ROUND_COUNTER: Final = Figure(
    1.05,
    "of the bowl's area",
    reason="the o is a little wider than the bowls: 1.03 to 1.09 in open text faces",
    source=MEASURED,
)

TWIN_NOTE: Final = Figure(
    0.035, "x-heights", reason="three times what a careful hand's twins differ by", source=STEADY_HAND
)
TWIN_LOOK: Final = Figure(
    0.055, "x-heights", reason="five times what a careful hand's twins differ by", source=STEADY_HAND
)
TWIN_FIX: Final = Figure(0.11, "x-heights", reason="about half a stem: another letter", source=COMMON_PRACTICE)
SHAPE_NOTE: Final = Figure(
    0.04, "x-heights", reason="edges of a careful hand's twins part by .03 at most", source=STEADY_HAND
)
SHAPE_LOOK: Final = Figure(0.06, "x-heights", reason="twice what a careful hand's twins part by", source=STEADY_HAND)
SHAPE_FIX: Final = Figure(0.12, "x-heights", reason="two thirds of a stem", source=COMMON_PRACTICE)
SAME_SHAPE: Final = Figure(
    0.045,
    "x-heights",
    reason="rms distance of the edges: twins of a steady hand have .01, different letters of one face .06 and more",
    source=MEASURED,
)
KIN_NOTE: Final = Figure(0.04, "x-heights", reason="open text faces and a steady hand stay within .03", source=MEASURED)
KIN_LOOK: Final = Figure(0.06, "x-heights", reason="twice that", source=MEASURED)
KIN_FIX: Final = Figure(0.12, "x-heights", reason="two thirds of a stem", source=COMMON_PRACTICE)

FILL_NOTE: Final = Figure(
    0.16, "of the black", reason="a careful pencil fill varies by .1 to .13 beyond the paper's grain", source=MEASURED
)
FILL_LOOK: Final = Figure(
    0.22, "of the black", reason="twice a careful fill: blotches show across a table", source=MEASURED
)
FILL_FIX: Final = Figure(0.35, "of the black", reason="hatching rather than a fill", source=MEASURED)
TONE_NOTE: Final = Figure(
    0.15,
    "of the black",
    reason="ten times what the eye tells apart side by side; letters stand apart",
    source="Weber, textbook",
)
TONE_LOOK: Final = Figure(0.22, "of the black", reason="a letter of another grey", source=COMMON_PRACTICE)
TONE_FIX: Final = Figure(0.35, "of the black", reason="a third lighter or darker", source=COMMON_PRACTICE)
CAREFUL_FILL: Final = Figure(
    0.11,
    "of the black",
    reason="a careful fill's own unevenness; in a blotchier word tones are told less sharply",
    source=MEASURED,
)
FLECK_NOTE: Final = Figure(0.03, "of the fill", reason="paper grain leaves less", source=MEASURED)
FLECK_LOOK: Final = Figure(0.08, "of the fill", reason="a visible hole in each stroke", source=COMMON_PRACTICE)
FLECK_FIX: Final = Figure(0.2, "of the fill", reason="the letter is not coloured in", source=COMMON_PRACTICE)

RAGGED_NOTE: Final = Figure(
    0.0005,
    "x-heights",
    reason="more than twice a clean edge in a picture, .0002; strokes then run over it by a fifth of a millimetre",
    source=MEASURED,
)
RAGGED_LOOK: Final = Figure(0.0008, "x-heights", reason="four times a clean edge", source=MEASURED)
RAGGED_FIX: Final = Figure(0.0012, "x-heights", reason="six times a clean edge", source=MEASURED)

TREMOR_NOTE: Final = Figure(
    0.002, "x-heights", reason="twice a steady hand's edge in a picture, .0010", source=STEADY_HAND
)
TREMOR_LOOK: Final = Figure(0.0028, "x-heights", reason="nearly three times a steady hand's edge", source=STEADY_HAND)
TREMOR_FIX: Final = Figure(0.0045, "x-heights", reason="four times a steady hand's edge and more", source=STEADY_HAND)

MODEL_SHAPE: Final = Figure(
    0.05,
    "x-heights",
    reason="a careful hand's edge parts from the letter it follows by .03 at most",
    source=STEADY_HAND,
)
MODEL_WIDTH: Final = Figure(0.06, "x-heights", reason="a careful hand keeps widths within .03", source=STEADY_HAND)
MODEL_STROKE: Final = Figure(
    0.12, "of the stem", reason="an eighth heavier or lighter reads as another weight", source=COMMON_PRACTICE
)
MODEL_COUNTER: Final = Figure(0.14, "of the area", reason="three times the eye's threshold for areas", source=AREAS)
MODEL_LEAN_DEG: Final = Figure(1.8, "deg", reason="three times what one look sees", source=ONE_LOOK)
MODEL_OTHER_WORD: Final = Figure(
    0.25,
    "x-heights",
    reason="half of the letters of another word depart by .37 or more, those of a poor drawing of the same word by .11",
    source=MEASURED,
)
MODEL_LIGHTEST: Final = Figure(
    350.0,
    "weight",
    reason="a model's default below Regular, 400, is told: it is lighter than texts are",
    source=WEIGHTS,
)
MODEL_HEAVIEST: Final = Figure(
    550.0, "weight", reason="a model's default above Medium, 500, is told: it is heavier than texts are", source=WEIGHTS
)
MODEL_OTHER_WEIGHT: Final = Figure(
    0.5,
    "of the stem",
    reason="half as heavy again is two classes of weight: widths, counters and edges then differ of themselves",
    source=COMMON_PRACTICE,
)
