"""Crossings of an outline against shapely, raggedness of an edge, the palest place of a fill, stems that swell."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from tests.anatomy.shapes import font_letter, font_shape, outline_of, ring
from vectorize.anatomy.crossings import heights_at, places_at
from vectorize.anatomy.fill import fill
from vectorize.anatomy.measure import measure
from vectorize.anatomy.ragged import ragged
from vectorize.geometry import frozen
from vectorize.reading.records import LetterInk


@pytest.mark.parametrize("letter", "noge")
def test_crossings_are_those_that_shapely_finds(letter):
    outline, shape = font_letter("lato", letter), font_shape("lato", letter)
    x = (outline.box_u.x0 + outline.box_u.x1) / 2.0 + 7.0
    for line, found, axis in (
        (LineString([(x, -2000), (x, 3000)]), heights_at(outline, x), 1),
        (LineString([(-500, 431), (3000, 431)]), places_at(outline, 431.0), 0),
    ):
        pieces = shape.intersection(line)
        parts = getattr(pieces, "geoms", [pieces])
        ends = sorted(v for p in parts for v in (p.bounds[axis], p.bounds[axis + 2]))
        assert found == pytest.approx(ends, abs=1.0)


def edge(tremble_u, length_u):
    """An o's outer edge with a tremor of a given rms and length of wave."""
    t = np.linspace(0.0, 2.0 * np.pi, 1500, endpoint=False)
    waves = round(2.0 * np.pi * 500.0 / length_u)
    r = 500.0 + tremble_u * np.sqrt(2.0) * np.sin(waves * t)
    return np.column_stack((r * np.cos(t), r * np.sin(t)))


def test_short_waves_make_an_edge_ragged_and_a_hand_s_long_ones_do_not():
    smooth, hand, rough = ragged([edge(0.0, 50.0)]), ragged([edge(6.0, 500.0)]), ragged([edge(6.0, 40.0)])
    assert smooth < 0.15
    assert hand < 0.4
    assert rough > 10.0 * hand
    assert ragged([edge(6.0, 40.0), edge(6.0, 40.0)]) == pytest.approx(rough)


def test_raggedness_of_an_unknown_edge_is_unknown():
    assert ragged([]) is None
    assert ragged([np.array([(0.0, 0.0), (5.0, 0.0), (5.0, 5.0)])]) is None
    assert measure(outline_of(ring((0, 500), 500, 350), "o"), None, None).ragged_ratio is None


def test_the_palest_place_of_a_fill_is_told():
    coverage = np.zeros((240, 140), np.float32)
    coverage[20:220, 30:110] = 1.0
    darkness = np.where(coverage > 0, 0.6, 0.0).astype(np.float32)
    darkness[150:170, 80:95] = 0.3
    found = fill(LetterInk(1, "l", 0, frozen(coverage), frozen(darkness), 0, 0), 100.0)
    assert found.palest_px == pytest.approx((87.5, 160.0), abs=6.0)


@pytest.mark.parametrize("more", [-30.0, 0.0, 45.0])
def test_a_stem_that_swells_is_measured_from_third_to_third(more):
    # A wedge that is `more` thicker at its head than at its foot: its outer thirds lie two thirds of the height apart.
    shape = Polygon([(0, 0), (150, 0), (150 + more / 2, 1200), (-more / 2, 1200)])
    (stem,) = measure(outline_of(shape, "l"), None, None).stems
    assert stem.swell_ratio * 1000.0 == pytest.approx(more * 2.0 / 3.0, abs=2.5)
    assert stem.lean_deg == pytest.approx(0.0, abs=0.05)
