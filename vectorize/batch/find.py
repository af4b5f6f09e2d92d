"""Names on the command line come in, files and folders; out go the pictures meant, in order, each with its folder's name."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ENDINGS: Final = frozenset(
    (".bmp", ".gif", ".heic", ".heif", ".jpe", ".jpeg", ".jpg", ".pdf", ".png", ".tif", ".tiff", ".webp")
)
"""What is taken for a picture in a folder; a file that is named itself may have any ending."""

RESULT: Final = "measures.json"
"""A folder that holds this was written by a run, and its PDFs are no drawings."""

OWN: Final = frozenset(("guidelines.pdf", "pin-up.pdf", "progress.pdf"))
"""What commands write beside those folders; it is no drawing either."""


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture to work on, and the name of the folder that its results go into."""

    path: Path
    folder: str


@dataclass(frozen=True, slots=True)
class Found:
    """The pictures in order, how many other files their folders held, and folders that held no picture."""

    pictures: tuple[Picture, ...]
    left_out: int
    empty: tuple[Path, ...]


def find(names: Iterable[Path], out: Path, *, recursive: bool = False) -> Found:
    """The pictures that are meant.

    A folder stands for the pictures in it, with `recursive` for those in its folders too; results of earlier runs,
    `out` among them, and hidden files are passed over. A folder that cannot be looked into stands for itself, so that
    whoever opens it tells. The same file named twice is one picture.
    """
    paths: dict[Path, Path] = {}
    left_out, empty = 0, []
    for name in names:
        if not os.path.isdir(name):  # noqa: PTH112  Path.is_dir raises where one may not look
            paths.setdefault(_identity(name), name)
            continue
        inside, others = _in_folder(name, out.resolve(), recursive=recursive)
        left_out += others
        if not inside:
            empty.append(name)
        for path in inside:
            paths.setdefault(_identity(path), path)
    chosen = tuple(paths.values())
    folders = folder_names([p.stem for p in chosen])
    return Found(tuple(Picture(p, f) for p, f in zip(chosen, folders, strict=True)), left_out, tuple(empty))


def _identity(path: Path) -> Path:
    return path.resolve()


def _in_folder(folder: Path, out: Path, *, recursive: bool) -> tuple[list[Path], int]:
    pictures, others = [], 0
    try:
        held = sorted(folder.iterdir(), key=lambda p: natural(p.name))
    except OSError:
        return [folder], 0
    for path in held:
        if path.name.startswith(".") or (path.name in OWN and folder.resolve() == out):
            continue
        if os.path.isdir(path):  # noqa: PTH112
            if recursive and path.resolve() != out and not path.is_symlink() and not (path / RESULT).exists():
                inside, more = _in_folder(path, out, recursive=True)
                pictures.extend(inside)
                others += more
        elif path.suffix.lower() in ENDINGS and (os.path.isfile(path) or os.path.islink(path)):  # noqa: PTH113, PTH114
            pictures.append(path)
        else:
            others += 1
    return pictures, others


def natural(name: str) -> tuple[tuple[int, int | str], ...]:
    """A key by which 'sheet 2' comes before 'sheet 10'."""
    parts = re.split(r"(\d+)", name.casefold())
    return tuple((0, int(p)) if p.isdigit() and p.isascii() else (1, p) for p in parts if p)


def folder_names(stems: Sequence[str]) -> list[str]:
    """A folder name for each stem: what no file system likes becomes '-', the second of a name gets '-2'."""
    taken: set[str] = set()
    names = []
    for stem in stems:
        names.append(free_name(stem, taken))
        taken.add(alike(names[-1]))
    return names


def free_name(stem: str, taken: Container[str]) -> str:
    """A folder name for the stem, with a number from 2 where it is among those taken, each as `alike` gives it."""
    plain = safe_name(stem)
    name, number = plain, 2
    while alike(name) in taken:
        name, number = f"{plain}-{number}", number + 1
    return name


def alike(name: str) -> str:
    """The same for names that some file system takes for one: in capitals or not, an accent in one character or in two."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


_RESERVED: Final = frozenset(
    ["con", "prn", "aux", "nul", *(f"com{i}" for i in range(1, 10)), *(f"lpt{i}" for i in range(1, 10))]
)
_LONGEST: Final = 120


def safe_name(stem: str) -> str:
    """The stem as a name that every file system takes."""
    name = re.sub(r'[\x00-\x1f\x7f<>:"/\\|?*]', "-", stem)
    name = "".join(c if c.isprintable() else "-" for c in name)[:_LONGEST].strip(" .") or "picture"
    return f"{name}-" if name.split(".")[0].casefold() in _RESERVED else name
