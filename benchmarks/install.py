"""`python -m benchmarks.install [--write]`: installs the package into a new environment, from wheels alone, and tells how
large each part of it is. With --write the table goes into DEVELOPERS.md."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import click

from tests.docs import DEVELOPERS, put_between_marks

ROOT = Path(__file__).parents[1]
SMALL_MB = 1.0
SIZES = """
import importlib.metadata as m, json, os
def size(d):
    paths = {os.path.realpath(f.locate()) for f in d.files or ()}
    return sum(os.path.getsize(p) for p in paths if os.path.isfile(p))
print(json.dumps({d.metadata["Name"]: size(d) for d in m.distributions()}))
"""


def sizes_mb(room: Path) -> dict[str, float]:
    """MB of each distribution in a new environment, compiled files included, after `pip install` from wheels alone."""
    subprocess.run([sys.executable, "-m", "venv", str(room)], check=True)
    python = str(room / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python"))
    wheels = [python, "-m", "pip", "install", "--quiet", "--only-binary=:all:"]
    subprocess.run([*wheels, "flit_core"], check=True)
    subprocess.run([*wheels, "--no-build-isolation", str(ROOT)], check=True)
    subprocess.run([python, "-m", "pip", "uninstall", "--quiet", "--yes", "flit_core"], check=True)
    said = subprocess.run([python, "-c", SIZES], check=True, capture_output=True, text=True).stdout
    return {name: octets / 1e6 for name, octets in json.loads(said).items()}


def markdown(sizes: dict[str, float]) -> str:
    """The parts above SMALL_MB, largest first, then the rest and the sum."""
    large = sorted(((mb, name) for name, mb in sizes.items() if mb >= SMALL_MB), reverse=True)
    rest = [name for name, mb in sizes.items() if mb < SMALL_MB]
    rows = ["| part | MB |", "|---|---|", *(f"| {name} | {mb:.0f} |" for mb, name in large)]
    rows.append(f"| {len(rest)} smaller parts | {sum(sizes[n] for n in rest):.0f} |")
    return "\n".join([*rows, f"| all | {sum(sizes.values()):.0f} |"])


@click.command()
@click.option("--write", is_flag=True, help="Put the table into DEVELOPERS.md.")
def main(write: bool) -> None:
    """Tell how large an installation is."""
    with tempfile.TemporaryDirectory() as room:
        text = markdown(sizes_mb(Path(room)))
    click.echo(text)
    if write:
        put_between_marks(DEVELOPERS, "install", text)


if __name__ == "__main__":
    main()
