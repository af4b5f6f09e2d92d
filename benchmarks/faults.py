"""Planted faults, read from outlines or through pictures: `python -m benchmarks.faults [--pictures] [--seeds N] [--write]`.

Each fault alone at three multiples of its limit and drawings without any, on families that no limit was set with (install
them with `pip install fontpkg-figtree fontpkg-asap fontpkg-domine fontpkg-newsreader`); --setting adds those that the limits
were set with. --write puts the tables into DEVELOPERS.md.
"""

from __future__ import annotations

import subprocess
from collections import Counter
from collections.abc import Sequence

import click

from tests.critique.faults import (
    FAULTS,
    FILL_FAULTS,
    HELD_OUT,
    SETTING,
    SIZES,
    Fault,
    Score,
    false_findings,
    score,
)
from tests.critique.figures import Gallery
from tests.docs import DEVELOPERS, put_between_marks

SHORT_WORDS = ("hanove", "Banana")
TEACHER = SIZES[-1]


def _row(name: str, scores: Sequence[Score]) -> str:
    shares = " | ".join(f"{s.found / s.tried:.2f} / {s.named / s.tried:.2f}" for s in scores)
    row = f"| {name} | {shares} | {', '.join(str(s.tried) for s in scores)} |"
    click.echo(row)
    return row


def _head() -> list[str]:
    sizes = " | ".join(f"{s:g} x limit: found / named" for s in SIZES)
    return [f"| fault | {sizes} | drawings |", "|---|" + "---|" * (len(SIZES) + 1)]


def _all(scores: Sequence[Sequence[Score]]) -> list[Score]:
    return [Score(*(sum(getattr(s[k], n) for s in scores) for n in ("tried", "found", "named"))) for k in range(3)]


def _false(drawings: int, found: dict[str, int]) -> str:
    by_check = ", ".join(f"{k} {n}" for k, n in Counter(found).most_common()) or "none"
    each = sum(found.values()) / drawings
    text = f"Without a fault: {each:.2f} findings to look at again or fix in each of {drawings} drawings ({by_check})."
    click.echo(text)
    return text


def from_outlines(seeds: int, *, setting: bool) -> str:
    """Table of the held-out families, and with `setting` of the others; no picture between drawing and critique."""
    lines: list[str] = []
    groups = [(HELD_OUT, "held out")] + ([(SETTING, "that limits were set with")] if setting else [])
    for families, which in groups:
        lines += ["", f"Outlines, families {which} ({', '.join(families)}):", "", *_head()]
        scores = []
        for fault in FAULTS:
            scores.append([score(fault, s, families, range(1, 1 + seeds)) for s in SIZES])
            lines.append(_row(fault.check, scores[-1]))
        lines += [_row("all", _all(scores)), "", _false(*false_findings(families, range(1, 1 + seeds)))]
    return "\n".join(lines).strip()


def through_pictures(seeds: int) -> str:
    """Tables of the held-out families: drawn in pencil, scanned and photographed in turns, read and judged."""
    gallery = Gallery()
    lines = [f"Pictures, families held out ({', '.join(HELD_OUT)}), scanned and photographed in turns:", "", *_head()]
    scores = []
    for fault in (*FILL_FAULTS, *FAULTS):
        scores.append([_seen(fault, size, seeds, gallery) for size in SIZES])
        lines.append(_row(fault.name or fault.check, scores[-1]))
    lines += [_row("all", _all(scores)), ""]
    plain = false_findings(HELD_OUT, range(1, 1 + seeds), SHORT_WORDS, gallery.scanned_or_photographed)
    return "\n".join([*lines, _false(*plain), "", *gallery.table()])


def _seen(fault: Fault, size: float, seeds: int, gallery: Gallery) -> Score:
    read = gallery.photographed if fault.whole else gallery.scanned_or_photographed
    # Fewer where it hardly shows: nothing hangs on how often that is found.
    families, number = (HELD_OUT, seeds) if size == TEACHER else (HELD_OUT[::2][:seeds], 1)
    return score(fault, size, families, range(1, 1 + number), read, short=True)


def _commit() -> str:
    command = ["git", "-C", str(DEVELOPERS.parent), "rev-parse", "--short", "HEAD"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()


@click.command()
@click.option("--pictures", is_flag=True, help="Through pictures instead of from outlines.")
@click.option(
    "--seeds", default=2, show_default=True, help="Drawings of each word and family (pictures: of each family)."
)
@click.option("--setting", is_flag=True, help="Outlines also of the families that the limits were set with.")
@click.option("--write", is_flag=True, help="Put the tables into DEVELOPERS.md.")
def main(pictures: bool, seeds: int, setting: bool, write: bool) -> None:
    """Score the critique on planted faults."""
    at = _commit()
    text = through_pictures(seeds) if pictures else from_outlines(seeds, setting=setting)
    text += f"\n\nOne run, at commit {at}, `--seeds {seeds}`."
    click.echo(f"\n{text}")
    if write:
        put_between_marks(DEVELOPERS, "faults-pictures" if pictures else "faults", text)


if __name__ == "__main__":
    main()
