"""Runs a command as a whole process, in: argv, out: wall and CPU seconds and peak memory of the process tree's largest member."""

from __future__ import annotations

import os
import statistics
import subprocess
import time
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Cost:
    """One run, or the medians of several: seconds and MB."""

    wall_s: float
    cpu_s: float
    peak_mb: float


def run(argv: Sequence[str]) -> Cost:
    """One run; raises CalledProcessError where the command fails."""
    begun = time.perf_counter()
    with subprocess.Popen(argv, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    wall_s = time.perf_counter() - begun
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, argv)
    return Cost(wall_s, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def median(runs: Sequence[Cost]) -> Cost:
    """The median of each figure."""
    return Cost(*(statistics.median(getattr(r, k) for r in runs) for k in ("wall_s", "cpu_s", "peak_mb")))


def in_turn(commands: dict[str, Sequence[str]], rounds: int) -> dict[str, Cost]:
    """Medians of several commands run in turn (A B A B ...), so that a drifting machine is fair to all; one warm-up each."""
    for argv in commands.values():
        run(argv)
    runs: dict[str, list[Cost]] = {name: [] for name in commands}
    for _ in range(rounds):
        for name, argv in commands.items():
            runs[name].append(run(argv))
    return {name: median(r) for name, r in runs.items()}
