"""measures.json: unknown values are null, nothing is not-a-number, what was set by hand is told."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import jsonschema
import pytest

from tests.specimens.study import font_study
from vectorize.reading.records import GuideSource
from vectorize.write.measures import measures, measures_bytes
from vectorize.write.schema import schema


def read(study):
    def refuse(constant):
        raise ValueError(constant)

    values = json.loads(measures_bytes(study, ()).decode("utf-8"), parse_constant=refuse)
    jsonschema.validate(values, schema())
    return values


def test_what_is_not_a_number_is_null():
    study = font_study("no")
    first = study.letters[0]
    anatomy = replace(first.anatomy, stem_ratio=math.nan, thin_ratio=math.inf)
    values = read(replace(study, letters=(replace(first, anatomy=anatomy), *study.letters[1:])))
    assert values["letters"][0]["stem_ratio"] is None
    assert values["letters"][0]["thin_ratio"] is None


def test_what_is_unknown_is_null():
    study = font_study("no", named=False, cap_line=False)
    level = replace(study.level, camera_deg=None, drawing_deg=None, mean_line_deg=None)
    values = read(replace(study, level=level, sheet_name=None))
    assert values["word"] is None
    assert values["sheet"] is None
    assert values["guides"]["cap_line"] is None
    assert [values["level"][k] for k in ("camera_deg", "drawing_deg", "mean_line_deg")] == [None] * 3
    assert [x["letter"] for x in values["letters"]] == [None, None]


@pytest.mark.parametrize(
    ("source", "said", "by_hand"),
    [
        (GuideSource.DRAWN, "drawn", False),
        (GuideSource.INFERRED, "inferred", False),
        (GuideSource.GIVEN, "drawn", True),
    ],
)
def test_a_line_set_by_hand_is_told_as_such(source, said, by_hand):
    study = font_study("no")
    values = read(replace(study, level=replace(study.level, source=source)))
    assert (values["level"]["source"], values["level"]["by_hand"]) == (said, by_hand)


def test_camera_and_drawing_make_up_the_baseline():
    level = read(font_study("no"))["level"]
    assert level["camera_deg"] + level["drawing_deg"] == pytest.approx(level["baseline_deg"])


def test_ends_and_boxes_are_those_of_the_study():
    study = font_study("no")
    values = measures(study, ())
    for end, said in zip(study.guides.baseline.px, values["guides"]["baseline"]["px"], strict=True):
        assert said == pytest.approx(end, abs=5e-4)
    assert values["letters"][1]["box_px"] == pytest.approx(study.letters[1].box_px, abs=5e-4)


def test_counters_are_in_x_heights_squared_biggest_first():
    study = font_study("B", changed_u={})
    areas = [c["area_ratio"] for c in measures(study, ())["letters"][0]["counters"]]
    assert len(areas) == 2
    assert areas == sorted(areas, reverse=True)
