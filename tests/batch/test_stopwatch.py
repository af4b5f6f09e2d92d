"""Stages are timed in order and add up."""

from __future__ import annotations

import re
import time

from vectorize.batch.stopwatch import Stopwatch


def test_each_stage_is_named_once_and_the_parts_add_up_to_the_whole():
    watch = Stopwatch()
    for stage, seconds in (("paper", 0.03), ("ink", 0.06)):
        watch(stage)
        time.sleep(seconds)
    sentence = watch.sentence()
    paper, ink, whole = (float(x) for x in re.findall(r"\d+\.\d+", sentence))
    assert [sentence.index(s) for s in ("paper", "ink", "together")] == sorted(
        sentence.index(s) for s in ("paper", "ink", "together")
    )
    assert 0.02 <= paper < ink
    assert abs(paper + ink - whole) <= 0.02
