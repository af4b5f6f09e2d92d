"""The area rule against type designers, on many open families.

`python -m benchmarks.spacing [FAMILY...] [--words N] [--write]` sets words from the families that are installed
(`pip install fontpkg-lato ...`), says which are missing, and prints how far the rule's gaps are from the designers'.
--write puts the table into DEVELOPERS.md.
"""

from __future__ import annotations

import importlib.util
import sys
import time
from collections.abc import Sequence

import click

from tests.docs import DEVELOPERS, put_between_marks
from tests.spacing.designers import CLASSES, WORDS, SetWord, agreement, disturbed, equal_gaps, set_words, targets
from tests.specimens.typeset import font_path, outline_word
from vectorize.spacing.profile import profile
from vectorize.spacing.setting import set_profiles

SANS = [
    "alegreya-sans",
    "barlow",
    "cabin",
    "fira-sans",
    "inter",
    "jost",
    "karla",
    "lato",
    "libre-franklin",
    "montserrat",
    "noto-sans",
    "open-sans",
    "overpass",
    "pt-sans",
    "raleway",
    "source-sans-3",
    "work-sans",
]
SERIF = [
    "bitter",
    "cardo",
    "crimson-pro",
    "eb-garamond",
    "ibm-plex-serif",
    "libre-baskerville",
    "literata",
    "lora",
    "merriweather",
    "noto-serif",
    "playfair-display",
    "pt-serif",
    "source-serif-4",
    "spectral",
    "vollkorn",
]


def installed(family: str) -> bool:
    """Whether the family's package is there."""
    return importlib.util.find_spec("fontpkg_" + family.replace("-", "_")) is not None


def row(name: str, words: Sequence[SetWord]) -> str:
    """One line of the table."""
    rule, equal = agreement(words, targets), agreement(words, equal_gaps)
    ten, fifteen = disturbed(words, 0.10), disturbed(words, 0.15)
    return (
        f"| {name} | {len(words)} | {len(rule.off)} | {equal.rms:.4f} | {rule.rms:.4f} | {rule.p95:.3f} | {rule.r:.3f} "
        f"| {ten.found:.2f} | {fifteen.found:.2f} | {ten.left:.2f} |"
    )


def table(by_family: dict[str, list[SetWord]]) -> str:
    """All words, each class of case in sans and in serif, then each family."""
    lines = [
        "| words | number | gaps | equal gaps RMS | rule RMS | p95 | r | .10 found first | .15 found | .10 left |",
        "|---|---|---|---|---|---|---|---|---|---|",
        row("all", [w for words in by_family.values() for w in words]),
    ]
    for name, families in (("sans", SANS), ("serif", SERIF)):
        for kind in CLASSES:
            some = [w for f in families for w in by_family.get(f, []) if w.kind == kind]
            if some:
                lines.append(row(f"{name}, {kind}", some))
    lines.extend(row(family, words) for family, words in by_family.items())
    return "\n".join(lines)


def milliseconds(rounds: int = 200) -> tuple[float, float]:
    """Least time for a word of ten letters: reading the profiles, and everything after them.

    The least of many, as the run that other programs disturbed least.
    """
    outlines = outline_word(font_path("source-sans-3"), "Lanterning")
    reading, setting = [], []
    for _ in range(rounds):
        start = time.perf_counter()
        profiles = [profile(o) for o in outlines]
        middle = time.perf_counter()
        set_profiles(profiles, [0] * len(profiles), None)
        reading.append(middle - start)
        setting.append(time.perf_counter() - middle)
    return 1e3 * min(reading), 1e3 * min(setting)


@click.command()
@click.argument("families", nargs=-1)
@click.option(
    "--words", "count", type=click.IntRange(1, len(WORDS)), default=len(WORDS), help="Words a family and case."
)
@click.option("--write", is_flag=True, help="Put the table into DEVELOPERS.md.")
def main(families: tuple[str, ...], count: int, *, write: bool) -> None:
    """Measure the area rule against the designers of open families."""
    wanted = list(families) or SANS + SERIF
    missing = [f for f in wanted if not installed(f)]
    if missing:
        packages = " ".join(f"fontpkg-{f}" for f in missing)
        print(
            f"Not installed and left out: {', '.join(missing)}. To have them: pip install {packages}", file=sys.stderr
        )
    by_family = {f: set_words(f, WORDS[:count]) for f in wanted if f not in missing}
    if not by_family:
        raise SystemExit("No family is installed, so there is nothing to measure.")
    reading, setting = milliseconds()
    text = table(by_family) + f"\n\nTen letters: profiles {reading:.2f} ms, then the setting {setting:.2f} ms."
    print(text)
    if write:
        put_between_marks(DEVELOPERS, "spacing", text)


if __name__ == "__main__":
    main()
