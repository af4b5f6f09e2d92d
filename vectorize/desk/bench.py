"""A helper process held to time and memory: a task goes in, its answer comes out, whatever a bad file does inside.

A decoder may crash, swell or never end on a damaged file. It does so in the helper; the desk then starts another.
"""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import time
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any, Final

from vectorize.errors import PictureError, VectorizeError

# How often a waiting thread looks up, so that a closing desk is not held by it.
LOOK_UP_SECONDS: Final = 0.25

_FAULT: Final = (
    "This picture met a fault in the program. Save it anew or smaller and hand it in again; "
    "if the fault stays, report it with the picture"
)

Main = Callable[[Connection, int], None]


class Bench:
    """One helper process and whoever waits for it, one task at a time, first come first served."""

    def __init__(self, main: Main, *, seconds: float, megabytes: int) -> None:
        self._main = main
        self._seconds = seconds
        self._megabytes = megabytes
        self._turn = asyncio.Lock()
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None

    async def ask(self, task: Any, on_stage: Callable[[str], None] | None = None) -> Any:
        """The helper's answer to `task` (any picklable value).

        on_stage: told each stage's name as the helper begins it.
        Raises PictureError with the helper's own sentence, or with one of ours when it was lost or took too long.
        """
        async with self._turn:
            try:
                pipe = self._helper()
                pipe.send(task)
                return await self._answer(pipe, on_stage or (lambda _: None))
            except _ToldError:
                raise
            except (EOFError, OSError) as error:
                self.close()
                raise PictureError(
                    "This picture took more memory than the desk may use, or is damaged so that it cannot be read. "
                    "Save it anew from a picture viewer, smaller, and hand that in."
                ) from error
            except BaseException:
                # Also when the waiting was given up: a half-done answer must not meet the next task.
                self.close()
                raise

    def warm(self) -> None:
        """Start the helper before it is needed."""
        self._helper()

    def close(self) -> None:
        """End the helper."""
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None and self._process.is_alive():
            self._process.kill()
            self._process.join()
        self._pipe = self._process = None

    @property
    def pid(self) -> int | None:
        """The helper's process id, None while there is none."""
        return self._process.pid if self._process else None

    def _helper(self) -> Connection:
        if self._process is not None and self._process.is_alive() and self._pipe is not None:
            return self._pipe
        self.close()
        # "spawn" everywhere: a fork would inherit the server's sockets and threads.
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        self._process = context.Process(target=self._main, args=(theirs, self._megabytes), daemon=True)
        self._process.start()
        theirs.close()
        self._pipe = ours
        return ours

    async def _answer(self, pipe: Connection, on_stage: Callable[[str], None]) -> Any:
        end = time.monotonic() + self._seconds
        while time.monotonic() < end:
            if not await asyncio.to_thread(pipe.poll, LOOK_UP_SECONDS):
                continue
            kind, value = pipe.recv()
            if kind == "ready":
                # How long a helper takes to start is no fault of the picture.
                end = time.monotonic() + self._seconds
            elif kind == "stage":
                on_stage(value)
            elif kind == "done":
                return value
            else:
                raise _ToldError(value)
        self.close()
        raise PictureError(
            f"This picture could not be read within {self._seconds:.0f} seconds. "
            "Photograph the sheet again so that the word fills the picture, or save it smaller."
        )


class _ToldError(PictureError):
    """The helper is well and says what is wrong with the picture."""


def serve_tasks(pipe: Connection, do: Callable[[Any, Callable[[str], None]], Any]) -> None:
    """Inside the helper: answer tasks from the pipe until the desk is gone."""
    with contextlib.suppress(EOFError, OSError, KeyboardInterrupt):
        pipe.send(("ready", None))
        while True:
            task = pipe.recv()
            try:
                answer = ("done", do(task, lambda stage: pipe.send(("stage", stage))))
            except MemoryError:
                return
            except Exception as error:  # noqa: BLE001
                answer = ("failed", sentence(error))
            pipe.send(answer)


def sentence(error: Exception) -> str:
    """What a person is told of an error; a fault of ours is named, so that it can be reported."""
    return str(error) if isinstance(error, VectorizeError) else f"{_FAULT} ({type(error).__name__}: {error})."


def limit_memory(megabytes: int) -> None:
    """Hold this process to so much memory, where the system can (Linux, macOS in part; not Windows)."""
    try:
        import resource
    except ImportError:
        return
    limit = megabytes * 1_000_000
    with contextlib.suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
