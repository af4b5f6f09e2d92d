"""Ruled paper, read back from the PDF and the SVG by readers that are not ours."""

from __future__ import annotations

import ctypes
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from lxml import etree
from pypdfium2 import raw
from svgpathtools import parse_path

from tests.specimens.typeset import font_path
from vectorize import guidelines
from vectorize.errors import BriefError, ModelError
from vectorize.sheets.guidelines import iso_lines, pitch_mm

PT_PER_MM = 72.0 / 25.4
SVG = {"s": "http://www.w3.org/2000/svg"}

Rule = tuple[float, float, float, float]


def ruled(tmp_path: Path, **options: object) -> tuple[Path, Path]:
    pdf, svg = guidelines(out=tmp_path, **options)  # type: ignore[arg-type]
    assert (pdf.name, svg.name) == ("guidelines.pdf", "guidelines.svg")
    return pdf, svg


def pdf_rules(path: Path) -> tuple[tuple[float, float], list[Rule]]:
    """Size of the page and its straight lines of two points (x0, y0, x1, y1), in mm, y down."""
    document = pdfium.PdfDocument(path)
    page = document[0]
    width, height = page.get_size()
    rules = []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        if raw.FPDFPath_CountSegments(item) != 2:
            continue
        m = item.get_matrix()
        ends = []
        for i in range(2):
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item, i), x, y)
            px, py = m.a * x.value + m.c * y.value + m.e, m.b * x.value + m.d * y.value + m.f
            ends += [px / PT_PER_MM, (height - py) / PT_PER_MM]
        rules.append((ends[0], ends[1], ends[2], ends[3]))
    document.close()
    return (width / PT_PER_MM, height / PT_PER_MM), rules


