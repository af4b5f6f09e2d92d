"""Tasks go in, their answers come out as they are done, worked on by several processes of this computer.

A crew loses a worker when a damaged file crashes a decoder or swells until the system ends it. The task is then given
once more to a fresh worker; when it takes that one along as well, it is answered by an error, and the others go on.
Workers are programs of their own that know nothing of the owner's main module, so a plain script may start them.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import queue
import subprocess
import sys
import threading
import time
from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Self, TypeAlias

from vectorize.batch.worker import COMMAND, LOST, Work

LOOK_UP_SECONDS: Final = 0.5
SECONDS_A_TASK: Final = 300.0  # a 48 Mpx photograph takes some ten; what needs more than this will never end
TRIES: Final = 2

ENDLESS: Final = (
    "This picture could not be read within {:.0f} seconds. "
    "Photograph the sheet again so that the word fills the picture, or save it smaller."
)


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of the task with this number: a value, or the sentence that says why there is none."""

    number: int
    value: Any = None
    error: str | None = None


@dataclass(slots=True)
class _Task:
    number: int
    value: Any
    tried: int = 0


class Crew:
    """So many processes that each call `work` (a function at the top of a module) on one task after another.

    A worker never sees Ctrl-C: the crew's owner leaves the `with`, and the workers are ended at once.
    """

    def __init__(self, work: Work, size: int, *, seconds: float = SECONDS_A_TASK) -> None:
        if size < 1:
            raise ValueError("size must be at least 1")
        self._work = work
        self._seconds = seconds
        self._events: _Events = queue.SimpleQueue()
        self._hands: list[_Hand | None] = [None] * size

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        for hand in self._hands:
            if hand is not None:
                hand.close()

    @property
    def pids(self) -> tuple[int, ...]:
        """The workers' process ids."""
        return tuple(h.pid for h in self._hands if h is not None)

    def answers(self, tasks: Iterable[Any]) -> Iterator[Answer]:
        """One answer a task, in the order they are done; tasks are drawn only as workers come free."""
        waiting = (_Task(number, value) for number, value in enumerate(tasks))
        again: deque[_Task] = deque()
        self._refill(waiting, again)
        while any(h is not None and h.task is not None for h in self._hands):
            answer = self._next()
            if isinstance(answer, _Task):
                again.append(answer)
            # The worker goes on before the owner takes its time over the answer.
            self._refill(waiting, again)
            if isinstance(answer, Answer):
                yield answer

    def _refill(self, waiting: Iterator[_Task], again: deque[_Task]) -> None:
        for place, old in enumerate(self._hands):
            if old is not None and old.task is not None:
                continue
            task = again.popleft() if again else next(waiting, None)
            if task is None:
                return
            hand = old if old is not None and old.alive else _Hand(self._work, self._events)
            self._hands[place] = hand
            hand.give(task)

    def _next(self) -> Answer | _Task:
        """The next answer, or a task that should be tried again."""
        while True:
            for hand in self._hands:
                if hand is not None and hand.overdue(self._seconds):
                    return hand.given_up(self._seconds)
            with contextlib.suppress(queue.Empty):
                hand, message = self._events.get(timeout=LOOK_UP_SECONDS)
                if hand.task is not None:
                    return hand.answered(message)


class _Hand:
    """One worker process and the task it has at hand."""

    def __init__(self, work: Work, events: _Events) -> None:
        path = os.pathsep.join(p or str(Path.cwd()) for p in sys.path)
        self._process = subprocess.Popen(  # noqa: S603
            COMMAND,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": path},
            **_apart(),
        )
        self.task: _Task | None = None
        self._since = 0.0
        self._reader = threading.Thread(target=self._listen, args=(events,), daemon=True)
        self._reader.start()
        self._send(work)

    @property
    def pid(self) -> int:
        """The worker's process id."""
        return self._process.pid

    @property
    def alive(self) -> bool:
        """Whether the worker can take another task."""
        return self._process.poll() is None

    def give(self, task: _Task) -> None:
        """Send a task."""
        self.task, self._since = task, time.monotonic()
        self._send(task.value)

    def overdue(self, seconds: float) -> bool:
        """Whether the task at hand has had its time."""
        return self.task is not None and time.monotonic() - self._since > seconds

    def answered(self, message: tuple[bool, Any] | None) -> Answer | _Task:
        """The answer in a message of the worker; without one the worker is gone, and its task is tried again or given up."""
        task, self.task = self.task, None
        assert task is not None
        if message is None:
            self.close()
            task.tried += 1
            return task if task.tried < TRIES else Answer(task.number, error=LOST)
        done, value = message
        return Answer(task.number, value) if done else Answer(task.number, error=value)

    def given_up(self, seconds: float) -> Answer:
        """The answer for a task that takes too long; the worker is ended."""
        task, self.task = self.task, None
        assert task is not None
        self.close()
        return Answer(task.number, error=ENDLESS.format(seconds))

    def close(self) -> None:
        """End the worker at once."""
        self._process.kill()
        self._process.wait()
        self._reader.join()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()

    def _send(self, value: Any) -> None:
        assert self._process.stdin is not None
        with contextlib.suppress(OSError):  # a worker that just died is told of by its reader
            pickle.dump(value, self._process.stdin, pickle.HIGHEST_PROTOCOL)
            self._process.stdin.flush()

    def _listen(self, events: _Events) -> None:
        """Pass on what the worker says; None when it is gone."""
        assert self._process.stdout is not None
        try:
            while True:
                events.put((self, pickle.load(self._process.stdout)))  # noqa: S301
        except Exception:  # noqa: BLE001  half a message of a killed worker fails in any way
            events.put((self, None))


def _apart() -> dict[str, Any]:
    """Options that give a worker a session of its own, so that the terminal's Ctrl-C reaches the owner alone."""
    if sys.platform == "win32":
        return {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
    return {"start_new_session": True}


_Events: TypeAlias = "queue.SimpleQueue[tuple[_Hand, tuple[bool, Any] | None]]"
