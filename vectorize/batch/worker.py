"""Inside a worker process: tasks come in on stdin, answers go out on stdout, pickled, until the owner is gone."""

from __future__ import annotations

import contextlib
import os
import pickle
import signal
import sys
from collections.abc import Callable
from typing import Any, Final

from vectorize.errors import VectorizeError

Work = Callable[[Any], Any]

LOST: Final = (
    "This picture ended the program that read it, twice: it is damaged or needs more memory than there is. "
    "Save it anew from a picture viewer, smaller, and hand that in."
)
FAULT: Final = (
    "This picture met a fault in the program and was left out ({}: {}). "
    "Save it anew and hand it in again; if the fault stays, report it with the picture."
)

COMMAND: Final = (sys.executable, "-c", "from vectorize.batch.worker import live; live()")


def live() -> None:
    """A worker's life: first what it is to do with each task, then task after task."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    one_thread()
    answers = os.fdopen(os.dup(1), "wb")
    # What a library prints must not run into the answers.
    os.dup2(2, 1)
    with contextlib.suppress(EOFError, OSError):
        work: Work = pickle.load(sys.stdin.buffer)  # noqa: S301  what the owner sends
        while True:
            task = pickle.load(sys.stdin.buffer)  # noqa: S301
            pickle.dump(attempt(work, task), answers, pickle.HIGHEST_PROTOCOL)
            answers.flush()


def one_thread() -> None:
    """Keep the numerical libraries, not loaded yet, to one thread: the pictures are what is worked on side by side.

    It also keeps sums in one order, so that results do not depend on the number of cores.
    """
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"):
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
