"""Planted faults are found and named, and a careful drawing is left alone: the short form of benchmarks/faults.py."""

from __future__ import annotations

import pytest

from tests.critique.faults import FAULTS, false_findings, score

FAMILIES = ("source-sans-3", "lora")


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: f.check)
def test_at_twice_the_limit_the_fault_is_found_and_the_right_letter_named(fault):
    # A careful hand's own tremor may take back half of a planted lean once in a while: one in eight may be missed.
    found = score(fault, 2.0, FAMILIES, range(1, 3))
    assert found.tried == 8
    assert found.named >= 7


def test_a_careful_drawing_is_left_alone():
    drawings, found = false_findings(FAMILIES, range(3, 4), ("hamburg", "onion", "Banana"))
    assert sum(found.values()) <= 0.3 * drawings, found
