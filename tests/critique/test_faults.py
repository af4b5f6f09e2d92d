"""Planted faults are found and named, and a careful drawing is left alone: the short form of benchmarks/faults.py."""

from __future__ import annotations

from statistics import median

import pytest

from tests.critique.drawn import Drawing
from tests.critique.faults import FAULTS, FILL_FAULTS, Fault, cases, false_findings, findings_of, score, speaks
from tests.critique.figures import CONTRAST, COUNTER_AREA, STEM_DEG, STEM_RATIO, Gallery, as_drawn, errors, planned
from tests.critique.pictured import PHOTO, SCAN, study
from tests.specimens.recipe import Fill
from vectorize.critique.judge import judge

FAMILIES = ("source-sans-3", "lora")


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: f.check)
def test_at_twice_the_limit_the_fault_is_found_and_the_right_letter_named(fault: Fault):
    # A careful hand's own tremor may take back half of a planted lean once in a while: one in eight may be missed.
    found = score(fault, 2.0, FAMILIES, range(1, 3))
    assert found.tried == 8
    assert found.named >= 7


def test_a_careful_drawing_is_left_alone():
    drawings, found = false_findings(FAMILIES, range(3, 4), ("hamburg", "onion", "Banana"))
    assert sum(found.values()) <= 0.3 * drawings, found


@pytest.mark.parametrize("fault", [*FILL_FAULTS, *FAULTS], ids=lambda f: f.name or f.check)
def test_through_a_photograph_the_fault_is_found_and_the_right_letter_named(fault: Fault):
    # Twice the limit at a slant and under a lamp to one side: the letters that are paler there are not blamed.
    word, family, letter, seed = next(cases(fault.short, ("source-sans-3",), range(1, 2)))
    findings = findings_of(lambda d, _: study(d, PHOTO), fault.plant(word, family, letter, seed, 2.0), 0)
    own = [f for f in findings if speaks(f) and f.check in {fault.check, *fault.also} and f.limit is not None]
    assert own
    assert fault.whole or any(letter + 1 in f.letters for f in own)


def test_a_careful_drawing_in_pencil_is_left_alone_under_a_lamp():
    for camera in (SCAN, PHOTO):
        heavy = [f for f in judge(study(Drawing("linden", "lora", seed=4), camera)) if f.severity.rank > 1]
        assert heavy == []


def test_figures_of_a_picture_are_those_that_were_planted():
    # The tremor alone moves the thinnest place of a stroke by 8 per cent and a short stem by half a degree, so those two
    # are held against the drawing with its tremor.
    drawing = Drawing("handbo", "source-sans-3", seed=2)
    letters = study(drawing, SCAN).letters
    for true, figures in ((planned(drawing), (STEM_RATIO, COUNTER_AREA)), (as_drawn(drawing), (STEM_DEG, CONTRAST))):
        found = [e for x, t in zip(letters, true, strict=True) for e in errors(x.anatomy, t)]
        for figure in figures:
            assert median(abs(error) for of, error in found if of is figure) < figure.within


def test_the_blotchier_the_pencil_the_lower_the_evenness():
    gallery = Gallery()
    for blotches in (0.2, 0.6, 1.1):
        gallery.scanned_or_photographed(Drawing("mundo", "lora", fills={1: Fill(blotches=blotches)}), 0)
    assert gallery.fill_order() == (2, 2)
