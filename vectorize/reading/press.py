"""Inside a process of its own: a PDF comes in on stdin; one line of JSON and a page's RGB pixels go out on stdout.

The page is drawn at the resolution of the scan it holds. `pages.py` starts this process and may end it at any time.
"""

from __future__ import annotations

import contextlib
import json
import math
import os
import sys
from typing import Any, Final

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c

from vectorize.errors import PictureError
from vectorize.reading.pages import check_page
from vectorize.trade.picture import (
    HIGHEST_RESOLUTION_DPI,
    PAGE_MEMORY_BYTES,
    PAGE_RESOLUTION_DPI,
    PAGE_SECONDS,
    PICTURE_LIMIT_PX,
)

POINTS_PER_INCH: Final = 72.0
"""Default user space unit of a PDF: ISO 32000-1, 8.3.2.3."""


def live() -> None:
    """Draw the page whose number is the program's argument; say why where it cannot be drawn."""
    hold(float(PAGE_MEMORY_BYTES), float(PAGE_SECONDS))
    answers = os.fdopen(os.dup(1), "wb")
    # What the library prints must not run into the answer.
    os.dup2(2, 1)
    try:
        pixels, head = drawn_page(sys.stdin.buffer.read(), int(sys.argv[1]))
    except PictureError as error:
        pixels, head = b"", {"error": str(error)}
    answers.write(json.dumps(head).encode() + b"\n")
    answers.write(pixels)
    answers.close()


def hold(memory_bytes: float, seconds: float) -> None:
    """Hold this process to so much memory and computing, where the system can (Linux, macOS in part; not Windows)."""
    try:
        import resource
    except ImportError:
        return
    for kind, most in ((resource.RLIMIT_AS, memory_bytes), (resource.RLIMIT_CPU, seconds)):
        with contextlib.suppress(ValueError, OSError):
            _, hard = resource.getrlimit(kind)
            limit = int(most) if hard == resource.RLIM_INFINITY else min(int(most), hard)
            resource.setrlimit(kind, (limit, hard))


def drawn_page(data: bytes, page: int) -> tuple[bytes, dict[str, Any]]:
    """The RGB pixels of page `page` (from 1), row by row; their width_px and height_px, the dpi, the count of pages.

    Raises PictureError where the file is locked, damaged, or has no such page.
    """
    try:
        document = pdfium.PdfDocument(data)
    except pdfium.PdfiumError:
        raise _refused(data) from None
    try:
        count = len(document)
        check_page(page, count, "PDF", "page")
        shown = document[page - 1]
        dpi = _resolution(shown, *shown.get_size())
        image = shown.render(scale=dpi / POINTS_PER_INCH, rev_byteorder=True).to_pil().convert("RGB")
    except pdfium.PdfiumError:
        raise _refused(data) from None
    finally:
        document.close()
    return image.tobytes(), {"width_px": image.width, "height_px": image.height, "dpi": dpi, "count": count}


def _refused(data: bytes) -> PictureError:
    # PDFium's own error code is left over from an earlier file where loading fails without one.
    if b"/Encrypt" in data:
        return PictureError("The PDF is locked with a password. Save it without one, or send a picture of the page.")
    return PictureError(
        "The PDF shows no page: it is empty or damaged. Export the drawing again, or send a picture of it."
    )


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
