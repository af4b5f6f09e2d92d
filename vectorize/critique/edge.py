"""A Study comes in; out goes how steadily the edges of its letters run."""

from __future__ import annotations

from statistics import median

from vectorize.critique.words import about, called, ladder, together
from vectorize.findings import Finding, Severity
from vectorize.study import Study
from vectorize.trade.critique import RAGGED_NOTE, TREMOR_FIX, TREMOR_LOOK, TREMOR_NOTE

CHECK = "edge"


def check(study: Study) -> tuple[Finding, ...]:
    """Tremor of the drawn edge: of the whole word where most letters share it, else of each letter that has it."""
    # An edge that the fill left ragged does not show how the hand held its course; the check of the fill tells it.
    read = [
        (x, t)
        for x in study.letters
        if (t := x.anatomy.tremor_ratio) is not None and (x.anatomy.ragged_ratio or 0.0) < RAGGED_NOTE
    ]
    if not read:
        return ()
    limits = (float(TREMOR_NOTE), float(TREMOR_LOOK), float(TREMOR_FIX))
    off = [(x, t) for x, t in read if t >= TREMOR_NOTE]
    middle = median(t for _, t in read)
    if not off:
        text = "The edges run steadily; what trembles is less than a pencil point."
        return (about(CHECK, (), (middle, limits[0], "x-heights"), Severity.HOLDS, text),)
    if 2 * len(off) > len(read) and len(read) > 2:
        most = max(off, key=lambda o: o[1])[0]
        text = (
            f"the edges tremble all through the word, most in {called(most, study.letters)}. "
            "Turn the sheet so that the hand pulls each stroke, and draw the edge in one go."
        )
        figures = (middle, limits[0], "x-heights")
        return (about(CHECK, (), figures, ladder(middle, *limits), text),)
    found = []
    for x, t in off:
        text = (
            f"the edge of {called(x, study.letters)} trembles more than a pencil point. "
            "Turn the sheet so that the hand pulls the stroke, and draw that edge again in one go."
        )
        found.append(about(CHECK, (x,), (t, limits[0], "x-heights"), ladder(t, *limits), text))
    held = [x for x, t in read if t < TREMOR_NOTE]
    if not held:
        return tuple(found)
    text = f"the edges of {together(held, study.letters)} run steadily."
    return (
        about(CHECK, held, (median(t for x, t in read if x in held), limits[0], "x-heights"), Severity.HOLDS, text),
        *found,
    )