def svg_rules(path: Path) -> tuple[tuple[float, float], dict[str, Rule]]:
    root = etree.parse(path).getroot()
    size = tuple(float(root.get(k).removesuffix("mm")) for k in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {root.get('width')[:-2]} {root.get('height')[:-2]}"
    lines = {
        e.get("id"): tuple(float(e.get(k)) for k in ("x1", "y1", "x2", "y2"))
        for e in root.iterfind(".//s:line[@id]", SVG)
    }
    return size, lines  # type: ignore[return-value]


# ISO 216: 210 x 297, 148 x 210, 297 x 420 mm; ANSI letter 8.5 x 11 in.
@pytest.mark.parametrize(
    ("paper", "size"), [("A4", (210, 297)), ("A5", (148, 210)), ("A3", (297, 420)), ("Letter", (215.9, 279.4))]
)
def test_paper_is_as_large_as_the_standard_says(tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    pdf, svg = ruled(tmp_path, x_height_mm=10.0, paper=paper)
    assert pdf_rules(pdf)[0] == pytest.approx(size, abs=0.01)
    assert svg_rules(svg)[0] == pytest.approx(size, abs=0.01)


def test_lines_stand_as_in_iso_3098(tmp_path: Path) -> None:
    # ISO 3098-0:1997, type B, h = 5: c = 3.5, b = 7.5 mm.
    pdf, svg = ruled(tmp_path, x_height_mm=3.5)
    lines = svg_rules(svg)[1]
    first, second = (lines[f"line-{i}-baseline"][1] for i in (1, 2))
    assert first - lines["line-1-mean-line"][1] == pytest.approx(3.5, abs=0.01)
    assert first - lines["line-1-cap-line"][1] == pytest.approx(5.0, abs=0.01)
    assert second - first == pytest.approx(7.5, abs=0.01)
    heights = sorted(r[1] for r in pdf_rules(pdf)[1] if r[1] == pytest.approx(r[3], abs=0.001) and r[2] - r[0] > 150)
    assert heights[:5] == pytest.approx([first - 5, first - 3.5, first, second - 5, second - 3.5], abs=0.01)


@pytest.mark.parametrize("x_height_mm", [6.0, 18.0, 33.3])
def test_pdf_and_svg_rule_the_same_lines(tmp_path: Path, x_height_mm: float) -> None:
    pdf, svg = ruled(tmp_path, x_height_mm=x_height_mm, tails=True, slant_deg=12.0)
    of_pdf, of_svg = pdf_rules(pdf)[1], svg_rules(svg)[1]
    for rule in of_svg.values():
        assert any(found == pytest.approx(rule, abs=0.01) for found in of_pdf)
    for name in ("ascender", "cap", "mean"):
        ends = of_svg.get(f"line-1-{name}-line")
        assert ends is None or ends[1] == ends[3]


def test_the_check_rule_is_100_mm_long(tmp_path: Path) -> None:
    pdf, svg = ruled(tmp_path)
    x0, y0, x1, y1 = svg_rules(svg)[1]["check-rule"]
    assert (x1 - x0, y1 - y0) == pytest.approx((100.0, 0.0), abs=0.001)
    assert any(abs(r[2] - r[0] - 100.0) < 0.01 and abs(r[1] - r[3]) < 0.001 for r in pdf_rules(pdf)[1])
    assert b"/PrintScaling /None" in pdf.read_bytes()


def test_slant_leans_by_as_many_degrees(tmp_path: Path) -> None:
    # ISO 3098-0:1997: sloped lettering stands at 75 degrees, 15 from upright.
    pdf, _ = ruled(tmp_path, x_height_mm=20.0, slant_deg=15.0)
    sloped = [r for r in pdf_rules(pdf)[1] if abs(r[0] - r[2]) > 1.0 and abs(r[1] - r[3]) > 1.0]
    assert sloped
    for x0, y0, x1, y1 in sloped:
        assert (x1 - x0) / (y0 - y1) == pytest.approx(0.26795, abs=1e-3)
        assert 15.0 - 0.01 <= min(x0, x1) <= max(x0, x1) <= 195.0 + 0.01


def glyph_bounds(family: str, letter: str) -> tuple[float, float, float, float]:
    font = TTFont(font_path(family))
    glyphs = font.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[font.getBestCmap()[ord(letter)]].draw(pen)
    return pen.bounds


def test_lines_of_a_model_typeface_and_its_word_light_on_the_first(tmp_path: Path) -> None:
    _, svg = ruled(tmp_path, x_height_mm=15.0, model=font_path("lato"), word="mantel", tails=True)
    high = {c: glyph_bounds("lato", c) for c in "xHdp"}  # fontTools' own pen over the font's outlines
    lines = svg_rules(svg)[1]
    base, cap = lines["line-1-baseline"][1], lines["line-1-cap-line"][1]
    to_mm = 15.0 / high["x"][3]
    assert base - cap == pytest.approx(high["H"][3] * to_mm, abs=0.01)
    assert base - lines["line-1-ascender-line"][1] == pytest.approx(high["d"][3] * to_mm, abs=0.01)
    assert base - lines["line-1-descender-line"][1] == pytest.approx(high["p"][1] * to_mm, abs=0.01)
    root = etree.parse(svg).getroot()
    (word,) = [p for p in root.iterfind(".//s:path", SVG) if p.get("fill") not in {None, "none"}]
    x0, x1, top, bottom = parse_path(word.get("d")).bbox()
    assert bottom == pytest.approx(base, abs=0.4)
    assert x1 - x0 < 180.0
    assert top < cap


def test_as_many_lines_as_told_and_as_many_as_fit(tmp_path: Path) -> None:
    _, svg = ruled(tmp_path, x_height_mm=12.0, lines=3)
    assert sum(name.endswith("baseline") for name in svg_rules(svg)[1]) == 3
    _, svg = ruled(tmp_path, x_height_mm=12.0)
    baselines = [r[1] for n, r in svg_rules(svg)[1].items() if n.endswith("baseline")]
    assert len(baselines) > 5
    assert max(baselines) < 297.0 - 15.0


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"x_height_mm": 400.0}, "do not fit"),
        ({"x_height_mm": 20.0, "lines": 40}, "there is room for"),
        ({"x_height_mm": -3.0}, "cannot be drawn"),
        ({"cap_ratio": 0.5}, "Capitals are"),
        ({"paper": "B7"}, "not known"),
        ({"word": "mantel"}, "Name a font file"),
    ],
)
def test_what_cannot_be_ruled_is_a_sentence(tmp_path: Path, options: dict[str, object], said: str) -> None:
    with pytest.raises(BriefError, match=said):
        guidelines(out=tmp_path, **options)  # type: ignore[arg-type]
    assert not list(tmp_path.iterdir())


def test_a_word_too_long_turns_the_sheet_and_then_is_refused(tmp_path: Path) -> None:
    font = font_path("lato")
    _, svg = ruled(tmp_path, x_height_mm=20.0, model=font, word="lanternlight")
    assert svg_rules(svg)[0] == pytest.approx((297.0, 210.0))
    with pytest.raises(BriefError, match="does not fit"):
        guidelines(x_height_mm=40.0, model=font, word="lanternlight", out=tmp_path)


def test_a_letter_that_the_model_lacks(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match="has no \u6f22"):
        guidelines(model=font_path("lato"), word="a\u6f22", out=tmp_path)


def test_tails_make_room() -> None:
    assert pitch_mm(iso_lines(3.5)) == pytest.approx(7.5)
    assert pitch_mm(iso_lines(3.5, tails=True)) == pytest.approx(7.5)


def test_the_same_sheet_is_the_same_bytes(tmp_path: Path) -> None:
    first = [p.read_bytes() for p in ruled(tmp_path / "a", slant_deg=10.0)]
    assert first == [p.read_bytes() for p in ruled(tmp_path / "b", slant_deg=10.0)]
