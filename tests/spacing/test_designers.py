"""The rule against type designers: a small slice of the benchmark (`python -m benchmarks.spacing` runs all of it)."""

from __future__ import annotations

import pytest

from tests.spacing.designers import CLASSES, SetWord, agreement, disturbed, set_words

FAMILIES = ("source-sans-3", "lato", "source-serif-4", "lora")


@pytest.fixture(scope="module")
def words() -> list[SetWord]:
    return [w for family in FAMILIES for w in set_words(family)]


def test_targets_agree_with_designers_as_well_as_designers_with_each_other(words: list[SetWord]) -> None:
    # Designers of 60 open families differ by .027 x-heights over the same pair of letters (measured by us).
    all_ = agreement(words)
    assert all_.rms <= 0.027
    assert all_.p95 <= 0.055
    assert all_.r >= 0.92


@pytest.mark.parametrize("kind", CLASSES)
def test_each_class_of_case(words: list[SetWord], kind: str) -> None:
    assert agreement([w for w in words if w.kind == kind]).rms <= 0.033


def test_one_disturbed_space_is_found_and_put_right(words: list[SetWord]) -> None:
    at_tenth, at_more = disturbed(words, 0.10), disturbed(words, 0.15)
    assert at_tenth.found >= 0.85
    assert at_more.found >= 0.95
    assert at_tenth.left <= 0.60
