"""Nothing comes in; out goes the JSON Schema (2020-12) of measures.json, with what each figure means."""

from __future__ import annotations

import json
from typing import Any, Final

from vectorize.write.measures import SCHEMA_VERSION

Json = dict[str, Any]

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def schema_text() -> str:
    """The schema as indented JSON."""
    return json.dumps(schema(), ensure_ascii=False, indent=2)


def schema() -> Json:
    """The schema; further keys are allowed everywhere, so that readers need not change when a figure is added."""
    return {
        "$schema": DIALECT,
        "title": "measures.json",
        "description": (
            "Every figure of one drawing. Ratios are fractions of the x-height, angles are degrees: positive when the "
            "right end is higher (lines), when the top leans right (stems). null is what is unknown."
        ),
        **_record(
            {
                "schema_version": {"const": SCHEMA_VERSION},
                "picture": _record(
                    {"file": _text("name of the file"), "width_px": _COUNT, "height_px": _COUNT},
                    "the picture, turned upright as its EXIF tag says",
                ),
                "made_from": _record(
                    {"picture_sha256": _text(), "options_sha256": _text(), "version": _text()},
                    "what the result depends on: the same three give the same files",
                ),
                "given": {"type": ["object", "null"], "description": "what was set right by hand, in picture px"},
                "word": _maybe(_text("the word that was told")),
                "letterspacing_percent": _maybe(_number("added to every gap, per cent of the x-height")),
                "sheet": _maybe(_text("A4, Letter ... where the whole sheet is seen")),
                "scale": _scale(),
                "level": _level(),
                "guides": _guides(),
                "letters": _list(_letter()),
                "pairs": _list(_pair()),
                "median_white_ratio": _list(_maybe(_number("the white that the gaps of each word are judged by"))),
                "findings": _list(_finding()),
            }
        ),
    }


_COUNT: Final[Json] = {"type": "integer", "minimum": 1}


def _text(meaning: str = "") -> Json:
    return {"type": "string", "description": meaning} if meaning else {"type": "string"}


def _number(meaning: str, **limits: float) -> Json:
    return {"type": "number", "description": meaning, **limits}


def _maybe(value: Json) -> Json:
    if "enum" in value:
        return {**value, "enum": [*value["enum"], None]}
    return {**value, "type": [value["type"], "null"]}


def _words(*words: str) -> Json:
    return {"enum": list(words)}


def _list(items: Json) -> Json:
    return {"type": "array", "items": items}


def _tuple(items: Json, size: int, meaning: str) -> Json:
    return {"type": "array", "items": items, "minItems": size, "maxItems": size, "description": meaning}


def _record(properties: Json, meaning: str = "") -> Json:
    said = {"description": meaning} if meaning else {}
    return {"type": "object", **said, "properties": properties, "required": list(properties)}


def _scale() -> Json:
    return _record(
        {
            "mm_per_px": _number("true length of a pixel of the upright picture, at the word", exclusiveMinimum=0),
            "x_height_mm": _number("true distance from the baseline to the mean line", exclusiveMinimum=0),
            "source": _words("page", "resolution", "given", "assumed"),
            "x_height_source": _words("mean-line", "letters", "cap-height"),
        }
    )


def _level() -> Json:
    angle = _maybe(_number("degrees in the upright picture"))
    return _record(
        {
            "baseline_deg": _number("the baseline in the upright picture"),
            "mean_line_deg": angle,
            "cap_line_deg": angle,
            "camera_deg": _maybe(_number("tilt of the sheet in the picture; null when no edge or ruling is seen")),
            "drawing_deg": _maybe(_number("the baseline against the sheet; camera_deg + drawing_deg = baseline_deg")),
            "source": _words("drawn", "inferred"),
            "by_hand": {"type": "boolean", "description": "the line was set by hand on the picture"},
        }
    )


def _guides() -> Json:
    end = _tuple(_number("px"), 2, "x, y in the upright picture's pixels, y down")
    line = _record(
        {
            "source": _words("drawn", "inferred"),
            "px": _tuple(end, 2, "left end, right end"),
            "by_hand": {"type": "boolean"},
        }
    )
    names = ("mean_line", "cap_line", "ascender_line", "descender_line")
    return _record({"baseline": line, **{name: _maybe(line) for name in names}})


def _letter() -> Json:
    ratio = {
        name: _maybe(_number(meaning))
        for name, meaning in {
            "stem_deg": "lean of the upright stems; null for a letter without a stem",
            "stem_ratio": "thickness of the stems",
            "thin_ratio": "the thinnest stroke",
            "thick_ratio": "the thickest stroke",
            "curve_ratio": "the thickest part of a bowl's side",
            "fill_evenness": "1 for a uniform black, falling with blotches",
            "darkness": "median of the pencil's black, 0 to 1",
            "fleck_ratio": "share of the black that is much lighter",
            "tremor_ratio": "rms of the drawn edge about its own smooth course",
        }.items()
    }
    stem = _record({"lean_deg": _number("lean"), "width_ratio": _number("thickness", minimum=0)})
    return _record(
        {
            "index": {**_COUNT, "description": "from 1 in reading order, as in letter-01"},
            "letter": _maybe(_text("its name, null when no word was told or it does not fit what was seen")),
            "word": {**_COUNT, "description": "number of its word"},
            "box_px": _tuple(_number("px"), 4, "x0, y0, x1, y1 around the straightened letter's box, upright picture"),
            "width_ratio": _number("width", minimum=0),
            "foot_ratio": _number("height of its foot above the baseline"),
            "head_ratio": _number("height of its head above the baseline"),
            **ratio,
            "stems": _list(stem),
            "counters": _list(_record({"area_ratio": _number("x-heights squared, biggest first", minimum=0)})),
            "nodes": {**_COUNT, "description": "on-curve points, the closing point of a contour once"},
            "fit_error_ratio": _maybe(_number("greatest distance of the clean outline from the drawn edge", minimum=0)),
        }
    )


def _pair() -> Json:
    return _record(
        {
            "left": _COUNT,
            "right": _COUNT,
            "kind": _words("curve-curve", "straight-curve", "straight-straight", "open", "word-space"),
            "gap_ratio": _number("distance between the two letters' boxes, levelled"),
            "target_ratio": _number("the same in the corrected setting"),
            "move_ratio": _number("how far the right letter moves relative to the left one"),
            "nearest_ratio": _number("shortest distance between the outlines in any direction"),
            "white_ratio": _maybe(
                _number("width of the straight channel that looks as wide as the white between them")
            ),
            "target_white_ratio": _maybe(_number("the same in the corrected setting")),
            "excess_ratio": _maybe(_number("how much wider the gap is than one with the median white of its word")),
            "verdict": _maybe(_words("even", "tight", "wide")),
        }
    )


def _finding() -> Json:
    return _record(
        {
            "check": _text("name of the check, or of the stage that doubts"),
            "letters": _list(_COUNT),
            "measured": _maybe(_number("in `unit`")),
            "limit": _maybe(_number("in `unit`")),
            "unit": _text(),
            "severity": _words("holds", "note", "look-again", "fix"),
            "text": _text("one or two sentences about the drawing"),
            "place_ratio": _maybe(_tuple(_number("x-heights"), 4, "x0, y0, x1, y1 from the baseline, y up")),
        }
    )
