"""Pictures and options come in; each picture's folder is written as soon as it is made, and told as it comes."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Protocol, Self

from vectorize.batch.crew import Answer, Crew
from vectorize.batch.find import RESULT, Picture
from vectorize.batch.work import Made, Task, bytes_of, make, repeated, shown_name
from vectorize.batch.worker import attempt
from vectorize.brief import Brief
from vectorize.corrections import FILE_NAME
from vectorize.errors import BriefError, OutputError
from vectorize.write.measures import made_from


class Workers(Protocol):
    """Whoever does the work: one answer a task, in any order."""

    def answers(self, tasks: Iterable[Task]) -> Iterator[Answer]:
        """Answer tasks as they are done."""


@dataclass(frozen=True, slots=True)
class Done:
    """What became of one picture.

    folder: with its results, None where `error` says why there are none. told: what should be told besides.
    """

    picture: Picture
    folder: Path | None
    error: str | None = None
    told: tuple[str, ...] = ()


class InPlace:
    """The work done by this process, one picture after another: for a single picture nothing is quicker."""

    def answers(self, tasks: Iterable[Task]) -> Iterator[Answer]:
        """One answer a task, in order."""
        for number, task in enumerate(tasks):
            done, value = attempt(make, task)
            yield Answer(number, value) if done else Answer(number, error=value)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        """Nothing is left to end."""


def crew_for(
    pictures: int, *, workers: int | None = None, scheduler: str | None = None
) -> AbstractContextManager[Workers]:
    """Who works on so many pictures: this very process for one, several processes for more, or the cluster at `scheduler`.

    workers: so many processes; all cores when None. Raises BriefError for fewer than one and where the cluster cannot be used.
    """
    if workers is not None and workers < 1:
        raise BriefError("Somebody has to do the work. Give one worker or more, or leave the number out.")
    if scheduler is not None:
        from vectorize.batch.cluster import Cluster

        return Cluster(scheduler)
    if pictures <= 1:
        return InPlace()
    return Crew(make, min(workers or os.cpu_count() or 1, pictures))


def rebuild_all(
    pictures: Sequence[Picture],
    brief: Brief,
    out: Path,
    workers: Workers,
    *,
    resume: bool = False,
    shared: bool = False,
    timings: bool = False,
) -> Iterator[Done]:
    """What became of each picture, in the order they are done; first those that an earlier run has made.

    resume: a picture whose bytes and options are those of the results in its folder is left as it is.
    shared: workers read the pictures from the same paths; otherwise they are sent the bytes.
    timings: each picture tells how long its stages took.
    """
    sweep(out)
    kept = [p for p in pictures if resume and unchanged(p, brief, out)]
    for picture in kept:
        yield Done(picture, out / picture.folder)
    passed = set(kept)
    wanted = [p for p in pictures if p not in passed]
    for answer in workers.answers(_task(p, brief, out, shared=shared, timings=timings) for p in wanted):
        yield _written(wanted[answer.number], answer, out)


def _task(picture: Picture, brief: Brief, out: Path, *, shared: bool, timings: bool) -> Task:
    """The picture as it travels; one that cannot be read travels by its path and is told by whoever opens it."""
    data = None
    if not shared:
        with contextlib.suppress(OSError):
            data = bytes_of(picture.path)
    return Task(shown_name(picture.path.name), brief, data, picture.path.resolve(), _kept(picture, out), timings)


def _kept(picture: Picture, out: Path) -> bytes | None:
    """The file of corrections by hand beside the picture's results."""
    try:
        return (out / picture.folder / FILE_NAME).read_bytes()
    except OSError:
        return None


def _written(picture: Picture, answer: Answer, out: Path) -> Done:
    from vectorize.write.folder import write_folder

    if answer.error is not None:
        return Done(picture, None, answer.error)
    made: Made = answer.value
    try:
        folder = write_folder(out, picture.folder, made.files)
    except OutputError as error:
        return Done(picture, None, str(error))
    return Done(picture, folder, told=made.told)


def unchanged(picture: Picture, brief: Brief, out: Path) -> bool:
    """Whether the picture's folder holds the results of these very bytes and options."""
    try:
        measures = json.loads((out / picture.folder / RESULT).read_bytes())
        digest = hashlib.sha256(bytes_of(picture.path)).hexdigest()
        brief = repeated(brief, _kept(picture, out), digest)
        return bool(measures["made_from"] == made_from(digest, brief))
    except (OSError, ValueError, KeyError, TypeError, BriefError):
        return False


OLD_SECONDS: Final = (
    600.0  # a folder is written within a second: what is older was left by a run that was ended by force
)


def sweep(out: Path) -> None:
    """Take away the unfinished folders that a run left in `out` when it was ended by force."""
    with contextlib.suppress(OSError):
        for part in out.glob(".part-*"):
            if time.time() - part.stat().st_mtime > OLD_SECONDS:
                shutil.rmtree(part, ignore_errors=True) if part.is_dir() else part.unlink(missing_ok=True)
