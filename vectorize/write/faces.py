"""The sheets' own type as style for an HTML page, the font files inside, so that pages look the same everywhere."""

from __future__ import annotations

import base64

from vectorize.sheets.type import FAMILY, screen_file


def faces() -> str:
    """Two @font-face rules; characters that the screen's cut lacks the browser takes from another typeface."""
    return "".join(
        f"@font-face {{ font-family: '{FAMILY}'; font-weight: {weight}; "
        f"src: url(data:font/woff2;base64,{_encoded(bold=bold)}) format('woff2'); }}\n"
        for weight, bold in (("400", False), ("600 700", True))
    )


def _encoded(*, bold: bool) -> str:
    return base64.b64encode(screen_file(bold=bold).read_bytes()).decode()
