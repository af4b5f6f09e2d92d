"""Runs a command as a whole process, in: argv, out: wall and CPU seconds, peak memory and the stages that it tells.

CPU seconds and peak memory are those of the process and the workers that it waited for; the peak is the largest member's.
"""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Cost:
    """One run, or the medians of several: seconds and MB, and the seconds of each stage where they are told."""

    wall_s: float
    cpu_s: float
    peak_mb: float
    stages: Mapping[str, float] = field(default_factory=dict)


def run(argv: Sequence[str], scratch: str) -> Cost:
    """One run; raises CalledProcessError where the command fails.

    scratch: a folder for compiled modules, so that they are compiled once, as an installed program's are.
    """
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment |= {"PYTHONPYCACHEPREFIX": scratch, "OMP_NUM_THREADS": "1"}
    begun = time.perf_counter()
    with subprocess.Popen(argv, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, env=environment) as process:
        assert process.stderr is not None
        said = process.stderr.read().decode(errors="replace")
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    wall_s = time.perf_counter() - begun
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, argv, stderr=said)
    return Cost(wall_s, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024, stages_told(said))


def stages_told(said: str) -> dict[str, float]:
    """Seconds of each stage in what `rebuild --timings` says of one picture; empty where it says nothing."""
    sentence = re.search(r"Seconds: ([^;\n]+);", said)
    if sentence is None:
        return {}
    return {name: float(s) for name, s in re.findall(r"([a-z][a-z ]*?) (\d+\.\d+)", sentence[1])}


def median(runs: Sequence[Cost]) -> Cost:
    """The median of each figure."""
    wall, cpu, peak = (statistics.median(getattr(r, k) for r in runs) for k in ("wall_s", "cpu_s", "peak_mb"))
    return Cost(wall, cpu, peak, {k: statistics.median(r.stages[k] for r in runs) for k in runs[0].stages})


def in_turn(commands: Mapping[str, Sequence[str]], rounds: int, scratch: str) -> dict[str, Cost]:
    """Medians of several commands run in turn (A B A B ...), so that a drifting machine is fair to all; one warm-up each."""
    for argv in commands.values():
        run(argv, scratch)
    runs: dict[str, list[Cost]] = {name: [] for name in commands}
    for _ in range(rounds):
        for name, argv in commands.items():
            runs[name].append(run(argv, scratch))
    return {name: median(r) for name, r in runs.items()}
