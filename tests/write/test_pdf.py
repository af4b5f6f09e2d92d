"""PDF as PDFium and pypdf read it: true size, no scaling asked of the printer, links that lead somewhere, the same bytes again."""

from __future__ import annotations

import io

import numpy as np
import pypdf
import pypdfium2
import pytest
from reportlab import rl_config

from tests.specimens.study import font_study
from tests.write.made import made
from vectorize.curves import signed_area
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.practice import practice
from vectorize.sheets.word import corrected_outlines
from vectorize.trade.sheets import LIGHT_LETTER
from vectorize.write.pdf import pdf_bytes

FILES = ("proof.pdf", "practice.pdf")
RULE_WIDTH_MM = 0.2


def page_picture(data: bytes, number: int = 0, dpi: float = 300.0) -> tuple[np.ndarray, float]:
    """A page in grey as PDFium draws it, and the mm of a pixel."""
    page = pypdfium2.PdfDocument(data)[number]
    picture = np.asarray(page.render(scale=dpi / 72.0).to_pil().convert("L"), float)
    return picture, 25.4 / dpi


def foot_picture(data: bytes, number: int, dpi: float, height_mm: float = 25.0) -> tuple[np.ndarray, float]:
    """The lowest part of a page in grey, and the mm of a pixel."""
    page = pypdfium2.PdfDocument(data)[number]
    above = page.get_height() - height_mm * 72.0 / 25.4
    picture = page.render(scale=dpi / 72.0, crop=(0.0, 0.0, 0.0, above)).to_pil().convert("L")
    return np.asarray(picture, float), 25.4 / dpi


@pytest.mark.parametrize("name", FILES)
def test_a4_is_a4(name):
    # ISO 216: 210 x 297 mm; ISO 32000-1, 8.3.2: 1/72 in.
    for page in pypdfium2.PdfDocument(made()[1][name]):
        assert page.get_size() == pytest.approx((595.276, 841.890), abs=0.01)


def test_a_sheet_of_letter_paper_gives_letter_pages():
    # ANSI/ASME Y14.1: 8.5 x 11 in.
    (page,) = pypdfium2.PdfDocument(pdf_bytes(practice(font_study(sheet_name="Letter"))))
    assert page.get_size() == pytest.approx((612.0, 792.0), abs=0.01)


@pytest.mark.parametrize("name", FILES)
def test_the_printer_is_asked_not_to_scale(name):
    # ISO 32000-1, Table 150.
    reader = pypdf.PdfReader(io.BytesIO(made()[1][name]))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


@pytest.mark.parametrize("name", FILES)
def test_the_rule_is_100_mm_long(name):
    # To a tenth of a millimetre: at 1200 dpi a pixel is a fiftieth. Its outer ticks add their own width of .2 mm.
    data = made()[1][name]
    for number in range(len(pypdfium2.PdfDocument(data))):
        picture, mm = foot_picture(data, number, dpi=1200.0)
        longest = max(_run(row) for row in picture < 128.0)
        assert longest * mm - RULE_WIDTH_MM == pytest.approx(100.0, abs=0.1)


def _run(row: np.ndarray) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.view(np.int8), [0]))))
    return int((edges[1::2] - edges[::2]).max()) if len(edges) else 0


def test_the_word_to_draw_over_is_printed_at_true_size():
    study = font_study("hod", cap_line=False)
    picture, mm = page_picture(pdf_bytes(practice(study)), dpi=600.0)
    # The light letters are a grey of their own; guidelines over them and softened edges take a little of their area.
    grey = abs(picture - 255.0 * (1.0 - LIGHT_LETTER)) < 2.0
    rows = np.flatnonzero(grey.sum(axis=1) > 40)
    rows = rows[rows * mm < 100.0]
    exact = sum(signed_area(c) for o in corrected_outlines(study) for c in o.contours) * study.scale.mm_per_unit**2
    assert grey.sum() * mm * mm == pytest.approx(exact, rel=0.04)
    tallest = max(o.box_u.y1 for o in corrected_outlines(study)) - min(o.box_u.y0 for o in corrected_outlines(study))
    assert (rows[-1] - rows[0] + 1) * mm == pytest.approx(tallest * study.scale.mm_per_unit, abs=0.3)


def test_a_word_wider_than_the_page_is_scaled_and_that_is_said():
    said = (
        pypdf.PdfReader(io.BytesIO(pdf_bytes(practice(font_study("interwoven hinnels", x_height_mm=30.0)))))
        .pages[0]
        .extract_text()
    )
    assert "per cent of true size" in said
    assert "true size" in pypdf.PdfReader(io.BytesIO(made()[1]["practice.pdf"])).pages[0].extract_text()


def test_every_link_leads_to_a_place():
    reader = pypdf.PdfReader(io.BytesIO(made()[1]["proof.pdf"]))
    places = [a.get_object()["/Dest"] for page in reader.pages for a in page.get("/Annots", [])]
    assert places
    pages = {p.indirect_reference.idnum for p in reader.pages}
    for page, how, x, y, _ in places:
        assert page.idnum in pages
        assert how == "/XYZ"
        assert 0.0 <= x <= 595.3
        assert 0.0 <= y <= 841.9


def test_texts_can_be_found_and_read_out():
    study, files = made()
    said = " ".join(p.extract_text() for p in pypdf.PdfReader(io.BytesIO(files["proof.pdf"])).pages)
    said = " ".join(said.split())
    for words in (
        "What holds",
        "The baseline lies level on the sheet.",
        "The black of the a is blotchy.",
        study.picture.file,
    ):
        assert words in said


def test_the_picture_goes_in_as_it_was_encoded():
    reader = pypdf.PdfReader(io.BytesIO(made()[1]["proof.pdf"]))
    filters = [o["/Filter"] for page in reader.pages for o in page["/Resources"].get("/XObject", {}).values()]
    assert filters
    assert all("/DCTDecode" in (f if isinstance(f, list) else [f]) for f in filters)


def test_the_same_pages_give_the_same_bytes():
    assert pdf_bytes(practice(font_study("no"))) == pdf_bytes(practice(font_study("no")))


def test_writing_leaves_the_pdf_librarys_own_setting_alone():
    before = rl_config.useA85
    pdf_bytes((Drawing(50.0, 50.0, "page", ()),))
    assert rl_config.useA85 == before
