"""Tasks go in, their answers come out as they are done, worked on by the machines of a Dask cluster.

Needs `pip install ".[cluster]"` here and on each worker. The scheduler gives a task of a lost worker to another one; a task
that takes three workers along is answered by an error.
"""

from __future__ import annotations

import importlib
import threading
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any, Final, Self

from vectorize import __version__
from vectorize.batch.crew import Answer
from vectorize.batch.work import Task, make
from vectorize.batch.worker import LOST, Work, attempt
from vectorize.errors import BriefError

TASKS_A_WORKER: Final = 3
"""So many tasks are on the way for each worker, so that none waits and no more pictures are held than needed."""

SECONDS_TO_CONNECT: Final = 20


class Cluster:
    """The workers behind a scheduler's address, such as tcp://10.0.0.5:8786.

    Raises BriefError where the cluster cannot be reached, has no worker, or runs another version of this program.
    """

    def __init__(self, address: str, work: Work = make) -> None:
        self._work = work
        self._dask = _distributed()
        self._client = _connected(self._dask, address)
        try:
            self._versions()
        except BriefError:
            self._client.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._client.close()

    def answers(self, tasks: Iterable[Task]) -> Iterator[Answer]:
        """One answer a task, in the order they are done.

        A worker that dies puts all its tasks under suspicion; those given up by the scheduler are tried once more, each alone.
        """
        suspects: list[tuple[int, Task]] = []
        for number, task, future in self._done(enumerate(tasks), self._room()):
            if future.status == "finished":
                yield _answer(number, future.result())
            else:
                suspects.append((number, task))
        for number, _, future in self._done(iter(suspects), 1):
            yield _answer(number, future.result()) if future.status == "finished" else Answer(number, error=LOST)

    def _room(self) -> int:
        return TASKS_A_WORKER * max(1, len(self._client.nthreads()))

    def _done(self, tasks: Iterator[tuple[int, Task]], room: int) -> Iterator[tuple[int, Task, Any]]:
        """Each task with its finished future, `room` of them on the way at a time."""
        on_the_way: dict[Any, tuple[int, Task]] = {}
        coming = self._dask.as_completed(loop=self._client.loop)
        while True:
            for number, task in islice(tasks, room - len(on_the_way)):
                future = self._client.submit(_alone, self._work, task, pure=False)
                on_the_way[future.key] = (number, task)
                coming.add(future)
            if not on_the_way:
                return
            future = next(coming)
            yield *on_the_way.pop(future.key), future
            future.release()

    def _versions(self) -> None:
        versions = set(self._client.run(_version).values())
        if not versions:
            raise BriefError(
                "The cluster has no workers. Start some on each machine with: dask worker ADDRESS --nworkers auto --nthreads 1"
            )
        if versions != {__version__}:
            raise BriefError(
                f"The cluster's workers have vectorize {', '.join(sorted(versions))}, here it is {__version__}. "
                "Install the same on all machines, so that the same picture gives the same results."
            )


def _distributed() -> Any:
    try:
        return importlib.import_module("distributed")
    except ImportError as error:
        raise BriefError(
            'A cluster needs dask.distributed. Install it with: python -m pip install ".[cluster]"'
        ) from error


def _connected(dask: Any, address: str) -> Any:
    try:
        return dask.Client(address, timeout=SECONDS_TO_CONNECT, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        raise BriefError(
            f"No scheduler answers at {address} ({error}). Check the address and that the cluster runs."
        ) from error


# PDFium is not safe in several threads of one process, and Dask's workers have as many as cores unless told otherwise.
_ONE_AT_A_TIME: Final = threading.Lock()


def _alone(work: Work, task: Any) -> tuple[bool, Any]:
    with _ONE_AT_A_TIME:
        return attempt(work, task)


def _version() -> str:
    return __version__


def _answer(number: int, attempted: tuple[bool, Any]) -> Answer:
    done, value = attempted
    return Answer(number, value) if done else Answer(number, error=value)
