"""The class's folder on disk: drawings with their corrections in, the same drawings out when the folder is opened again.

    FOLDER/.desk/class.json            what the whole class draws
    FOLDER/.desk/0001/picture          the picture's bytes, untouched
    FOLDER/.desk/0001/record.json      its name, its word, every step of correction
    FOLDER/.desk/0001/page.json ...    what was last read, so that the page opens at once
    FOLDER/<stem>/...                  the results, written by `write.folder`

No name that came from outside is ever part of a path below .desk: drawings are numbered here.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Final

from vectorize import __version__
from vectorize.batch.find import alike, free_name
from vectorize.brief import Brief
from vectorize.corrections import NO_CORRECTIONS, Corrections, from_json, to_json
from vectorize.errors import OutputError, VectorizeError

HIDDEN: Final = ".desk"
# Enough for an evening's work on one drawing; the oldest steps fall off first.
MOST_STEPS: Final = 300
# What page.json holds; one more whenever the page is given other values, so that older ones are not shown.
PAGE_FORMAT: Final = 3
MADE_BY: Final = f"{__version__}, page {PAGE_FORMAT}"
FONTS: Final = (".ttf", ".otf", ".woff", ".woff2")
PARTS: Final = ("picture", "page.json", "sketch.jpg", "thumb.jpg")


@dataclass(frozen=True, slots=True)
class ClassSheet:
    """What the class draws: word, model (its shown name; the file is kept on the shelf)."""

    word: str | None = None
    model: str | None = None


@dataclass(frozen=True, slots=True)
class Drawing:
    """One picture on the shelf.

    state: waiting, reading, done or failed; message: why it failed. steps[at]: the corrections that hold now.
    folder: name of its results' folder; written: the results there are of steps[at].
    made_by: the program that last read it, see MADE_BY.
    """

    number: int
    name: str
    digest: str
    folder: str
    word: str | None = None
    page: int = 1
    line: int | None = None
    state: str = "waiting"
    message: str = ""
    steps: tuple[Corrections, ...] = (NO_CORRECTIONS,)
    at: int = 0
    written: bool = False
    made_by: str = ""

    @property
    def corrections(self) -> Corrections:
        """What holds now."""
        return self.steps[self.at]

    def corrected(self, corrections: Corrections) -> Drawing:
        """A step further; what was undone before is forgotten."""
        steps = (*self.steps[: self.at + 1], corrections)[-MOST_STEPS:]
        return replace(self, steps=steps, at=len(steps) - 1, written=False)

    def stepped(self, by: int) -> Drawing:
        """Undo (-1) or redo (+1); the drawing itself where there is no such step."""
        at = min(max(self.at + by, 0), len(self.steps) - 1)
        return self if at == self.at else replace(self, at=at, written=False)


@dataclass(slots=True)
class Shelf:
    """The drawings of one folder, kept in memory and on disk alike."""

    folder: Path
    sheet: ClassSheet = field(default_factory=ClassSheet)
    drawings: dict[int, Drawing] = field(default_factory=dict)
    last_number: int = 0

    @classmethod
    def open(cls, folder: Path) -> Shelf:
        """The shelf in this folder, made where there is none; raises OutputError where nothing can be written."""
        shelf = cls(folder)
        try:
            shelf.hidden.mkdir(parents=True, exist_ok=True)
            shelf._load()
        except OSError as error:
            raise OutputError(
                f"The folder {folder} cannot be used ({error.strerror}). Choose one that you may write to."
            ) from error
        return shelf

    @property
    def hidden(self) -> Path:
        """Where the desk keeps its own things."""
        return self.folder / HIDDEN

    def part(self, number: int, part: str) -> Path:
        """A file of a drawing; `part` is one of PARTS."""
        if part not in PARTS:
            raise ValueError(f"no such part: {part}")
        return self.hidden / f"{number:04d}" / part

    def model_path(self) -> Path | None:
        """The model's file, None without a model."""
        if self.sheet.model is None:
            return None
        return next(iter(sorted(self.hidden.glob("model.*"))), None)

    def in_order(self) -> Iterator[Drawing]:
        """The drawings as they were handed in."""
        return iter([self.drawings[n] for n in sorted(self.drawings)])

    def brief(self, drawing: Drawing) -> Brief:
        """What is asked for this drawing."""
        word, model = drawing.word or self.sheet.word, self.model_path()
        if word is None and model is not None and model.suffix in FONTS:
            # Which letters of a font are meant, only the word tells; the drawing is read all the same.
            model = None
        return Brief(
            word=word,
            model=model,
            page=drawing.page,
            line=drawing.line,
            corrections=drawing.corrections,
        )

    def add(self, data: bytes, name: str, word: str | None) -> Drawing:
        """Put a picture on the shelf; raises OutputError, with nothing put there, where the disk has no room."""
        # A number is given once while the desk is open: what is still being read of a drawing taken off, and what a
        # helper or a page remembers of it, must not be taken for another one.
        number = max(self.last_number, *self.drawings, 0) + 1
        while (self.hidden / f"{number:04d}").exists():
            number += 1
        self.last_number = number
        drawing = Drawing(number, name, hashlib.sha256(data).hexdigest(), self._free_folder(name), word)
        room = self.hidden / f"{number:04d}"
        try:
            room.mkdir()
            self.keep(number, "picture", data)
            self.put(drawing)
        except (OSError, OutputError):
            self.drawings.pop(number, None)
            shutil.rmtree(room, ignore_errors=True)
            raise
        return drawing

    def put(self, drawing: Drawing) -> Drawing:
        """Remember the drawing as it now is."""
        self.drawings[drawing.number] = drawing
        values = {name: getattr(drawing, name) for name in _PLAIN} | {"steps": [to_json(c) for c in drawing.steps]}
        write_whole(self.hidden / f"{drawing.number:04d}" / "record.json", _dump(values))
        return drawing

    def keep(self, number: int, part: str, data: bytes) -> None:
        """Keep a file of a drawing."""
        write_whole(self.part(number, part), data)

    def take_off(self, number: int) -> None:
        """Take a drawing from the shelf; its results stay where they were written."""
        del self.drawings[number]
        room = self.hidden / f"{number:04d}"
        for path in sorted(room.iterdir()):
            path.unlink()
        room.rmdir()

    def set_sheet(self, sheet: ClassSheet) -> None:
        """Remember what the class draws."""
        self.sheet = sheet
        write_whole(self.hidden / "class.json", _dump({"word": sheet.word, "model": sheet.model}))

    def set_model(self, data: bytes, name: str, suffix: str) -> None:
        """Keep the model's file; `suffix` is one of the known ones, never taken from the name."""
        for old in sorted(self.hidden.glob("model.*")):
            old.unlink()
        write_whole(self.hidden / f"model{suffix}", data)
        self.set_sheet(replace(self.sheet, model=name))

    def _free_folder(self, name: str) -> str:
        return free_name(Path(name).stem, {alike(d.folder) for d in self.drawings.values()})

    def _load(self) -> None:
        sheet = _read(self.hidden / "class.json")
        if sheet:
            self.sheet = ClassSheet(sheet.get("word"), sheet.get("model"))
        for room in sorted(p for p in self.hidden.iterdir() if p.is_dir() and p.name.isdigit()):
            drawing = _drawing(_read(room / "record.json"))
            if drawing and (room / "picture").exists():
                self.drawings[drawing.number] = drawing


