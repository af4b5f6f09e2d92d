"""The page's way from the drawing into the picture and back is the study's own, on a bent picture too; run through node."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from importlib.resources import files

import numpy as np
import pytest

from tests.desk.typeset_study import typeset_study
from vectorize.brief import Brief
from vectorize.desk.page import page_values
from vectorize.geometry import chained
from vectorize.reading.bend import Bow

NODE = shutil.which("node")
pytestmark = pytest.mark.skipif(NODE is None and not os.environ.get("CI"), reason="node is not installed")

SCRIPT = """
import { back, through } from "%s/js/plane.js";
let text = "";
process.stdin.on("data", (part) => { text += part; });
process.stdin.on("end", () => {
  const { map, points } = JSON.parse(text);
  const there = points.map((p) => through(map, p));
  process.stdout.write(JSON.stringify({ there, again: there.map((p) => back(map, p)) }));
});
"""
BOWED = Bow(np.array([22.0, 4.0, -15.0, 0.0, -3.0]), np.array([0.03, 0.0, -0.01]), 300.0, 800.0, 780.0)


@pytest.mark.parametrize("bow", [None, BOWED], ids=["flat", "bent"])
def test_there_and_back(bow):
    study, to_picture = typeset_study("on", Brief(word="on"))
    to_picture = to_picture if bow is None else chained(bow, to_picture)
    values = page_values(study, (), to_picture)
    h, w = study.sketch.rgb.shape[:2]
    px = np.random.default_rng(1).uniform((0, 0), (w, h), (60, 2))
    points = study.sketch.to_units.apply(px)
    done = subprocess.run(
        [NODE, "--input-type=module", "-e", SCRIPT.replace("%s", str(files("vectorize.desk") / "static"))],
        input=json.dumps({"map": values["units_to_picture"], "points": points.tolist()}),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    found = json.loads(done.stdout)
    assert np.abs(np.array(found["there"]) - to_picture.apply(px)).max() < 0.15
    assert np.abs(np.array(found["again"]) - points).max() < 0.1
