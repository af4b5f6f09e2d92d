"""One picture's bytes and the options come in; the files of its folder go out. Called by every worker, here or elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from vectorize.brief import Brief
from vectorize.errors import PictureError


@dataclass(frozen=True, slots=True)
class Task:
    """One picture: its file name, the options, and its bytes or, where workers see the same files, its path."""

    name: str
    brief: Brief
    data: bytes | None = None
    path: Path | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """The files of the picture's folder by name, and what should be told besides, a sentence each."""

    files: Mapping[str, bytes]
    told: tuple[str, ...] = ()


def make(task: Task) -> Made:
    """Read, rebuild, judge and draw one picture.

    Raises PictureError or another VectorizeError where that cannot be done.
    """
    from vectorize.critique.judge import judge
    from vectorize.flow import study_picture
    from vectorize.write.folder import files_of

    study = study_picture(picture_bytes(task), task.name, task.brief)
    return Made(files_of(study, judge(study)), tuple(r.text for r in study.remarks if r.check == "word"))


def picture_bytes(task: Task) -> bytes:
    """The picture's bytes. Raises PictureError where the file cannot be read."""
    if task.data is not None:
        return task.data
    try:
        return (task.path or Path(task.name)).read_bytes()
    except FileNotFoundError as error:
        raise PictureError("There is no such file. Check the name and the folder.") from error
    except IsADirectoryError as error:
        raise PictureError("This is a folder. Name the pictures in it.") from error
    except OSError as error:
        raise PictureError(
            f"The file cannot be read ({error.strerror or error}). Check that you may open it and try again."
        ) from error
