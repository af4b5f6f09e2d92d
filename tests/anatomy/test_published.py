"""Measures of letters against published norms and independent libraries."""

from __future__ import annotations

import math

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.statisticsPen import StatisticsPen
from fontTools.ttLib import TTFont
from shapely.affinity import translate
from shapely.geometry import LineString

from tests.anatomy.shapes import font_letter, font_shape, outline_of, ring, sheared, stroke, thin_and_thick
from tests.specimens.typeset import font_path
from vectorize.anatomy.measure import measure

FAMILIES = ("source-sans-3", "jost", "lora", "lato", "source-serif-4", "overpass", "bodoni-moda")

PANOSE_CONTRAST = (0.80, 0.65, 0.48, 0.30, 0.20, 0.15, 0.08)
"""Bounds of the classes none, very low, low, medium-low, medium, medium-high, high, very high (HP PANOSE classification
metrics guide, Latin Text: contrast = thinnest over thickest stroke of the capital O)."""


def contrast_class(ratio: float) -> int:
    return sum(ratio <= bound for bound in PANOSE_CONTRAST)


@pytest.mark.parametrize("family", FAMILIES)
def test_contrast_of_the_capital_o_falls_into_its_panose_class(family):
    thin, thick = thin_and_thick(font_shape(family, "O"))
    seen = measure(font_letter(family, "O"), None, None)
    ratio = seen.thin_ratio / seen.curve_ratio
    assert ratio == pytest.approx(thin / thick, rel=0.08)
    if min(abs(thin / thick - b) for b in PANOSE_CONTRAST) > 0.01:
        assert contrast_class(ratio) == contrast_class(thin / thick)


@pytest.mark.parametrize("family", FAMILIES)
def test_stem_of_the_e_for_the_panose_weight(family):
    # PANOSE weight = cap height / stem of E; the stem read by shapely on a level line between the arms.
    shape = font_shape(family, "E")
    _, _, _, top = shape.bounds
    seen = measure(font_letter(family, "E"), None, None)
    widths = [shape.intersection(LineString([(-500, y), (5000, y)])).length for y in (0.3 * top, 0.7 * top)]
    assert seen.stem_ratio * 1000 == pytest.approx(min(widths), rel=0.03)
    assert seen.body_u.y1 == pytest.approx(top, abs=8)


def test_type_b_lettering_has_a_stem_of_a_seventh_of_the_x_height():
    # ISO 3098-0:1997, type B: stroke d = h / 10, small letters c = 0.7 h, so d / c = 1 / 7.
    height = 1000.0 / 0.7
    width = height / 10.0
    for name, top in (("i", 1000.0), ("l", height)):
        seen = measure(outline_of(stroke([(0, 0), (0, top)], width), name), None, None)
        assert seen.stem_ratio == pytest.approx(0.1429, rel=0.02)


def test_curved_strokes_an_eighth_heavier_than_stems():
    # Claflin, Standard Lettering, 2nd ed. 1922, p. 23: stem 1 unit, curved stroke 1 1/8.
    unit = 1000.0 / 6.0
    stem = measure(outline_of(stroke([(0, 0), (0, 1000)], unit), "i"), None, None).stem_ratio
    curve = measure(outline_of(ring((0, 500), 520, 520 - 1.125 * unit), "o"), None, None).curve_ratio
    assert stem / curve == pytest.approx(0.889, rel=0.02)


@pytest.mark.parametrize("deg", [-6.0, -1.2, 0.0, 0.6, 3.0, 12.0])
@pytest.mark.parametrize("family", ["source-sans-3", "lato"])
def test_lean_of_a_sheared_i_as_fonttools_statistics_has_it(family, deg):
    shape = sheared(font_shape(family, "I"), deg)
    pen = StatisticsPen()
    points = list(shape.exterior.coords)[:-1]
    pen.moveTo(points[0])
    for p in points[1:]:
        pen.lineTo(p)
    pen.closePath()
    seen = measure(outline_of(shape, "I"), None, None)
    assert seen.stem_deg == pytest.approx(math.degrees(math.atan(pen.slant)), abs=0.15)


@pytest.mark.parametrize("letter", "oedbDO")
def test_counters_have_the_area_that_fonttools_areapen_finds(letter):
    font = TTFont(font_path("overpass"))
    glyphs = font.getGlyphSet()
    units = _x_height(font)

    class Parts(AreaPen):
        """Keeps the area of each contour."""

        def __init__(self, glyphs):
            super().__init__(glyphs)
            self.areas = []

        def _closePath(self):  # noqa: N802  the pen protocol's own name
            before = sum(self.areas)
            super()._closePath()
            self.areas.append(self.value - before)

    pen = Parts(glyphs)
    glyphs[font.getBestCmap()[ord(letter)]].draw(pen)
    own = max(pen.areas, key=abs)
    holes = sorted((abs(a) for a in pen.areas if a * own < 0), reverse=True)
    seen = measure(font_letter("overpass", letter), None, None)
    assert [c.area_ratio for c in seen.counters] == pytest.approx([h / units**2 for h in holes], rel=0.01)


def _x_height(font):
    glyphs = font.getGlyphSet()
    bounds = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[ord("x")]].draw(bounds)
    return bounds.bounds[3]


@pytest.mark.parametrize("family", ["source-sans-3", "jost", "lora"])
def test_a_dot_or_an_accent_is_no_stroke_of_its_letter(family):
    for plain, accented in ("oö", "eé", "uü", "OÖ", "AÄ", "EÉ"):
        a, b = (measure(font_letter(family, x), None, None) for x in (plain, accented))
        assert b.thick_ratio == pytest.approx(a.thick_ratio, rel=0.03)
        if plain in "oO":
            assert b.curve_ratio == pytest.approx(a.curve_ratio, rel=0.03)
        if plain in "eE":
            assert b.thin_ratio == pytest.approx(a.thin_ratio, rel=0.03)
        assert len(b.stems) == len(a.stems)
        assert b.body_u.height == pytest.approx(a.body_u.height, abs=1.0)
    assert len(measure(font_letter(family, "å"), None, None).counters) == 1


def test_two_stems_are_told_apart_and_measured_each():
    shape = stroke([(0, 0), (0, 1000)], 150).union(translate(stroke([(0, 0), (0, 1000)], 190), 560, 0))
    shape = shape.union(stroke([(-50, 950), (650, 950)], 100))
    seen = measure(outline_of(shape, "n"), None, None)
    assert [s.width_ratio for s in seen.stems] == pytest.approx([0.15, 0.19], rel=0.02)
