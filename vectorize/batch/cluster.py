"""Tasks go in, their answers come out as they are done, worked on by the machines of a Dask cluster.

Needs `pip install ".[cluster]"` here and on each worker. The scheduler gives a task of a lost worker to another one; a task
that takes three workers along is answered by an error.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Iterator
from typing import Any, Final, Self

from vectorize import __version__
from vectorize.batch.crew import LOST, Answer, Work, attempt
from vectorize.batch.work import Task
from vectorize.errors import BriefError

TASKS_A_WORKER: Final = 3
"""So many tasks are on the way for each worker, so that none waits and no more pictures are held than needed."""

SECONDS_TO_CONNECT: Final = 20


class Cluster:
    """The workers behind a scheduler's address, such as tcp://10.0.0.5:8786.

    Raises BriefError where the cluster cannot be reached, has no worker, or runs another version of this program.
    """

    def __init__(self, address: str, work: Work) -> None:
        self._work = work
        self._dask = _distributed()
        self._client = _connected(self._dask, address)
        self._versions()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._client.close()

    def answers(self, tasks: Iterable[Task]) -> Iterator[Answer]:
        """One answer a task, in the order they are done."""
        waiting = enumerate(tasks)
        numbers: dict[Any, int] = {}
        coming = self._dask.as_completed()
        while self._fill(waiting, numbers, coming):
            future = next(coming)
            yield _answer(future, numbers.pop(future.key))
            future.release()

    def _fill(self, waiting: Iterator[tuple[int, Task]], numbers: dict[Any, int], coming: Any) -> bool:
        """Send tasks until enough are on the way; False when none is left and none is on the way."""
        most = TASKS_A_WORKER * max(1, len(self._client.scheduler_info(n_workers=-1)["workers"]))
        while len(numbers) < most:
            upcoming = next(waiting, None)
            if upcoming is None:
                break
            number, task = upcoming
            future = self._client.submit(attempt, self._work, task, pure=False)
            numbers[future.key] = number
            coming.add(future)
        return bool(numbers)

    def _versions(self) -> None:
        versions = set(self._client.run(_version).values())
        if not versions:
            raise BriefError("The cluster has no workers. Start some with: dask worker ADDRESS")
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


def _version() -> str:
    return __version__


def _answer(future: Any, number: int) -> Answer:
    if future.status != "finished":
        return Answer(number, error=LOST)
    done, value = future.result()
    return Answer(number, value) if done else Answer(number, error=value)
