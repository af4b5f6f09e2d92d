"""`python -m benchmarks [--rounds N] [--quick] [--write]`: measures whole processes, prints the table, and with --write
puts it into DEVELOPERS.md and draws benchmarks/speed.svg."""

from __future__ import annotations

import shutil
import sys
import sysconfig
import tempfile
from pathlib import Path

import click

from benchmarks import pictures
from benchmarks.plot import bars
from benchmarks.process import Cost, in_turn, run
from tests.docs import put_between_marks

HERE = Path(__file__).parent
TOOL = shutil.which("vectorize", path=sysconfig.get_path("scripts")) or "vectorize"
SINGLE = ("scan-2mpx", "scan-2-letters", "scan-14-letters", "photo-12mpx", "photo-48mpx")


def singles(paths: dict[str, Path], out: Path, rounds: int) -> dict[str, dict[str, Cost]]:
    """For each picture the medians of the tool, the naive reference and the floor, run in turn."""
    table = {}
    for name in SINGLE:
        picture = str(paths[name])
        commands = {
            "vectorize": [TOOL, "rebuild", picture, "--out", str(out / name)],
            "naive": [sys.executable, str(HERE / "naive.py"), picture, str(out / "naive")],
            "floor": [sys.executable, str(HERE / "floor.py"), picture],
        }
        table[name] = in_turn(commands, rounds)
    return table


def classes(paths: dict[str, Path], out: Path, counts: tuple[int, ...]) -> dict[str, Cost]:
    """Runs of many pictures with one and two workers."""
    table = {}
    for count in counts:
        many = pictures.many(paths["scan-2mpx"], out / f"class-{count}", count)
        for workers in (1, 2):
            folder = out / f"class-{count}-{workers}"
            argv = [TOOL, "rebuild", *many, "--workers", str(workers), "--out", str(folder)]
            table[f"{count} scans, {workers} worker{'s' * (workers > 1)}"] = run(argv)
            shutil.rmtree(folder)
    return table


def markdown(single: dict[str, dict[str, Cost]], many: dict[str, Cost]) -> str:
    """Both tables."""
    rows = [
        "| picture | wall s | CPU s | peak MB | naive wall s | floor wall s | times naive |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, costs in single.items():
        v, n, f = costs["vectorize"], costs["naive"], costs["floor"]
        rows.append(
            f"| {name} | {v.wall_s:.2f} | {v.cpu_s:.2f} | {v.peak_mb:.0f} | {n.wall_s:.2f} | {f.wall_s:.2f} | {v.wall_s / n.wall_s:.1f} |"
        )
    if many:
        rows += ["", "| run | wall s | peak MB of a process |", "|---|---|---|"]
        rows += [f"| {name} | {c.wall_s:.1f} | {c.peak_mb:.0f} |" for name, c in many.items()]
    return "\n".join(rows)


@click.command()
@click.option("--rounds", default=5, show_default=True, help="Counted runs of each command.")
@click.option("--quick", is_flag=True, help="Leave the classes of 20 and 200 pictures out.")
@click.option("--write", is_flag=True, help="Put the table into DEVELOPERS.md and draw benchmarks/speed.svg.")
def main(rounds: int, quick: bool, write: bool) -> None:
    """Measure the tool beside a naive reference and a floor."""
    with tempfile.TemporaryDirectory() as scratch:
        out = Path(scratch)
        paths = pictures.draw(out / "pictures")
        single = singles(paths, out, rounds)
        many = {} if quick else classes(paths, out, (20, 200))
    text = markdown(single, many)
    click.echo(text)
    if write:
        put_between_marks(HERE.parent / "DEVELOPERS.md", "speed", text)
        (HERE / "speed.svg").write_text(bars(single), encoding="utf-8")


if __name__ == "__main__":
    main()
