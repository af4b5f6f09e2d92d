"""The samples are there, small, told to be generated, and each has its recipe."""

from __future__ import annotations

from tests.specimens.samples import FOLDER, SAMPLES, page


def test_every_sample_has_a_recipe_and_every_recipe_a_sample():
    assert {p.stem for p in FOLDER.glob("*.jpg")} == set(SAMPLES)


def test_no_sample_is_above_a_megabyte():
    assert max(p.stat().st_size for p in FOLDER.glob("*.jpg")) < 1_000_000


def test_the_page_of_the_samples_is_current_and_says_that_they_are_generated():
    written = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert written == page()
    assert "**generated**" in written
