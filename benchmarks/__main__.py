"""`python -m benchmarks [--rounds N] [--quick] [--many N] [--write]`: measures whole processes, prints the tables, and with --write
puts them into DEVELOPERS.md and draws benchmarks/speed.svg."""

from __future__ import annotations

import os
import platform
import shutil
import sys
import sysconfig
import tempfile
from pathlib import Path

import click

from benchmarks import pictures, tables
from benchmarks.plot import bars
from benchmarks.process import Cost, in_turn, run
from tests.docs import DEVELOPERS, put_between_marks

HERE = Path(__file__).parent
TOOL = shutil.which("vectorize", path=sysconfig.get_path("scripts")) or "vectorize"
HELP_ROUNDS = 7


def singles(paths: dict[str, Path], out: Path, rounds: int) -> dict[str, dict[str, Cost]]:
    """For each picture the medians of the tool, the naive reference and the floor, run in turn."""
    table = {}
    for name, path in paths.items():
        picture = str(path)
        commands = {
            "vectorize": [TOOL, "rebuild", picture, "--timings", "--out", str(out / name)],
            "naive": [sys.executable, str(HERE / "naive.py"), picture, str(out / "naive")],
            "floor": [sys.executable, str(HERE / "floor.py"), picture],
        }
        click.echo(f"{name} ...", err=True)
        table[name] = in_turn(commands, rounds, str(out / "compiled"))
    return table


def classes(picture: Path, out: Path, counts: tuple[int, ...]) -> dict[tuple[int, str], Cost]:
    """Runs of many pictures: one worker, two, and the naive reference."""
    table = {}
    for count in counts:
        click.echo(f"classes of {count} ...", err=True)
        many = pictures.many(picture, out / f"class-{count}", count)
        for workers, who in ((1, "1 worker"), (2, "2 workers")):
            folder = out / f"class-{count}-{workers}"
            argv = [TOOL, "rebuild", *many, "--workers", str(workers), "--out", str(folder)]
            table[count, who] = run(argv, str(out / "compiled"))
            shutil.rmtree(folder)
        argv = [sys.executable, str(HERE / "naive.py"), *many, str(out / "naive")]
        table[count, "naive"] = run(argv, str(out / "compiled"))
    return table


def start_up(scratch: Path) -> str:
    """What `vectorize -h` and `import vectorize` cost."""
    commands = {"vectorize -h": [TOOL, "-h"], "import vectorize": [sys.executable, "-c", "import vectorize"]}
    costs = in_turn(commands, HELP_ROUNDS, str(scratch / "compiled"))
    said = [f"`{name}` takes {c.wall_s:.3f} s (CPU {c.cpu_s:.3f} s)" for name, c in costs.items()]
    return f"{', '.join(said)}."


def machine(load: float) -> str:
    """What it ran on; load: how many processes wanted a core when it began."""
    return (
        f"Medians, Python {platform.python_version()} on {platform.machine()}, {os.cpu_count()} cores; processes that wanted "
        f"one a minute before it began and ended: {load:.1f} and {os.getloadavg()[0]:.1f}. "
        "With others at work CPU seconds say more than wall seconds."
    )


@click.command()
@click.option("--rounds", default=5, show_default=True, help="Counted runs of each command.")
@click.option("--quick", is_flag=True, help="Leave the classes out.")
@click.option("--many", "most", default=200, show_default=True, help="Pictures of the largest class.")
@click.option("--write", is_flag=True, help="Put the tables into DEVELOPERS.md and draw benchmarks/speed.svg.")
def main(rounds: int, *, quick: bool, most: int, write: bool) -> None:
    """Measure the tool beside a naive reference and a floor."""
    load = os.getloadavg()[0]
    with tempfile.TemporaryDirectory() as scratch:
        out = Path(scratch)
        paths = pictures.drawn(out / "pictures")
        single = singles(paths, out, rounds)
        many = {} if quick else classes(paths["2-letters"], out, (1, 20, most))
        parts = [tables.pictures(single), tables.growth(single, pictures.GROWTH), start_up(out), tables.stages(single)]
    if many:
        parts.insert(2, tables.classes(many))
    text = "\n\n".join([machine(load), *parts, "![Speed](benchmarks/speed.svg)"])
    click.echo(text)
    if write:
        put_between_marks(DEVELOPERS, "speed", text)
        (HERE / "speed.svg").write_text(bars(single), encoding="utf-8")


if __name__ == "__main__":
    main()
