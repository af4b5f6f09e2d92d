"""`python -m benchmarks.classroom [--pictures N] [--write]`: a class's pictures with one worker and with two.

Tells the time, how much faster two are, and each worker's memory early and late in the run (it should not grow).
--write puts the table into DEVELOPERS.md, with what 100,000 pictures would take.
"""

from __future__ import annotations

import contextlib
import tempfile
import threading
import time
from pathlib import Path

import click

from tests.batch.pictures import picture
from tests.docs import DEVELOPERS, put_between_marks
from vectorize.batch.crew import Crew
from vectorize.batch.find import find
from vectorize.batch.run import rebuild_all
from vectorize.batch.work import make
from vectorize.brief import Brief

MANY = 100_000


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


def timed(folder: Path, out: Path, workers: int) -> tuple[float, float, float, int]:
    """Seconds, a worker's memory early and late, and how many pictures were done."""
    pictures = find([folder], out).pictures
    with Crew(make, workers) as crew:
        memory = Memory(crew)
        memory.start()
        start = time.monotonic()
        done = sum(d.error is None for d in rebuild_all(pictures, Brief(word="minim"), out, crew))
        seconds = time.monotonic() - start
        early, late = memory.end()
    return seconds, early, late, done


@click.command()
@click.option("--pictures", "count", type=click.IntRange(4), default=200, show_default=True)
@click.option("--write", is_flag=True, help="Put the table into DEVELOPERS.md.")
def main(count: int, *, write: bool) -> None:
    """Measure runs of many pictures."""
    lines = ["| workers | pictures | seconds | a second | MB a worker, early | late |", "|---|---|---|---|---|---|"]
    took = {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "class"
        folder.mkdir()
        for i in range(count):
            (folder / f"sheet {i + 1}.png").write_bytes(picture("minim", seed=i))
        for workers in (1, 2):
            seconds, early, late, done = timed(folder, Path(name) / f"out-{workers}", workers)
            took[workers] = seconds
            lines.append(f"| {workers} | {done} | {seconds:.0f} | {done / seconds:.2f} | {early:.0f} | {late:.0f} |")
    hours = MANY * took[2] / count / 3600.0
    text = "\n".join(lines) + (
        f"\n\nTwo workers are {took[1] / took[2]:.2f} times as fast as one. At that pace {MANY:,} such pictures take "
        f"{hours:.1f} hours on two cores, {hours / 32:.1f} on 64 cores; a photograph of 12 Mpx costs as much more as "
        "the table of speed above says. Memory is a worker's, whatever the number of pictures."
    )
    print(text)
    if write:
        put_between_marks(DEVELOPERS, "classroom", text)


if __name__ == "__main__":
    main()
