"""Work for crews in tests: functions that a worker process can import."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

from vectorize.errors import PictureError


def double(task: int) -> int:
    """Twice the number."""
    return 2 * task


def odd_ones_fail(task: int) -> int:
    """Even numbers pass."""
    if task % 2:
        raise PictureError(f"{task} is odd.")
    return task


def faulty(task: int) -> float:
    """A fault of the program's own for 0."""
    return 1 / task


def deadly(task: int) -> int:
    """The number 3 kills its worker, as a crashing decoder would."""
    if task == 3:
        os._exit(139)
    return task


def deadly_once(task: tuple[int, str]) -> int:
    """Kills its worker the first time it is asked for 3."""
    number, folder = task
    mark = Path(folder) / "been"
    if number == 3 and not mark.exists():
        mark.touch()
        os._exit(139)
    return number


def endless(task: int) -> int:
    """The number 1 takes for ever."""
    while task == 1:
        time.sleep(0.05)
    return task


def own_pid(_: Any) -> int:
    """The worker's process id."""
    time.sleep(0.2)
    return os.getpid()
