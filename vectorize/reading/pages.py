"""The bytes of a PDF come in; out goes one page as a picture. The page is drawn by a process of its own (`press.py`).

A page can nest itself without end or swell from two kilobytes to gigabytes, and a damaged one can crash the library that
draws it. In a process of its own it is held to time and memory, and the worst it can do is to be refused.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any, Final

from PIL import Image

from vectorize.errors import PictureError
from vectorize.trade.picture import PAGE_SECONDS

HEADER_REACH_BYTES = 1024
"""Readers look for the header this far into the file (ISO 32000-1, annex H, implementation note 13)."""

COMMAND: Final = (sys.executable, "-c", "from vectorize.reading.press import live; live()")

TOO_MUCH: Final = (
    "The PDF's page is damaged, or takes more than {:.0f} seconds or too much memory to draw. "
    "Export the drawing again at 300 dpi, or send a picture of the page."
)


def is_pdf(data: bytes) -> bool:
    """Whether the bytes start like a PDF."""
    return b"%PDF-" in data[:HEADER_REACH_BYTES]


def check_page(page: int, count: int, file: str, what: str) -> None:
    """Refuses a page that is not in the file; `what` it holds, and the `file` itself, in a word each."""
    if page <= count:
        return
    if count == 1:
        held, advice = f"only one {what}", "Leave --page out."
    else:
        held, advice = f"{count} {what}s", f"Give --page a number from 1 to {count}."
    raise PictureError(f"Page {page} was asked for, but the {file} has {held}. {advice}")


def rendered_page(data: bytes, page: int) -> tuple[Image.Image, int, float]:
    """Page `page` (from 1) as RGB, the number of pages, and the dots per inch it was rendered at.

    Raises PictureError: cut off, locked, no such page, no page at all, too large, too long in the drawing.
    """
    if b"%%EOF" not in data:
        raise PictureError("The PDF is cut off: its end is missing. Copy or send the whole file again.")
    head, _, pixels = _drawn(data, page).partition(b"\n")
    if not head:
        raise PictureError(TOO_MUCH.format(PAGE_SECONDS))
    told: dict[str, Any] = json.loads(head)
    if "error" in told:
        raise PictureError(told["error"])
    size = (int(told["width_px"]), int(told["height_px"]))
    return Image.frombytes("RGB", size, pixels), int(told["count"]), float(told["dpi"])


def _drawn(data: bytes, page: int) -> bytes:
    """What the press answers; empty when it came to grief."""
    path = os.pathsep.join(p or str(Path.cwd()) for p in sys.path)
    try:
        done = subprocess.run(  # noqa: S603
            [*COMMAND, str(page)],
            input=data,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=float(PAGE_SECONDS),
            check=False,
            env={**os.environ, "PYTHONPATH": path},
            **_without_window(),
        )
    except subprocess.TimeoutExpired:
        return b""
    return done.stdout if done.returncode == 0 else b""


def _without_window() -> dict[str, Any]:
    """Options that keep Windows from opening a console for the press."""
    if sys.platform == "win32":
        return {"creationflags": subprocess.CREATE_NO_WINDOW}
    return {}
