"""SVG as other programs draw it: sizes and areas through resvg and CairoSVG, numbers and texts as XML wants them."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
import resvg_py
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from PIL import Image

from tests.specimens.study import font_study
from vectorize.curves import polygon, reversed_contour, signed_area
from vectorize.sheets.corrected import corrected
from vectorize.sheets.disc import disc
from vectorize.sheets.drawing import Drawing, Group, Label, Shape
from vectorize.sheets.word import corrected_outlines, framed, letter_shapes, page_map
from vectorize.write.svg import number, path_data, svg_bytes, text

DPI = 300


def by_resvg(svg: bytes, dpi: int = DPI) -> np.ndarray:
    # resvg's dpi is that of the px in the file; the size of the image is told by its width in px.
    width = float(etree.fromstring(svg).get("width")[:-2])
    data = resvg_py.svg_to_bytes(svg_string=svg.decode(), dpi=96, width=round(width / 25.4 * dpi), background="white")
    return np.asarray(Image.open(io.BytesIO(bytes(data))).convert("L"), float)


def by_cairo(svg: bytes, dpi: int = DPI) -> np.ndarray:
    try:
        import cairosvg
    except OSError:
        pytest.skip("CairoSVG draws with the system's cairo library, which is not installed")
    data = cairosvg.svg2png(svg, dpi=dpi, background_color="white")
    return np.asarray(Image.open(io.BytesIO(data)).convert("L"), float)


def black_mm2(picture: np.ndarray, width_mm: float) -> float:
    mm = width_mm / picture.shape[1]
    return float((255.0 - picture).sum() / 255.0 * mm * mm)


@pytest.mark.parametrize("draw", [by_resvg, by_cairo])
def test_a_ring_has_its_area(draw):
    # 1 in = 96 px = 25.4 mm: CSS Values 3, 6.2, which SVG 2 follows; area of a ring: pi (R^2 - r^2).
    ring = Shape((disc((50.0, 50.0), 20.0), reversed_contour(disc((50.0, 50.0), 10.0))))
    svg = svg_bytes(Drawing(100.0, 100.0, "a ring", (ring,)))
    assert black_mm2(draw(svg), 100.0) == pytest.approx(300.0 * math.pi, rel=0.002)


def test_a_hundred_mm_are_378_px():
    # 100 mm = 377.95 px at 96 to the inch: CSS Values 3, 6.2.
    svg = svg_bytes(Drawing(100.0, 50.0, "empty", ()))
    data = resvg_py.svg_to_bytes(svg_string=svg.decode(), dpi=96)
    assert Image.open(io.BytesIO(bytes(data))).size == pytest.approx((377.95, 188.98), abs=1.0)


@pytest.mark.parametrize("draw", [by_resvg, by_cairo])
def test_the_letters_have_the_area_of_their_outlines(draw):
    study = font_study("goad")
    shown = framed(study)
    to_mm = page_map(study, shown)
    width = shown.width * study.scale.mm_per_unit
    page = Drawing(
        width,
        shown.height * study.scale.mm_per_unit,
        "letters",
        letter_shapes(corrected_outlines(study), to_mm, fill="#000000"),
    )
    exact = sum(signed_area(c) for o in corrected_outlines(study) for c in o.contours) * study.scale.mm_per_unit**2
    assert black_mm2(draw(svg_bytes(page)), width) == pytest.approx(exact, rel=0.003)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.floats(-1e5, 1e5, allow_nan=False))
def test_numbers_are_plain_decimals_that_say_the_value(value):
    said = number(value)
    assert "e" not in said
    assert said != "-0"
    assert float(said) == pytest.approx(value, abs=5.1e-5)


@pytest.mark.parametrize(
    ("value", "said"), [(0.0, "0"), (-0.00001, "0"), (-0.5, "-0.5"), (-10.0, "-10"), (120.0, "120"), (-0.01, "-0.01")]
)
def test_numbers_without_needless_zeros(value, said):
    assert number(value) == said


def test_a_closing_straight_line_is_left_to_z():
    assert path_data([polygon([(0, 0), (2, 0), (2, 1)])]) == "M0 0L2 0L2 1Z"


@pytest.mark.parametrize("odd", ['a<b & "c"', "line\nbreak\x00\x1b\ud800", "試し \U0001f58b"])
def test_any_text_gives_valid_xml(odd):
    drawing = Drawing(10.0, 10.0, odd, (Group((Label(odd, (1.0, 1.0)),), "layer", odd, data=(("name", odd),)),))
    tree = etree.fromstring(svg_bytes(drawing))
    assert (
        tree[0].text.split()[0]
        == odd.replace("\x00", "\ufffd").replace("\x1b", "\ufffd").replace("\ud800", "\ufffd").split()[0]
    )


def test_what_xml_forbids_is_shown_as_replaced():
    assert text("a\x00b") == "a\ufffdb"


def test_the_same_study_gives_the_same_bytes():
    assert svg_bytes(corrected(font_study("no"))) == svg_bytes(corrected(font_study("no")))
