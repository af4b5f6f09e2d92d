"""The jobs as functions of Python: rebuild pictures, compare drafts, rule paper.

>>> from vectorize import rebuild, compare, guidelines
>>> for result in rebuild("class", word="mantel", out="results"):
...     print(result.picture, result.folder or result.error)                                   # doctest: +SKIP
>>> compare("results/first", "results/second", out="results")                                  # doctest: +SKIP
>>> guidelines(x_height_mm=18, paper="A4", out="results")                                      # doctest: +SKIP
"""

from __future__ import annotations

import json
import math
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from vectorize.batch.find import find
from vectorize.batch.pin_up import write_files, write_pin_up
from vectorize.batch.run import Done, crew_for, rebuild_all
from vectorize.brief import Brief
from vectorize.curves import Contour, box
from vectorize.drafts.open import open_drafts
from vectorize.drafts.progress import progress_files
from vectorize.errors import BriefError
from vectorize.sheets.guidelines import Lines, iso_lines
from vectorize.sheets.guidelines import guidelines as sheet
from vectorize.trade.paper import CAP_OF_X_HEIGHT, MARGIN_MM, SHEETS_MM, USUAL_X_HEIGHT_MM

PathLike = str | os.PathLike[str]


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one picture: its folder, or the sentence that says why there is none."""

    picture: Path
    folder: Path | None
    error: str | None
    told: tuple[str, ...] = ()

    @property
    def measures(self) -> Mapping[str, Any]:
        """The figures of measures.json. Raises ValueError where the picture could not be used."""
        if self.folder is None:
            raise ValueError(self.error)
        found: Mapping[str, Any] = json.loads((self.folder / "measures.json").read_bytes())
        return found


def rebuild(
    pictures: PathLike | Iterable[PathLike],
    *,
    word: str | None = None,
    model: PathLike | None = None,
    x_height_mm: float | None = None,
    letterspacing_percent: float | None = None,
    page: int = 1,
    line: int | None = None,
    out: PathLike = "svg_out",
    recursive: bool = False,
    resume: bool = False,
    workers: int | None = None,
    scheduler: str | None = None,
    shared: bool = False,
) -> tuple[Result, ...]:
    """Rebuild pictures, and the pictures in folders, into folders in `out`; the pin-up beside them where there are several.

    pictures: one name or several.
    workers: so many processes, all cores when None. scheduler: address of a Dask cluster to work on instead; shared: it
    sees the same files and is sent their paths, not their bytes.
    A picture that cannot be used is told in its Result and stops nothing. Results are in the order of the pictures.

    Raises BriefError for options that make no sense, OutputError where the pin-up cannot be written.
    """
    brief = Brief(
        word, None if model is None else Path(model), x_height_mm, letterspacing_percent, page=page, line=line
    )
    target = Path(out)
    names = [pictures] if isinstance(pictures, str | os.PathLike) else pictures
    found = find([Path(p) for p in names], target, recursive=recursive)
    with crew_for(len(found.pictures), workers=workers, scheduler=scheduler) as crew:
        done = {d.picture: d for d in rebuild_all(found.pictures, brief, target, crew, resume=resume, shared=shared)}
    ordered = [done[p] for p in found.pictures]
    write_pin_up(target, [d.folder for d in ordered if d.folder is not None])
    return tuple(_result(d) for d in ordered)


def _result(done: Done) -> Result:
    return Result(done.picture.path, done.folder, done.error, done.told)


def compare(
    *drafts: PathLike,
    word: str | None = None,
    model: PathLike | None = None,
    line: int | None = None,
    out: PathLike = "svg_out",
) -> tuple[Path, ...]:
    """Compare drafts of one word, the earliest first, and write progress.html, .pdf, .svg and .json into `out`.

    drafts: two or more pictures, or folders that `rebuild` wrote. Gives the paths of the files.
    Raises BriefError for fewer than two drafts, PictureError for one that cannot be used, OutputError.
    """
    brief = Brief(word, None if model is None else Path(model), line=line)
    return write_files(Path(out), progress_files(open_drafts([Path(d) for d in drafts], brief)))


def guidelines(
    *,
    x_height_mm: float | None = None,
    model: PathLike | None = None,
    word: str | None = None,
    cap_ratio: float | None = None,
    slant_deg: float = 0.0,
    paper: str = "A4",
    lines: int | None = None,
    tails: bool = False,
    out: PathLike = "svg_out",
) -> tuple[Path, ...]:
    """Rule paper at true size and write guidelines.pdf and guidelines.svg into `out`; gives their paths.

    Proportions come from the font file `model`, or from ISO 3098; with `word` the model's own letters stand light on the
    first line. cap_ratio: height of capitals in x-heights. tails: ascender and descender lines too.
    Raises BriefError, ModelError, OutputError.
    """
    from vectorize.write.pdf import pdf_bytes
    from vectorize.write.svg import svg_bytes

    brief = Brief(word, None if model is None else Path(model), x_height_mm)
    font = brief.model
    contours = _model_word(font, brief.word)
    height = _fitting(brief.x_height_mm, contours, paper)
    ruled = _ruled(font, height, cap_ratio, tails=tails)
    drawing = sheet(ruled, sheet=paper, rows=lines, slant_deg=slant_deg, model=contours, title=_title(font))
    return write_files(Path(out), {"guidelines.pdf": pdf_bytes((drawing,)), "guidelines.svg": svg_bytes(drawing)})


def _model_word(font: Path | None, word: str | None) -> tuple[Contour, ...]:
    if word is None:
        return ()
    if font is None:
        raise BriefError(
            "A word can only be shown in a model's letters. Name a font file with --model, or leave --word out."
        )
    from vectorize.model.proportions import word_contours

    return word_contours(font, word)


def _fitting(x_height_mm: float | None, contours: Sequence[Contour], paper: str) -> float:
    """The x-height told, or the usual one, smaller in whole mm where the word would not fit."""
    if x_height_mm is not None:
        return x_height_mm
    usual = float(USUAL_X_HEIGHT_MM)
    if not contours or paper not in SHEETS_MM:
        return usual
    room = max(SHEETS_MM[paper]) - 2 * MARGIN_MM
    return max(1.0, min(usual, math.floor(1000.0 * room / box(contours).width)))


def _ruled(font: Path | None, x_height_mm: float, cap_ratio: float | None, *, tails: bool) -> Lines:
    if cap_ratio is not None and not 1.0 <= cap_ratio <= 4.0:
        raise BriefError("Capitals are 1 to 4 x-heights high. Give that ratio after --cap-ratio.")
    plain = iso_lines(x_height_mm, cap_ratio=cap_ratio, tails=tails)
    if font is None:
        return plain
    from vectorize.model.proportions import font_proportions

    own = font_proportions(font)
    cap = x_height_mm * (cap_ratio or own.cap_ratio or CAP_OF_X_HEIGHT)
    if not tails:
        return Lines(x_height_mm, cap)
    ascender = None if own.ascender_ratio is None else x_height_mm * own.ascender_ratio
    descender = plain.descender_mm if own.descender_ratio is None else x_height_mm * own.descender_ratio
    return Lines(x_height_mm, cap, ascender, descender)


def _title(font: Path | None) -> str:
    if font is None:
        return "ISO 3098"
    from vectorize.model.proportions import font_proportions

    return font_proportions(font).name
