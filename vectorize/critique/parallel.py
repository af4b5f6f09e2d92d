"""A Study comes in; out goes whether mean line and cap line run parallel to the baseline."""

from __future__ import annotations

import math

import numpy as np

from vectorize.critique.overshoot import known
from vectorize.critique.words import about, in_mm, ladder, percent
from vectorize.findings import Finding, Severity
from vectorize.geometry import box_around
from vectorize.study import GuideLine, Study
from vectorize.trade.critique import PARALLEL_DRIFT, PARALLEL_FIX_DEG, PARALLEL_LOOK_DEG, PARALLEL_NOTE_DEG

CHECK = "parallel"


def check(study: Study) -> tuple[Finding, ...]:
    """Each drawn line against the drawn baseline, in degrees and as drift over the word; inferred lines are not judged."""
    g = study.guides
    if not known(g.baseline):
        return ()
    named = (("mean line", g.mean_line), ("cap line", g.cap_line))
    drawn = [(name, line) for name, line in named if line and known(line)]
    found = [_finding(study, name, line) for name, line in drawn]
    off = tuple(f for f in found if f.severity is not Severity.HOLDS)
    if off or not found:
        return off
    worst = max(abs(f.measured or 0.0) for f in found)
    both = "The lines run" if len(found) > 1 else f"The {drawn[0][0]} runs"
    figures = (worst, float(PARALLEL_NOTE_DEG), "deg")
    return (about(CHECK, (), figures, Severity.HOLDS, f"{both} parallel to the baseline."),)


def _finding(study: Study, name: str, line: GuideLine) -> Finding:
    base, width = study.guides.baseline, study.letters[-1].outline.box_u.x1 - study.letters[0].outline.box_u.x0
    angle = _slope_deg(line) - _slope_deg(base)
    drift = width * math.tan(math.radians(angle)) / 1000.0
    severity = ladder(abs(angle), PARALLEL_NOTE_DEG, PARALLEL_LOOK_DEG, PARALLEL_FIX_DEG)
    if abs(drift) < PARALLEL_DRIFT:
        severity = Severity.HOLDS
    # Without the sheet's edges perspective may do the same.
    doubtful = study.level.drawing_deg is None
    if doubtful and severity is not Severity.HOLDS:
        severity = Severity.NOTE
    length = in_mm(study, drift) or f"{percent(drift)} of the x-height"
    way = "further from" if angle > 0 else "closer to"
    text = f"The {name} runs {way} the baseline towards the right: {abs(angle):.2f} degrees, {length} over the word. "
    text += (
        "The sheet's edges are not seen, so this is doubtful: the camera may have done it."
        if doubtful
        else "Measure the same height at both ends before ruling it."
    )
    place = box_around(np.array((*line.units, *base.units)))
    return about(CHECK, (), (angle, float(PARALLEL_NOTE_DEG), "deg"), severity, text, place)


def _slope_deg(line: GuideLine) -> float:
    (x0, y0), (x1, y1) = line.units
    return math.degrees(math.atan2(y1 - y0, x1 - x0))
