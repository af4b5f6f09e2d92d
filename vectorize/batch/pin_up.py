"""The class's wall comes in; out go its files: pin-up.html, .pdf, .csv and .json, and they are put beside the folders."""

from __future__ import annotations

import csv
import io
import json
import secrets
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from vectorize.batch.wall import Wall, different, faults, hang, load
from vectorize.drafts.changes import figures
from vectorize.drafts.draft import Draft
from vectorize.errors import OutputError
from vectorize.findings import Severity
from vectorize.geometry import Box
from vectorize.sheets.drawing import Drawing
from vectorize.sheets.pin_up import Lesson, Pinned, pin_up, word
from vectorize.write.plain_page import Block, Entry, Figure, Row, Section, Text, plain_page

PIN_UP: Final = "pin-up"
SCHEMA_VERSION: Final = 1


def write_pin_up(out: Path, folders: Sequence[Path]) -> tuple[Path, ...]:
    """Hang the drawings of these folders and write the wall into `out`.

    Nothing is written for fewer than two different pictures. Raises OutputError where a file cannot be written.
    """
    drafts = different(d for d in (load(f) for f in folders) if d is not None)
    if len(drafts) < 2:
        return ()
    return write_files(out, pin_up_files(hang(drafts)))


def pin_up_files(wall: Wall) -> dict[str, bytes]:
    """The wall's files by name."""
    from vectorize.write.pdf import pdf_bytes

    return {
        f"{PIN_UP}.pdf": pdf_bytes(pin_up(wall.pinned, wall.lessons)),
        f"{PIN_UP}.html": plain_page("Pin-up", _page(wall)),
        f"{PIN_UP}.csv": _csv(wall.drafts),
        f"{PIN_UP}.json": _json(wall),
    }


def write_files(out: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder, each whole or not at all. Raises OutputError."""
    written = []
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            part = out / f".part-{secrets.token_hex(8)}"
            try:
                part.write_bytes(data)
                part.replace(out / name)
            finally:
                part.unlink(missing_ok=True)
            written.append(out / name)
    except OSError as error:
        raise OutputError(
            f"A file could not be written to {out} ({error.strerror or error}). "
            "Check that the disk has room and that you may write there, or name another folder with --out."
        ) from error
    return tuple(written)


def _page(wall: Wall) -> tuple[Block, ...]:
    said = f"What the {len(wall.drafts)} drawings have in common, the commonest first."
    none = (Text("Nothing that two drawings share needs a lesson."),)
    lessons = tuple(_lesson(x) for x in wall.lessons) or none
    drawings = tuple(_entry(p) for p in wall.pinned)
    return (
        Section("For the next lesson", (Text(said, quiet=True), *lessons)),
        Section("The wall", (Text("As drawn, and the same letters evenly spaced.", quiet=True), *drawings)),
    )


def _lesson(lesson: Lesson) -> Block:
    examples = tuple(
        Entry(e.name, (Figure(_cell(e.drawn, e.name, e.stretch_u)), Text(e.text)), (e.folder, "proof.html"))
        for e in lesson.examples
    )
    return Section(lesson.title, (Text(lesson.shared, quiet=True), Text(lesson.practise), Row(examples)), 3)


def _entry(pinned: Pinned) -> Block:
    pair = Row(
        (
            Figure(_cell(pinned.drawn, f"{pinned.name}, as drawn")),
            Figure(_cell(pinned.corrected, f"{pinned.name}, evenly spaced")),
        )
    )
    look = f"Look first: {pinned.look_first}" if pinned.look_first else "Everything that was looked at holds."
    return Entry(pinned.name, (pair, Text(look)), (pinned.folder, "proof.html"))


def _cell(letters: Any, title: str, stretch_u: tuple[float, float] | None = None) -> Drawing:
    cell = Box(0.0, 0.0, 80.0, 22.0)
    return Drawing(cell.width, cell.height, title, tuple(word(letters, 0.0, 0.0, cell.width, cell.height, stretch_u)))


def _csv(drafts: Sequence[Draft]) -> bytes:
    """One line a drawing: where it is, its figures, and the heaviest that each check has to say."""
    checks = sorted({f.check for d in drafts for f in d.findings})
    text = io.StringIO()
    table = csv.writer(text)
    head = ["folder", "file", "word", "x_height_mm", "drawing_deg", "uneven_ratio", "stem_spread_deg", "look_first"]
    table.writerow([*head, *checks])
    for d in drafts:
        heaviest = {
            c: max((f.severity for f in d.findings if f.check == c), key=lambda s: s.rank, default="") for c in checks
        }
        first = next(iter(faults(d, Severity.NOTE)), None)
        f = figures(d)
        plain = (d.name, d.file, d.spelt, first.text if first else "")
        folder, file, spelt, look = (_harmless(v) for v in plain)
        measured = (d.measures["scale"]["x_height_mm"], f.baseline_deg, f.uneven_ratio, f.stem_spread_deg)
        numbers = ["" if v is None else f"{v:.4g}" for v in measured]
        table.writerow([folder, file, spelt, *numbers, look, *heaviest.values()])
    # The mark at the head lets spreadsheets read the file as UTF-8.
    return ("\ufeff" + text.getvalue()).encode()


def _harmless(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


def _json(wall: Wall) -> bytes:
    drawings = [
        {
            "folder": d.name,
            "file": d.file,
            "picture_sha256": d.picture_digest,
            "word": d.spelt,
            "figures": _figures(d),
            "look_first": [f.text for f in faults(d)],
        }
        for d in wall.drafts
    ]
    lessons = [
        {"title": x.title, "shared": x.shared, "practise": x.practise, "examples": [e.folder for e in x.examples]}
        for x in wall.lessons
    ]
    said = {"schema_version": SCHEMA_VERSION, "lessons": lessons, "drawings": drawings}
    return (json.dumps(said, ensure_ascii=False, indent=1) + "\n").encode()


def _figures(draft: Draft) -> dict[str, float | None]:
    f = figures(draft)
    values = {
        "uneven_ratio": f.uneven_ratio,
        "baseline_deg": f.baseline_deg,
        "stem_spread_deg": f.stem_spread_deg,
    }
    return {k: None if v is None else round(float(v), 4) for k, v in values.items()}
