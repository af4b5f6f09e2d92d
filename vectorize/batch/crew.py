"""Tasks go in, their answers come out as they are done, worked on by several processes of this computer.

A crew loses a worker when a damaged file crashes a decoder or swells until the system ends it. The task is then given
once more to a fresh worker; when it takes that one along as well, it is answered by an error, and the others go on.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, Final, Self

from vectorize.errors import VectorizeError

Work = Callable[[Any], Any]

LOOK_UP_SECONDS: Final = 0.5
SECONDS_A_TASK: Final = 300.0  # a 48 Mpx photograph takes some ten; what needs more than this will never end
TRIES: Final = 2

LOST: Final = (
    "This picture ended the program that read it, twice: it is damaged or needs more memory than there is. "
    "Save it anew from a picture viewer, smaller, and hand that in."
)
ENDLESS: Final = (
    "This picture could not be read within {:.0f} seconds. "
    "Photograph the sheet again so that the word fills the picture, or save it smaller."
)
FAULT: Final = (
    "This picture met a fault in the program and was left out ({}: {}). "
    "Save it anew and hand it in again; if the fault stays, report it with the picture."
)


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of the task with this number: a value, or the sentence that says why there is none."""

    number: int
    value: Any = None
    error: str | None = None


class Crew:
    """So many processes that each call `work` (a function at the top of a module) on one task after another.

    A worker never sees Ctrl-C: the crew's owner leaves the `with`, and the workers are ended at once.
    """

    def __init__(self, work: Work, size: int, *, seconds: float = SECONDS_A_TASK) -> None:
        if size < 1:
            raise ValueError("size must be at least 1")
        self._work = work
        self._size = size
        self._seconds = seconds
        self._hands: list[_Hand] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        for hand in self._hands:
            hand.close()
        self._hands = []

    @property
    def pids(self) -> tuple[int, ...]:
        """The workers' process ids."""
        return tuple(h.process.pid or 0 for h in self._hands)

    def answers(self, tasks: Iterable[Any]) -> Iterator[Answer]:
        """One answer a task, in the order they are done; tasks are drawn only as workers come free."""
        waiting = enumerate(tasks)
        again: deque[_Task] = deque()
        while True:
            for place in range(self._size):
                if place < len(self._hands) and self._hands[place].task is not None:
                    continue
                task = again.popleft() if again else next((_Task(n, v) for n, v in waiting), None)
                if task is None:
                    break
                self._give(place, task)
            busy = [h for h in self._hands if h.task is not None]
            if not busy:
                return
            for hand in _ready(busy, self._seconds):
                answer = hand.answer(self._seconds)
                if isinstance(answer, _Task):
                    again.append(answer)
                else:
                    yield answer

    def _give(self, place: int, task: _Task) -> None:
        while len(self._hands) <= place:
            self._hands.append(_Hand(self._work))
        if not self._hands[place].process.is_alive():
            self._hands[place].close()
            self._hands[place] = _Hand(self._work)
        self._hands[place].give(task)


@dataclass(slots=True)
class _Task:
    number: int
    value: Any
    tried: int = 0


class _Hand:
    """One worker process and the task it has at hand."""

    def __init__(self, work: Work) -> None:
        # "spawn" everywhere: the same on each system, and nothing of the owner's threads is inherited.
        context = multiprocessing.get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self.process: BaseProcess = context.Process(target=_live, args=(theirs, work), daemon=True)
        self.process.start()
        theirs.close()
        self.task: _Task | None = None
        self.since = 0.0

    def give(self, task: _Task) -> None:
        """Send a task."""
        self.task, self.since = task, time.monotonic()
        with contextlib.suppress(OSError):  # a worker that just died is noticed when its answer is asked for
            self.pipe.send(task.value)

    def answer(self, seconds: float) -> Answer | _Task:
        """The answer of the task at hand, or the task itself when it should be tried again."""
        task = self.task
        assert task is not None
        self.task = None
        try:
            if not self.pipe.poll():
                self.close()
                return Answer(task.number, error=ENDLESS.format(seconds))
            done, value = self.pipe.recv()
        except (EOFError, OSError):
            self.close()
            task.tried += 1
            return task if task.tried < TRIES else Answer(task.number, error=LOST)
        return Answer(task.number, value) if done else Answer(task.number, error=value)

    def overdue(self, seconds: float) -> bool:
        """Whether the task at hand has had its time."""
        return time.monotonic() - self.since > seconds

    def close(self) -> None:
        """End the worker at once."""
        self.pipe.close()
        if self.process.is_alive():
            self.process.kill()
        self.process.join()


def _ready(busy: list[_Hand], seconds: float) -> list[_Hand]:
    """Workers that have an answer, are gone, or have had their time; at least one."""
    while True:
        spoken = wait([h.pipe for h in busy], timeout=LOOK_UP_SECONDS)
        ready = [h for h in busy if h.pipe in spoken or h.overdue(seconds)]
        if ready:
            return ready


def _live(pipe: Connection, work: Work) -> None:
    """A worker's life: task after task, until its owner is gone."""
    one_thread()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(EOFError, OSError):
        while True:
            task = pipe.recv()
            pipe.send(attempt(work, task))


def one_thread() -> None:
    """Keep the numerical libraries, not loaded yet, to one thread: the pictures are what is worked on side by side.

    It also keeps sums in one order, so that results do not depend on the number of cores.
    """
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


def attempt(work: Work, task: Any) -> tuple[bool, Any]:
    """(True, the value), or (False, a sentence for the learner): also for a fault of ours, which ends no run."""
    try:
        return True, work(task)
    except VectorizeError as error:
        return False, str(error)
    except MemoryError:
        return False, LOST
    except Exception as error:  # noqa: BLE001
        return False, FAULT.format(type(error).__name__, error)
