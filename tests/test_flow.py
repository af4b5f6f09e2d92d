"""The main job on whole pictures, held against what was drawn.

The truth is the drawing itself (generated, see tests/specimens). Bars: the level within a tenth of the 0.6 degrees that an
eye notices in one look (Vision Research 30, 1990, pp. 1429-37); the spacing of an undisturbed word is the designer's own,
advances and kerning by HarfBuzz.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from tests.outlines.glyphs import letter_ink
from tests.specimens.camera import take
from tests.specimens.hard import HARD, PLAIN
from tests.specimens.recipe import Camera, Hand, Lines
from tests.specimens.score import Score, score
from vectorize.brief import Brief
from vectorize.curves import polygon
from vectorize.errors import PictureError
from vectorize.findings import Severity
from vectorize.flow import draw_letters, study_picture
from vectorize.geometry import Affine, angle_deg
from vectorize.outlines.draw import draw_outline
from vectorize.outlines.outline import Outline
from vectorize.reading.reading import read
from vectorize.reading.records import GuideSource
from vectorize.study import Study


def studied(recipe) -> tuple[Study, Score]:
    specimen = take(recipe)
    study = study_picture(specimen.data, "drawing.jpg", Brief(word=recipe.word))
    return study, score(specimen, study)


@pytest.mark.parametrize(
    "kind",
    ["plain", "crop", "photo", "squared", "serif", "capitals", "dots", "kraft", "ink", "half filled", "unfilled"],
)
def test_a_picture_becomes_the_letters_that_were_drawn(kind: str):
    _, s = studied(HARD[kind])
    assert s.count_right
    assert s.baseline_deg < 0.06
    assert s.baseline_ratio < 0.008
    assert np.median(s.gaps_ratio) < 0.012
    assert all(s.counters_right)
    assert np.median(s.outlines) < 5.0


def test_without_guidelines_the_level_comes_from_the_letters():
    study, s = studied(HARD["no lines"])
    assert study.level.source is GuideSource.INFERRED
    assert abs(study.level.baseline_deg) < 0.4
    assert s.count_right
    assert any("doubt" in r.text or "less sure" in r.text for r in study.remarks)


def test_the_gaps_of_an_undisturbed_word_are_the_designers():
    """HarfBuzz advances and kerning with bounds from the outlines; within 0.015 x-heights."""
    recipe = replace(PLAIN, hand=Hand(wobble=0.0))
    _, s = studied(recipe)
    assert max(s.gaps_ratio) < 0.015


@pytest.mark.parametrize("turn_deg", [0.0, 0.3, 0.6, 1.2])
def test_a_turned_page_is_measured_to_a_tenth_of_a_degree(turn_deg: float):
    """0.6 degrees off level is what an eye notices in one look: Vision Research 30, 1990, pp. 1429-37."""
    recipe = replace(PLAIN, lines=Lines(tilt_deg=turn_deg))
    study, _ = studied(recipe)
    assert study.level.baseline_deg == pytest.approx(turn_deg, abs=0.1)


def test_the_cameras_tilt_is_told_from_the_drawings():
    camera = Camera(kind="photo", size_px=(2250, 3000), tilt_x_deg=5, tilt_y_deg=-4, turn_deg=2.0, falloff=0.2)
    specimen = take(replace(PLAIN, lines=Lines(tilt_deg=-1.0), camera=camera))
    level = study_picture(specimen.data, "drawing.jpg", Brief()).level
    assert level.drawing_deg == pytest.approx(-1.0, abs=0.3)
    assert level.camera_deg + level.drawing_deg == pytest.approx(level.baseline_deg, abs=1e-9)
    ends = specimen.picture_points(np.array(specimen.page.lines["baseline"]))
    assert level.baseline_deg == pytest.approx(angle_deg(tuple(ends[0]), tuple(ends[1])), abs=0.1)


def test_true_size_comes_from_the_resolution_of_a_scan_and_from_the_sheet_of_a_photograph():
    """A sheet of A4 is 210 mm by 297 mm (ISO 216), so a photograph tells the true size to about 1 per cent."""
    scan, _ = studied(PLAIN)
    assert scan.scale.source == "resolution"
    assert scan.scale.x_height_mm == pytest.approx(22.0, rel=0.005)
    photo, _ = studied(HARD["photo"])
    assert photo.scale.source == "page"
    assert photo.scale.x_height_mm == pytest.approx(22.0, rel=0.015)


def test_a_given_x_height_is_believed_and_an_unknown_one_is_said_to_be_assumed():
    data = take(HARD["crop"]).data
    given = study_picture(data, "drawing.jpg", Brief(x_height_mm=31.0)).scale
    assert (given.x_height_mm, given.source) == (31.0, "given")
    unknown = study_picture(data, "drawing.jpg", Brief())
    assert unknown.scale.source == "assumed"
    assert any("assumed" in r.text for r in unknown.remarks)


def test_the_corrected_word_keeps_its_tightness_and_evens_its_whites():
    study, _ = studied(HARD["plain"])
    pairs = study.setting.pairs
    assert sum(p.target_ratio for p in pairs) == pytest.approx(sum(p.gap_ratio for p in pairs), abs=1e-6)
    assert np.std([p.target_white_ratio for p in pairs]) < 0.1 * np.std([p.white_ratio for p in pairs])


def test_a_letter_that_no_curve_follows_is_told():
    recipe = HARD["plain"]
    reading = read(take(recipe).data, "drawing.jpg", Brief(word=recipe.word))
    first = reading.letters.letters[0]
    draw = lambda ink, *rest: replace(draw_outline(ink, *rest), plain=ink is first)  # noqa: E731
    kept, told = draw_letters(reading, draw)
    assert len(kept) == len(recipe.word)
    (finding,) = told
    assert finding.severity is Severity.LOOK_AGAIN
    assert finding.letters == (1,)
    assert "no clean curve follows" in finding.text
    assert draw_letters(reading)[1] == ()


@pytest.mark.parametrize(
    ("name", "said"), [("n", "What was read as the n in place 2 is"), (None, "The mark in place 2 is")]
)
def test_a_mark_without_an_edge_is_left_out_and_told(name: str | None, said: str):
    inks = [letter_ink(np.ones((2, 2)), name), replace(letter_ink(np.zeros((2, 2)), name), index=2)]
    reading = SimpleNamespace(
        ink=SimpleNamespace(edge_blur_px=1.0),
        letters=SimpleNamespace(letters=inks),
        guides=SimpleNamespace(to_units=Affine.scale(5.0, -5.0)),
    )
    square = polygon([(0, 0), (500, 0), (500, 500), (0, 500)])
    draw = lambda ink, *_: Outline((square,) if ink.coverage.any() else ())  # noqa: E731
    kept, (finding,) = draw_letters(reading, draw)
    assert [ink for ink, _ in kept] == inks[:1]
    assert finding.text.startswith(said)
    with pytest.raises(PictureError, match="none of them has an edge"):
        draw_letters(reading, lambda *_: Outline(()))
