"""One picture's bytes and the options come in; the files of its folder go out. Called by every worker, here or elsewhere."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from vectorize.batch.stopwatch import Stopwatch
from vectorize.brief import Brief
from vectorize.corrections import from_bytes
from vectorize.errors import PictureError
from vectorize.trade.picture import FILE_LIMIT_BYTES


@dataclass(frozen=True, slots=True)
class Task:
    """One picture: its file name, the options, and its bytes or, where workers see the same files, its path.

    kept: the file of corrections by hand beside its results, None where there is none. timings: tell how long each stage took.
    """

    name: str
    brief: Brief
    data: bytes | None = None
    path: Path | None = None
    kept: bytes | None = None
    timings: bool = False


@dataclass(frozen=True, slots=True)
class Made:
    """The files of the picture's folder by name, and what should be told besides, a sentence each."""

    files: Mapping[str, bytes]
    told: tuple[str, ...] = ()


def make(task: Task) -> Made:
    """Read, rebuild, judge and draw one picture.

    Raises PictureError or another VectorizeError where that cannot be done.
    """
    watch = Stopwatch()
    watch("program loaded")
    from vectorize.critique.judge import judge
    from vectorize.flow import study_picture
    from vectorize.write.folder import files_of, load_writers

    # The reading's filters leave the interpreter free for long enough to load what writes.
    loading = threading.Thread(target=load_writers)
    loading.start()

    data = picture_bytes(task)
    brief = repeated(task.brief, task.kept, hashlib.sha256(data).hexdigest())
    study = study_picture(data, task.name, brief, on_stage=watch)
    watch("critique")
    findings = judge(study)
    watch("sheets")
    loading.join()
    files = files_of(study, findings)
    told = tuple(r.text for r in study.remarks if r.check == "word")
    return Made(files, (*told, watch.sentence()) if task.timings else told)


def repeated(brief: Brief, kept: bytes | None, digest: str) -> Brief:
    """The options with the corrections by hand that were kept, where they were made on this very picture.

    digest: SHA-256 of the picture's bytes, in hex. Raises BriefError where the file of corrections is damaged.
    """
    corrections = from_bytes(kept, digest) if kept is not None else None
    return brief if corrections is None else replace(brief, corrections=corrections)


def shown_name(name: str) -> str:
    """A file's name as text: bytes in it that are no UTF-8 cannot stand in a file of results."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def picture_bytes(task: Task) -> bytes:
    """The picture's bytes. Raises PictureError where the file cannot be read."""
    if task.data is not None:
        return task.data
    try:
        return bytes_of(task.path or Path(task.name))
    except FileNotFoundError as error:
        raise PictureError("There is no such file. Check the name and the folder.") from error
    except IsADirectoryError as error:
        raise PictureError(
            "This folder cannot be looked into. Check that you may open it, or name its pictures."
        ) from error
    except OSError as error:
        raise PictureError(
            f"The file cannot be read ({error.strerror or error}). Check that you may open it and try again."
        ) from error


def bytes_of(path: Path) -> bytes:
    """The file's bytes, of a larger one than can be a picture just one more than are accepted. Raises OSError."""
    with path.open("rb") as file:
        return file.read(int(FILE_LIMIT_BYTES) + 1)
