"""Every colour of the sheets and of the page against its ground: WCAG 2.2, 1.4.3 (texts 4.5:1) and 1.4.11 (lines 3:1)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import vectorize.desk
import vectorize.write
from tests.sheets.contrast import contrast
from tests.specimens.study import font_study, some_findings
from vectorize.sheets.cell import printed
from vectorize.sheets.comparison import comparison
from vectorize.sheets.drawing import Label, Rule, Strokes, walk
from vectorize.sheets.palette import MARK, PAPER, VERDICTS
from vectorize.sheets.practice import practice
from vectorize.sheets.proof import proof
from vectorize.sheets.shown import shown

CSS = (Path(vectorize.write.__file__).parent / "page" / "proof.css").read_text(encoding="utf-8")


def test_the_formula_has_its_known_anchors():
    # #767676 is the lightest grey that passes on white, #777777 fails: wcag-contrast-ratio 0.9 gives 4.542 and 4.478.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.542, abs=0.001)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.478, abs=0.001)


def test_texts_and_lines_of_all_sheets_stand_out_from_the_paper():
    study = font_study("in two")
    both = shown(study, some_findings(study))
    for page in (comparison(study), both.drawn, *(printed(c) for c in both.cells), *practice(study), *proof(both)):
        for item in walk(page.items):
            if isinstance(item, Label) and item.colour != PAPER:
                assert contrast(item.colour, PAPER) >= 4.5, item
            elif isinstance(item, Label):
                assert contrast(PAPER, MARK) >= 4.5
            elif isinstance(item, Rule | Strokes):
                assert contrast(item.colour, PAPER) >= 3.0, item


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_the_page_on_the_screen_stands_out_in_light_and_dark(scheme):
    colours = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", CSS.split(":root {")[1 + scheme].split("}")[0]))
    assert {"paper", "ink", "quiet", "line", "mark", "on-mark", "lit", "panel", "hair"} == set(colours)
    for ground in ("paper", "lit", "panel"):
        for ink in ("ink", "quiet", "mark"):
            assert contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)
    assert contrast(colours["on-mark"], colours["mark"]) >= 4.5
    assert contrast(colours["line"], colours["paper"]) >= 3.0


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_the_desk_stands_out_in_light_and_dark(scheme):
    css = (Path(vectorize.desk.__file__).parent / "static" / "css" / "base.css").read_text(encoding="utf-8")
    colours = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", css.split(":root {")[1 + scheme].split("}")[0]))
    for ink in ("ink", "pencil", "blue", "red", "amber", "green", "guide", "wide", "tight", "even"):
        assert contrast(colours[ink], colours["paper"]) >= 4.5, ink
        assert contrast(colours[ink], colours["table"]) >= (3.0 if ink == "guide" else 4.5), ink
    assert contrast(colours["on-blue"], colours["blue"]) >= 4.5
    for ground in ("paper", "table"):
        assert contrast(colours["rim"], colours[ground]) >= 3.0


def test_wide_tight_and_even_have_one_colour_on_the_desk_and_on_the_sheets():
    css = (Path(vectorize.desk.__file__).parent / "static" / "css" / "base.css").read_text(encoding="utf-8")
    for verdict, colour in VERDICTS.items():
        if verdict is not None:
            assert f"--{verdict.value}: {colour};" in css
