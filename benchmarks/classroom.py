"""`python -m benchmarks.classroom [--pictures N] [--write]`: a class's pictures with one worker and with two.

Tells the time, how much faster two are, and each worker's memory early and late in the run (it should not grow).
--write puts the table into DEVELOPERS.md, with what 100,000 pictures would take.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
import threading
import time
from dataclasses import dataclass
from pathlib import Path

import click
import numpy as np

from tests.batch.pictures import picture
from tests.docs import DEVELOPERS, put_between_marks
from vectorize.batch.crew import Crew
from vectorize.batch.find import find
from vectorize.batch.run import rebuild_all
from vectorize.batch.work import make
from vectorize.brief import Brief

MANY = 100_000
PARTS = 5


class Memory(threading.Thread):
    """Looks at the workers' memory twice a second."""

    def __init__(self, crew: Crew) -> None:
        super().__init__(daemon=True)
        self._crew = crew
        self._over = threading.Event()
        self.seen: list[float] = []

    def run(self) -> None:
        while not self._over.wait(0.5):
            held = [megabytes(pid) for pid in self._crew.pids]
            if held:
                self.seen.append(max(held))

    def end(self) -> tuple[float, float]:
        """The greatest memory of a worker in the second and in the last quarter of the run, MB."""
        self._over.set()
        self.join()
        quarter = max(1, len(self.seen) // 4)
        return max(self.seen[quarter : 2 * quarter], default=0.0), max(self.seen[-quarter:], default=0.0)


def megabytes(pid: int) -> float:
    """Resident memory of a process; 0 where it cannot be seen."""
    with contextlib.suppress(OSError, StopIteration, ValueError):
        lines = Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines()
        return int(next(line for line in lines if line.startswith("VmRSS")).split()[1]) / 1000.0
    return 0.0


@dataclass(frozen=True)
class Run:
    """Seconds; CPU seconds of the workers and of the run that feeds them and writes; a worker's MB early and late; done."""

    seconds: float
    worked: float
    fed: float
    early: float
    late: float
    done: int


def timed(folder: Path, out: Path, workers: int) -> Run:
    """One run of a folder's pictures."""
    pictures = find([folder], out).pictures
    before = os.times()
    with Crew(make, workers) as crew:
        memory = Memory(crew)
        memory.start()
        start = time.monotonic()
        done = sum(d.error is None for d in rebuild_all(pictures, Brief(word="minim"), out, crew))
        seconds = time.monotonic() - start
        early, late = memory.end()
    after = os.times()
    worked = after.children_user + after.children_system - before.children_user - before.children_system
    fed = after.user + after.system - before.user - before.system
    return Run(seconds, worked, fed, early, late, done)


def table(runs: dict[int, list[Run]]) -> str:
    """Both kinds of run, and what they mean for many pictures."""
    head = [
        "workers",
        "pictures",
        "seconds",
        "a second",
        "CPU s a picture, workers",
        "CPU s a picture, the run",
        "MB a worker, early",
        "late",
    ]
    lines = [f"| {' | '.join(head)} |", "|---" * len(head) + "|"]
    for workers, seen in runs.items():
        done, seconds = sum(r.done for r in seen), sum(r.seconds for r in seen)
        worked, fed = (sum(getattr(r, k) for r in seen) / done for k in ("worked", "fed"))
        early, late = (float(np.median([getattr(r, k) for r in seen])) for k in ("early", "late"))
        lines.append(
            f"| {workers} | {done} | {seconds:.0f} | {done / seconds:.2f} | {worked:.2f} | {fed:.3f} | {early:.0f} | {late:.0f} |"
        )
    one, two = (sum(r.seconds for r in runs[w]) for w in (1, 2))
    best = min(r.seconds for r in runs[1]) / min(r.seconds for r in runs[2])
    cost = sum(r.worked + r.fed for r in runs[2]) / sum(r.done for r in runs[2])
    hours = MANY * cost / 3600.0
    return "\n".join(lines) + (
        f"\n\nTwo workers were {one / two:.2f} times as fast as one over all, {best:.2f} times in the least disturbed parts. "
        f"{MANY:,} such pictures take {hours:.0f} hours of one core, so {hours / 64:.1f} hours on 64 cores; a photograph of "
        "12 Mpx costs as much more as the table of speed above says. Memory is a worker's, whatever the number of pictures."
    )


@click.command()
@click.option("--pictures", "count", type=click.IntRange(4), default=200, show_default=True)
@click.option("--write", is_flag=True, help="Put the table into DEVELOPERS.md.")
def main(count: int, *, write: bool) -> None:
    """Measure runs of many pictures."""
    runs: dict[int, list[Run]] = {1: [], 2: []}
    with tempfile.TemporaryDirectory() as name:
        for part in range(PARTS):
            folder = Path(name) / f"class-{part}"
            folder.mkdir()
            for i in range(part, count, PARTS):
                (folder / f"sheet {i + 1}.png").write_bytes(picture("minim", seed=i))
            # In turn, so that a drifting machine is fair to both.
            for workers, seen in runs.items():
                seen.append(timed(folder, Path(name) / f"out-{part}-{workers}", workers))
    text = table(runs)
    print(text)
    if write:
        put_between_marks(DEVELOPERS, "classroom", text)


if __name__ == "__main__":
    main()