_PLAIN: Final = (
    "number",
    "name",
    "digest",
    "folder",
    "word",
    "page",
    "line",
    "state",
    "message",
    "at",
    "written",
    "made_by",
)


def _drawing(values: dict[str, Any]) -> Drawing | None:
    try:
        steps = tuple(from_json(s) for s in values["steps"])
        drawing = Drawing(**{name: values[name] for name in _PLAIN if name in values}, steps=steps)
    except (KeyError, TypeError, VectorizeError):
        return None
    # Whatever was being read when the desk was closed is read again, and what another program read.
    stale = drawing.state == "done" and drawing.made_by != MADE_BY
    return replace(drawing, state="waiting", written=False) if stale or drawing.state == "reading" else drawing


def _read(path: Path) -> dict[str, Any]:
    try:
        values = json.loads(path.read_bytes())
    except (FileNotFoundError, ValueError):
        return {}
    return values if isinstance(values, dict) else {}


def _dump(values: dict[str, Any]) -> bytes:
    return json.dumps(values, ensure_ascii=False, allow_nan=False).encode()


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that a desk killed at any moment leaves either the old one or the new one.

    Raises OutputError where it cannot be written; the old one is then still there.
    """
    part = path.with_name(path.name + ".part")
    try:
        with part.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            part.unlink()
        raise OutputError(
            f"The desk cannot keep this in {path.parent} ({error.strerror or error}). "
            "Check that the disk has room and that you may write there, then do it once more."
        ) from error
