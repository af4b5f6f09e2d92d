"""The folders of results come in; out goes one ZIP. Also which files there are and how each is served."""

from __future__ import annotations

import tempfile
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import IO, Final

from vectorize.corrections import FILE_NAME

# A drawing's file opened on its own may style itself and show its own pictures; it may run and fetch nothing.
_STILL: Final = "sandbox; default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'"
# The proof's page magnifies and hides layers by a script of its own; the sandbox keeps it from the desk and from the net.
_ALIVE: Final = f"sandbox allow-scripts; script-src 'unsafe-inline'; {_STILL.removeprefix('sandbox; ')}"
# A browser's own reader of PDF is a page with parts of its own and stays empty inside a sandbox.
_PDF: Final = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; frame-ancestors 'none'"

SERVED: Final = {
    "original.svg": ("image/svg+xml", _STILL),
    "corrected.svg": ("image/svg+xml", _STILL),
    "comparison.svg": ("image/svg+xml", _STILL),
    "proof.pdf": ("application/pdf", _PDF),
    "proof.html": ("text/html", _ALIVE),
    "practice.pdf": ("application/pdf", _PDF),
    "measures.json": ("application/json", _STILL),
}
FILES: Final = tuple(SERVED)

GATHERED: Final = {
    ".pdf": ("application/pdf", _PDF),
    ".html": ("text/html", _STILL),
    ".svg": ("image/svg+xml", _STILL),
    ".csv": ("text/csv", _STILL),
    ".json": ("application/json", _STILL),
}
"""What tells of several drawings together, by its suffix."""


PIECE: Final = 1 << 18
TAKEN_HOME: Final = (*FILES, FILE_NAME)


def zip_of(folders: Iterable[Path]) -> IO[bytes]:
    """Our files of these folders, each under its folder's name; the same files give the same bytes.

    The ZIP is a file without a name, at its beginning: a class's proofs need not fit into memory.
    """
    out = tempfile.TemporaryFile()  # noqa: SIM115
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for folder in folders:
            for path in sorted(p for name in TAKEN_HOME if (p := folder / name).is_file()):
                entry = zipfile.ZipInfo(f"{folder.name}/{path.name}", (1980, 1, 1, 0, 0, 0))
                entry.compress_type = zipfile.ZIP_DEFLATED
                entry.external_attr = 0o644 << 16
                archive.writestr(entry, path.read_bytes())
    out.seek(0)
    return out


def in_pieces(file: IO[bytes]) -> Iterator[bytes]:
    """The bytes of a file, which is closed at its end."""
    with file:
        while piece := file.read(PIECE):
            yield piece
