"""`python -m benchmarks.mutations [--write]`: wrong numbers and turned signs are planted one at a time in a copy of the
package; the tests of the rooms concerned must fail on each. With --write the list goes into DEVELOPERS.md."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import click

from tests.docs import DEVELOPERS, put_between_marks

ROOT = Path(__file__).parents[1]
ROOMS = {
    "spacing": ("tests/spacing", "tests/critique/test_spaces.py"),
    "critique": ("tests/critique", "tests/anatomy"),
}


@dataclass(frozen=True, slots=True)
class Change:
    """One fault planted in the package: `old`, found once in `module`, becomes `new`."""

    module: str
    old: str
    new: str

    @property
    def said(self) -> str:
        return f"`{self.module}`: `{' '.join(self.old.split())}` becomes `{' '.join(self.new.split())}`"

    @property
    def room(self) -> str:
        return "spacing" if "spacing" in self.module else "critique"

    def planted(self, text: str) -> str:
        """The module's text with the fault in it; ValueError where the place is not found exactly once."""
        if text.count(self.old) != 1:
            raise ValueError(f"{self.module} holds {text.count(self.old)} times: {self.old}")
        return text.replace(self.old, self.new)


def figure(module: str, name: str, factor: float) -> Change:
    """A figure of `trade` multiplied by `factor`."""
    text = (ROOT / "vectorize" / module).read_text(encoding="utf-8")
    found = re.search(rf"^{name} = Figure\(\s*([-\d.]+),", text, re.MULTILINE)
    if not found:
        raise ValueError(f"{module} has no figure {name}")
    return Change(module, found[0], found[0].replace(found[1], f"{float(found[1]) * factor:.4g}"))


def changes() -> list[Change]:
    """The faults that are planted."""
    spacing, critique = "trade/spacing.py", "trade/critique.py"
    figures = [
        *(figure(spacing, n, f) for n, f in FIGURES_OF_SPACING),
        *(figure(critique, n, f) for n, f in FIGURES_OF_CRITIQUE),
    ]
    return figures + [Change(*c) for c in SIGNS]


FIGURES_OF_SPACING = (
    ("SHADOW_SLOPE", 0.5),
    ("DEEP_WHITE", 2.0),
    ("NARROWNESS", 2.0),
    ("TALL_WHITE", 0.25),
    ("SMALL_LETTER_TOP", 1.3),
    ("EVEN_WITHIN", 2.0),
    ("LOOK_AGAIN_BEYOND", 0.5),
    ("FIX_BEYOND", 2.0),
    ("SPLITS_FROM", 2.0),
    ("STRAIGHT_SHARE", 1.6),
)
FIGURES_OF_CRITIQUE: tuple[tuple[str, float], ...] = ()
SIGNS: tuple[tuple[str, str, str], ...] = (
    ("spacing/profile.py", "np.minimum.accumulate(edge - rise) + rise", "np.minimum.accumulate(edge + rise) - rise"),
    ("spacing/profile.py", "box.x1 - last", "last - box.x0"),
    ("spacing/white.py", "a.right + b.left", "a.right - b.left"),
    ("spacing/white.py", "power = -float(TALL_WHITE)", "power = float(TALL_WHITE)"),
    ("spacing/white.py", "high = min(left.box.y1, right.box.y1,", "high = max(left.box.y1, right.box.y1,"),
    ("spacing/white.py", "low = max(0.0, left.box.y0, right.box.y0)", "low = min(0.0, left.box.y0, right.box.y0)"),
    ("spacing/white.py", "(total - gaps.sum())", "(total + gaps.sum())"),
)


def caught(change: Change, room: Path) -> bool:
    """Whether the tests fail with the fault planted in the copy at `room`; the copy is put back."""
    path = room / "vectorize" / change.module
    text = path.read_text(encoding="utf-8")
    path.write_text(change.planted(text), encoding="utf-8")
    argv = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *ROOMS[change.room]]
    environment = os.environ | {"PYTHONPATH": str(room), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(argv, cwd=room, env=environment, capture_output=True, check=False)
    finally:
        path.write_text(text, encoding="utf-8")
    return done.returncode == 1


def copy_to(room: Path) -> None:
    """What the tests need, without what was installed or written."""
    for name in ("vectorize", "tests", "benchmarks", "samples"):
        shutil.copytree(ROOT / name, room / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
        shutil.copy(ROOT / name, room)


@click.command()
@click.option("--only", default="", help="Only faults whose line holds this text.")
@click.option("--write", is_flag=True, help="Put the list into DEVELOPERS.md.")
def main(only: str, write: bool) -> None:
    """Plant the faults one at a time and tell which the tests miss."""
    rows = ["| fault | tests fail |", "|---|---|"]
    with tempfile.TemporaryDirectory() as scratch:
        room = Path(scratch)
        copy_to(room)
        for change in changes():
            if only in change.said:
                rows.append(f"| {change.said} | {'yes' if caught(change, room) else 'NO'} |")
                click.echo(rows[-1])
    if write:
        put_between_marks(DEVELOPERS, "mutations", "\n".join(rows))


if __name__ == "__main__":
    main()
