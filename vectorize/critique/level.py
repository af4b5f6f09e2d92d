"""A Study comes in; out goes whether the baseline is level on the sheet, the camera's tilt told apart."""

from __future__ import annotations

from vectorize.critique.words import degrees, ladder
from vectorize.findings import Finding, Severity
from vectorize.reading.records import GuideSource
from vectorize.study import Study
from vectorize.trade.critique import LEVEL_FIX_DEG, LEVEL_LOOK_DEG, LEVEL_NOTE_DEG

CHECK = "level"


def check(study: Study) -> tuple[Finding, ...]:
    """The baseline against the sheet; where no sheet is seen, only what the picture shows, as a note."""
    level = study.level
    if level.drawing_deg is None:
        return (_unknown(level.baseline_deg),)
    camera = level.camera_deg or 0.0
    tilt = abs(level.drawing_deg)
    severity = ladder(tilt, LEVEL_NOTE_DEG, LEVEL_LOOK_DEG, LEVEL_FIX_DEG)
    doubtful = level.source is GuideSource.INFERRED
    if doubtful and severity is Severity.FIX:
        severity = Severity.LOOK_AGAIN
    text = _text(level.drawing_deg, camera, severity, doubtful=doubtful)
    return (Finding(CHECK, (), round(level.drawing_deg, 2), float(LEVEL_NOTE_DEG), "deg", severity, text),)


def _unknown(baseline_deg: float) -> Finding:
    return Finding(
        CHECK,
        (),
        round(baseline_deg, 2),
        None,
        "deg",
        Severity.NOTE,
        f"The baseline stands at {degrees(baseline_deg)} in the picture, but no edge or ruling of the sheet is seen, "
        "so the camera cannot be told from the drawing. Photograph the whole sheet with its edges.",
    )


def _text(drawing: float, camera: float, severity: Severity, *, doubtful: bool) -> str:
    sheet = (
        "the sheet itself was level in the picture"
        if abs(camera) < LEVEL_NOTE_DEG
        else f"the picture turns the sheet by {degrees(camera)} besides, and that is the camera"
    )
    if severity is Severity.HOLDS:
        if doubtful:
            return f"No baseline is drawn, but the letters' feet run level on the sheet; {sheet}."
        return f"The baseline is level on the sheet; {sheet}."
    said = f"The baseline {'rises' if drawing > 0 else 'falls'} {degrees(drawing)} to the right; {sheet}"
    if abs(camera) < LEVEL_NOTE_DEG:
        said += ", so it is the drawing"
    if doubtful:
        return (
            f"{said}. No baseline is drawn and the reading is doubtful; rule one with a straight edge and look again."
        )
    return f"{said}. Rule it with a straight edge before the next draft."
