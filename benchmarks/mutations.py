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
    "critique": ("tests/critique/test_checks.py", "tests/critique/test_sizes.py", "tests/anatomy"),
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
    found = re.search(rf"^{name}(?:: Final)? = Figure\(\s*([-\d.]+),", text, re.MULTILINE)
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
FIGURES_OF_CRITIQUE = (
    ("LEVEL_LOOK_DEG", 2.5),
    ("PARALLEL_LOOK_DEG", 2.5),
    ("UPRIGHT_LOOK_DEG", 2.5),
    ("SEAT_LOOK", 2.5),
    ("SIZE_LOOK", 2.5),
    ("WEIGHT_LOOK", 2.5),
    ("CURVE_HEAVIEST", 0.8),
    ("COUNTER_LOOK", 2.5),
    ("TWIN_LOOK", 2.5),
    ("FILL_LOOK", 2.5),
    ("TONE_LOOK", 2.5),
    ("TREMOR_LOOK", 2.5),
    ("OVERSHOOT", 3.0),
    ("LEAN_TOLD", 4.0),
)
SIGNS: tuple[tuple[str, str, str], ...] = (
    ("spacing/profile.py", "np.minimum.accumulate(edge - rise) + rise", "np.minimum.accumulate(edge + rise) - rise"),
    ("spacing/profile.py", "box.x1 - last", "last - box.x0"),
    ("spacing/white.py", "a.right + b.left", "a.right - b.left"),
    ("spacing/white.py", "power = -float(TALL_WHITE)", "power = float(TALL_WHITE)"),
    ("spacing/white.py", "high = min(left.box.y1, right.box.y1,", "high = max(left.box.y1, right.box.y1,"),
    ("spacing/white.py", "low = max(0.0, left.box.y0, right.box.y0)", "low = min(0.0, left.box.y0, right.box.y0)"),
    ("spacing/white.py", "(total - gaps.sum())", "(total + gaps.sum())"),
    ("critique/level.py", "'rises' if drawing > 0", "'rises' if drawing < 0"),
    ("critique/level.py", "round(level.drawing_deg, 2)", "round(level.baseline_deg, 2)"),
    ("critique/parallel.py", '"further from" if angle > 0', '"further from" if angle < 0'),
    ("critique/seat.py", '"floats above" if off > 0', '"floats above" if off < 0'),
    ("critique/seat.py", '"stops short of" if off > 0 else "overruns"', '"stops short of" if off < 0 else "overruns"'),
    ("critique/upright.py", "(letter.anatomy.stem_deg or 0.0) - reference\n", "(letter.anatomy.stem_deg or 0.0)\n"),
    ("critique/words.py", '"right" if value > 0', '"right" if value < 0'),
    ("critique/weight.py", "off = width / middle - 1.0", "off = middle / width - 1.0"),
    (
        "critique/overshoot.py",
        "min(0.0, value - low) + max(0.0, value - high)",
        "max(0.0, value - low) + min(0.0, value - high)",
    ),
    ("critique/counters.py", "off = _area(x) / middle - 1.0", "off = middle / _area(x) - 1.0"),
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
