"""A Study and its findings come in; out goes measures.json: every figure, UTF-8, null for what is unknown.

`write/schema.py` says what each key means. Ratios are fractions of the x-height.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any, Final

from vectorize import __version__
from vectorize.brief import Brief
from vectorize.corrections import NO_CORRECTIONS, Corrections, to_json
from vectorize.findings import Finding
from vectorize.geometry import Point
from vectorize.spacing.records import Pair
from vectorize.study import GuideLine, Letter, Level, Study

SCHEMA_VERSION: Final = 1

GIVEN: Final = "given"
"""Source of a line that was set by hand."""

Json = dict[str, Any]


def measures_bytes(study: Study, findings: Iterable[Finding]) -> bytes:
    """The measures as a JSON file; the same study gives the same bytes."""
    return (json.dumps(measures(study, findings), ensure_ascii=False, allow_nan=False, indent=1) + "\n").encode()


def measures(study: Study, findings: Iterable[Finding]) -> Json:
    """The measures as plain values."""
    p, s = study.picture, study.scale
    return {
        "schema_version": SCHEMA_VERSION,
        "picture": {"file": p.file, "width_px": p.width_px, "height_px": p.height_px},
        "made_from": made_from(p.digest, study.brief),
        "given": _given(study.brief.corrections),
        "word": study.brief.word,
        "letterspacing_percent": _figure(study.brief.letterspacing_percent),
        "sheet": study.sheet_name,
        "scale": {
            "mm_per_px": _figure(s.mm_per_px, 9),
            "x_height_mm": _figure(s.x_height_mm),
            "source": s.source,
            "x_height_source": s.x_height_source,
        },
        "level": _level(study.level),
        "guides": {
            name: _guide(getattr(study.guides, name))
            for name in ("baseline", "mean_line", "cap_line", "ascender_line", "descender_line")
        },
        "letters": [_letter(x) for x in study.letters],
        "pairs": [_pair(x) for x in study.setting.pairs],
        "median_white_ratio": [_figure(v) for v in study.setting.median_white_ratio],
        "findings": [_finding(f) for f in findings],
    }


def made_from(picture_digest: str, brief: Brief) -> dict[str, str]:
    """What a result depends on: the picture's bytes, the options and this program's version."""
    return {"picture_sha256": picture_digest, "options_sha256": brief.digest, "version": __version__}


def _given(corrections: Corrections) -> Json | None:
    """What was set right by hand, in picture px; None where nothing was."""
    return None if corrections == NO_CORRECTIONS else to_json(corrections)


def _figure(value: float | None, decimals: int = 6) -> float | None:
    """The value rounded; None for what is unknown or not a number."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), decimals) + 0.0


def _level(level: Level) -> Json:
    return {
        "baseline_deg": _figure(level.baseline_deg),
        "mean_line_deg": _figure(level.mean_line_deg),
        "cap_line_deg": _figure(level.cap_line_deg),
        "camera_deg": _figure(level.camera_deg),
        "drawing_deg": _figure(level.drawing_deg),
        "source": _source(level.source),
        "by_hand": level.source == GIVEN,
    }


def _source(source: str) -> str:
    """A line that was set by hand stands for the one drawn on the sheet."""
    return "inferred" if source == "inferred" else "drawn"


def _guide(line: GuideLine | None) -> Json | None:
    if line is None:
        return None
    ends = [_point(p) for p in line.px]
    return {"source": _source(line.source), "px": ends, "by_hand": line.source == GIVEN}


def _point(p: Point) -> list[float | None]:
    return [_figure(p[0], 3), _figure(p[1], 3)]


def _letter(letter: Letter) -> Json:
    a, o = letter.anatomy, letter.outline
    box = a.body_u
    return {
        "index": letter.index,
        "letter": letter.name,
        "word": letter.word + 1,
        "box_px": [_figure(v, 3) for v in letter.box_px],
        "width_ratio": _figure(o.box_u.width / 1000.0),
        "foot_ratio": _figure((box or o.box_u).y0 / 1000.0),
        "head_ratio": _figure((box or o.box_u).y1 / 1000.0),
        "stem_deg": _figure(a.stem_deg, 4),
        "stem_ratio": _figure(a.stem_ratio),
        "thin_ratio": _figure(a.thin_ratio),
        "thick_ratio": _figure(a.thick_ratio),
        "curve_ratio": _figure(a.curve_ratio),
        "stems": [{"lean_deg": _figure(s.lean_deg, 4), "width_ratio": _figure(s.width_ratio)} for s in a.stems],
        "counters": [{"area_ratio": _figure(c.area_ratio)} for c in a.counters],
        "fill_evenness": _figure(a.fill_evenness, 4),
        "darkness": _figure(a.darkness, 4),
        "fleck_ratio": _figure(a.fleck_ratio, 4),
        "tremor_ratio": _figure(a.tremor_ratio),
        "nodes": o.node_count,
        "fit_error_ratio": _figure(o.fit_error_u / 1000.0),
    }


def _pair(pair: Pair) -> Json:
    return {
        "left": pair.left,
        "right": pair.right,
        "kind": pair.kind.value,
        "gap_ratio": _figure(pair.gap_ratio),
        "target_ratio": _figure(pair.target_ratio),
        "move_ratio": _figure(pair.move_ratio),
        "nearest_ratio": _figure(pair.nearest_ratio),
        "white_ratio": _figure(pair.white_ratio),
        "target_white_ratio": _figure(pair.target_white_ratio),
        "excess_ratio": _figure(pair.excess_ratio),
        "verdict": None if pair.verdict is None else pair.verdict.value,
    }


def _finding(f: Finding) -> Json:
    return {
        "check": f.check,
        "letters": list(f.letters),
        "measured": _figure(f.measured),
        "limit": _figure(f.limit),
        "unit": f.unit,
        "severity": f.severity.value,
        "text": f.text,
        "place_ratio": None if f.place_u is None else [_figure(v / 1000.0) for v in f.place_u],
    }
