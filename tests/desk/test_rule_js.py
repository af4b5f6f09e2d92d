"""The page's live rule gives the same figures as the Python one; run through node."""

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
from vectorize.spacing.profile import profile
from vectorize.spacing.shapes import white_shape_u
from vectorize.spacing.white import bands, channels, even_gaps, gaps_with_white, whites

NODE = shutil.which("node")
WORDS = ("hamburgs", "Typo", "Thimble", "AVALON", "lily", "on", "rustic tea")
TOLERANCE = 1e-6

pytestmark = pytest.mark.skipif(NODE is None and not os.environ.get("CI"), reason="node is not installed")

SCRIPT = """
import { channels, white, gapWithWhite, evenGaps, whiteShape } from "%s/js/rule.js";
import { standing } from "%s/js/placing.js";
let text = "";
process.stdin.on("data", (part) => { text += part; });
process.stdin.on("end", () => {
  const out = JSON.parse(text).map(({ study, ask }) => ({
    standing: standing(study, study.moves_u.map(() => 0)),
    set: standing(study, study.moves_u),
    words: study.rule.words.map((word, i) => {
      const all = channels(word);
      return {
        whites: all.map((d, k) => white(d, ask[i].gaps[k], study.rule)),
        with: all.map((d) => gapWithWhite(d, ask[i].white, study.rule)),
        even: all.length ? evenGaps(all, ask[i].total, study.rule) : [],
        shapes: word.spaces.map((s, k) => whiteShape(s, word.edges[k][1], ask[i].gaps[k], study.rule)),
      };
    }),
  }));
  process.stdout.write(JSON.stringify(out));
});
"""


@pytest.fixture(scope="module")
def both():
    asked, expected, studies = [], [], []
    rng = np.random.default_rng(4)
    for text in WORDS:
        study, to_picture = typeset_study(text, Brief(word=text))
        studies.append(study)
        ask, want = [], []
        for number in sorted({x.word for x in study.letters}):
            profiles = [profile(x.outline) for x in study.letters if x.word == number]
            word = channels(profiles)
            # Overlaps and touching letters too: the rule goes on there along its tangent.
            gaps = rng.uniform(-0.2, 0.6, len(profiles) - 1)
            level, total = float(rng.uniform(0.1, 0.5)), float(gaps.sum())
            ask.append({"gaps": gaps.tolist(), "white": level, "total": total})
            shapes = [
                white_shape_u(profiles[i], profiles[i + 1], rows, 0.0, gaps[i])
                for i, rows in enumerate(bands(profiles))
            ]
            want.append((whites(word, gaps), gaps_with_white(word, level), even_gaps(word, total), shapes))
        asked.append({"study": page_values(study, (), to_picture), "ask": ask})
        expected.append(want)
    static = files("vectorize.desk") / "static"
    done = subprocess.run(
        [NODE, "--input-type=module", "-e", SCRIPT.replace("%s", str(static))],
        input=json.dumps(asked),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return studies, expected, json.loads(done.stdout)


def test_whites_and_gaps_agree(both):
    _, expected, found = both
    for want, got in zip(expected, found, strict=True):
        for (white, with_, even, shapes), word in zip(want, got["words"], strict=True):
            np.testing.assert_allclose(word["whites"], white, atol=TOLERANCE)
            np.testing.assert_allclose(word["with"], with_, atol=TOLERANCE)
            np.testing.assert_allclose(word["even"], even, atol=TOLERANCE)
            for shape, drawn in zip(shapes, word["shapes"], strict=True):
                np.testing.assert_allclose(drawn, shape, atol=1e-3)


def test_the_word_as_drawn_is_judged_alike(both):
    studies, _, found = both
    for study, got in zip(studies, found, strict=True):
        pairs = [p for p in study.setting.pairs if p.white_ratio is not None]
        assert [s["verdict"] for s in got["standing"]] == [str(p.verdict) for p in pairs]
        for key, values in (("white", "white_ratio"), ("gap", "gap_ratio"), ("excess", "excess_ratio")):
            want = [getattr(p, values) for p in pairs]
            np.testing.assert_allclose([s[key] for s in got["standing"]], want, atol=TOLERANCE)
        np.testing.assert_allclose([s["gap"] for s in got["set"]], [p.target_ratio for p in pairs], atol=TOLERANCE)
        np.testing.assert_allclose(
            [s["white"] for s in got["set"]], [p.target_white_ratio for p in pairs], atol=TOLERANCE
        )
