"""The bytes of a PDF come in; out goes one page as a picture, at the resolution of the scan it holds."""

from __future__ import annotations

import math
from typing import Any

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
from PIL import Image

from vectorize.errors import PictureError
from vectorize.trade.picture import HIGHEST_RESOLUTION_DPI, PAGE_RESOLUTION_DPI, PICTURE_LIMIT_PX

POINTS_PER_INCH = 72.0
"""Default user space unit of a PDF: ISO 32000-1, 8.3.2.3."""

HEADER_REACH_BYTES = 1024
"""Readers look for the header this far into the file (ISO 32000-1, annex H, implementation note 13)."""


def is_pdf(data: bytes) -> bool:
    """Whether the bytes start like a PDF."""
    return b"%PDF-" in data[:HEADER_REACH_BYTES]


def rendered_page(data: bytes, page: int) -> tuple[Image.Image, int, float]:
    """Page `page` (from 1) as RGB, the number of pages, and the dots per inch it was rendered at."""
    if b"%%EOF" not in data:
        raise PictureError("The PDF is cut off: its end is missing. Copy or send the whole file again.")
    try:
        document = pdfium.PdfDocument(data)
    except pdfium.PdfiumError:
        raise _refused(data) from None
    try:
        count = len(document)
        if page > count:
            held = "only one page" if count == 1 else f"{count} pages"
            raise PictureError(
                f"Page {page} was asked for, but the PDF has {held}. Give --page a number from 1 to {count}."
            )
        image, dpi = _render(document[page - 1])
    except pdfium.PdfiumError:
        raise _refused(data) from None
    finally:
        document.close()
    return image, count, dpi


def _refused(data: bytes) -> PictureError:
    # PDFium's own error code is left over from an earlier file where loading fails without one.
    if b"/Encrypt" in data:
        return PictureError("The PDF is locked with a password. Save it without one, or send a picture of the page.")
    return PictureError(
        "The PDF shows no page: it is empty or damaged. Export the drawing again, or send a picture of it."
    )


def _render(page: Any) -> tuple[Image.Image, float]:
    dpi = _resolution(page, *page.get_size())
    return page.render(scale=dpi / POINTS_PER_INCH, rev_byteorder=True).to_pil().convert("RGB"), dpi


def _resolution(page: Any, width_pt: float, height_pt: float) -> float:
    """Dots per inch to render at: those of the largest picture on the page, or of a good scan without any."""
    finest = 0.0
    for item in page.get_objects(filter=(pdfium_c.FPDF_PAGEOBJ_IMAGE,), max_depth=4):
        width_px, height_px = item.get_px_size()
        if width_px * height_px > PICTURE_LIMIT_PX:
            raise PictureError(
                f"The PDF holds a picture of {width_px} by {height_px} pixels; up to {PICTURE_LIMIT_PX / 1e6:.0f} million "
                "can be read. Export it at 300 dpi."
            )
        m = item.get_matrix()
        shown_pt = math.hypot(m.a, m.b), math.hypot(m.c, m.d)
        if shown_pt[0] * shown_pt[1] > 0.25 * width_pt * height_pt:
            finest = max(finest, POINTS_PER_INCH * min(width_px / shown_pt[0], height_px / shown_pt[1]))
    dpi = min(finest, HIGHEST_RESOLUTION_DPI) if finest else PAGE_RESOLUTION_DPI
    inches = width_pt * height_pt / POINTS_PER_INCH**2
    if inches <= 0 or not math.isfinite(inches):
        raise PictureError("The PDF's page has no size. Export it again, or send a picture of the page.")
    # PDFium rounds the size up; a hair less keeps a scan's own number of pixels.
    return float(min(dpi, math.sqrt(PICTURE_LIMIT_PX / 2 / inches))) * (1.0 - 1e-5)
