"""Guidelines and printed ruling of every kind; `python -m tests.specimens.lined [KIND...]` reads each and prints how well."""

from __future__ import annotations

import sys
import time
from dataclasses import replace

from tests.specimens.camera import take
from tests.specimens.hard import PHOTO, PLAIN
from tests.specimens.recipe import Camera, Hand, Lines, Recipe, Sheet
from tests.specimens.score import line_errors, said_of_letters, score
from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.flow import study_picture

GREY = (96, 96, 100)
BLUE = (70, 110, 190)
RULED = Sheet(pattern="ruled")
SQUARED = Sheet(pattern="squared")
GREY_SQUARED = Sheet(pattern="squared", pattern_colour=GREY, pattern_strength=0.5)
ALL_FIVE = ("baseline", "mean", "cap", "ascender", "descender")
CLOSE_UP = replace(PHOTO, zoom=1.35, tilt_x_deg=3, tilt_y_deg=2)
SMALLER = replace(PLAIN, x_height_mm=16.0)


def turned(deg: float, camera: Camera = PHOTO) -> Recipe:
    """The plain drawing photographed with the sheet turned."""
    return replace(SMALLER, camera=replace(camera, turn_deg=deg))


LINED: dict[str, Recipe] = {
    "three": PLAIN,
    "none": replace(PLAIN, lines=Lines(names=())),
    "baseline only": replace(PLAIN, lines=Lines(names=("baseline",))),
    "two": replace(PLAIN, lines=Lines(names=("baseline", "mean"))),
    "two, caps": replace(PLAIN, word="HARNOTE", x_height_mm=17.0, lines=Lines(names=("baseline", "cap"))),
    "four, ascender": replace(PLAIN, word="handply", lines=Lines(names=("baseline", "mean", "ascender", "descender"))),
    "four, descender": replace(PLAIN, word="Handply", lines=Lines(names=("baseline", "mean", "cap", "descender"))),
    "five": replace(PLAIN, word="Handply", lines=Lines(names=ALL_FIVE)),
    "thin": replace(PLAIN, lines=Lines(width_mm=0.18)),
    "heavy": replace(PLAIN, lines=Lines(darkness=0.75, width_mm=0.9)),
    "faint": replace(PLAIN, lines=Lines(darkness=0.1, width_mm=0.25)),
    "very faint": replace(PLAIN, lines=Lines(darkness=0.06, width_mm=0.25)),
    "red": replace(PLAIN, lines=Lines(colour=(200, 60, 60))),
    "blue, heavy": replace(PLAIN, lines=Lines(colour=BLUE, width_mm=0.8, darkness=0.8)),
    "yellow": replace(PLAIN, lines=Lines(colour=(235, 200, 60))),
    "bowed": replace(PLAIN, lines=Lines(bow_mm=1.2)),
    "bowed much": replace(PLAIN, lines=Lines(bow_mm=2.5)),
    "dashed": replace(PLAIN, lines=Lines(dashed=True)),
    "dashed, faint": replace(PLAIN, lines=Lines(dashed=True, darkness=0.15)),
    "dashed, heavy": replace(PLAIN, lines=Lines(dashed=True, darkness=0.75, width_mm=0.7)),
    "doubled": replace(PLAIN, lines=Lines(doubled_mm=0.7)),
    "doubled wide": replace(PLAIN, lines=Lines(doubled_mm=1.4)),
    "to the edge": replace(PLAIN, lines=Lines(overrun_mm=300.0)),
    "short": replace(PLAIN, lines=Lines(span=(0.0, 1.0))),
    "too short": replace(PLAIN, lines=Lines(span=(0.05, 0.75))),
    "half": replace(PLAIN, lines=Lines(span=(0.0, 0.45))),
    "not parallel": replace(PLAIN, lines=Lines(extra_deg={"baseline": 0.4, "mean": -0.6, "cap": 1.0})),
    "touching": replace(PLAIN, hand=Hand(drop=dict.fromkeys(range(7), 0.03))),
    "crossing": replace(PLAIN, hand=Hand(drop=dict.fromkeys(range(7), 0.1))),
    "above": replace(PLAIN, hand=Hand(drop=dict.fromkeys(range(7), -0.08))),
    "ruled": replace(PLAIN, sheet=RULED, lines=Lines(names=())),
    "ruled, drawn": replace(PLAIN, sheet=RULED),
    "ruled, drawn askew": replace(PLAIN, sheet=RULED, lines=Lines(tilt_deg=0.6)),
    "ruled grey": replace(PLAIN, sheet=replace(RULED, pattern_colour=GREY, pattern_strength=0.5)),
    "squared": replace(PLAIN, sheet=SQUARED),
    "squared, none": replace(PLAIN, sheet=SQUARED, lines=Lines(names=())),
    "squared grey": replace(PLAIN, sheet=GREY_SQUARED),
    "squared grey, none": replace(PLAIN, sheet=GREY_SQUARED, lines=Lines(names=())),
    "squared dark": replace(PLAIN, sheet=replace(GREY_SQUARED, pattern_strength=0.8)),
    "squared dark turned": replace(PLAIN, sheet=replace(GREY_SQUARED, pattern_strength=0.8), lines=Lines(tilt_deg=1.5)),
    "squared dark photo": replace(PLAIN, sheet=replace(GREY_SQUARED, pattern_strength=0.8), camera=PHOTO),
    "dotted": replace(PLAIN, word="jijling", sheet=Sheet(pattern="dotted")),
    "dotted dark": replace(
        PLAIN, word="jijling", sheet=Sheet(pattern="dotted", pattern_colour=GREY, pattern_strength=0.9)
    ),
    "dotted, none": replace(
        PLAIN,
        word="jijling",
        sheet=Sheet(pattern="dotted", pattern_colour=GREY, pattern_strength=0.9),
        lines=Lines(names=()),
    ),
    "hairlines": replace(PLAIN, family="bodoni-moda"),
    "hairlines, heavy": replace(PLAIN, family="bodoni-moda", lines=Lines(darkness=0.65, width_mm=0.5)),
    "hairlines, thin": replace(PLAIN, family="bodoni-moda", lines=Lines(darkness=0.3, width_mm=0.25)),
    "hairlines, red": replace(PLAIN, family="bodoni-moda", lines=Lines(colour=(200, 60, 60))),
    "hairlines, none": replace(PLAIN, family="bodoni-moda", lines=Lines(names=())),
    "hairlines, photo": replace(PLAIN, family="bodoni-moda", camera=PHOTO),
    "turned 5": turned(5),
    "turned 12": turned(12),
    "turned 20": turned(20),
    "turned 30": turned(30),
    "turned -20": turned(-20),
    "close 5": turned(5, CLOSE_UP),
    "close 12": turned(12, CLOSE_UP),
    "close 20": turned(20, CLOSE_UP),
    "close -30": turned(-30, CLOSE_UP),
    "crop 8": replace(PLAIN, camera=Camera(kind="crop", px_per_mm=7.0, turn_deg=8)),
    "crop 20": replace(PLAIN, camera=Camera(kind="crop", px_per_mm=7.0, turn_deg=20)),
    "crop -30": replace(PLAIN, camera=Camera(kind="crop", px_per_mm=7.0, turn_deg=-30)),
    "crop 20, none": replace(PLAIN, lines=Lines(names=()), camera=Camera(kind="crop", px_per_mm=7.0, turn_deg=20)),
    "close 20, none": replace(turned(20, CLOSE_UP), lines=Lines(names=())),
    "close 20, ruled": replace(turned(20, CLOSE_UP), sheet=RULED),
    "close 20, squared": replace(turned(20, CLOSE_UP), sheet=GREY_SQUARED),
    "drawn askew 18": replace(SMALLER, lines=Lines(tilt_deg=18, overrun_mm=4.0)),
    "photo askew 18": replace(SMALLER, lines=Lines(tilt_deg=18, overrun_mm=4.0), camera=PHOTO),
}


def report(kinds: list[str]) -> None:
    """One row a kind: letters, lines named, where they lie, gaps, counters, outlines, seconds."""
    print(f"{'kind':20} letters lines  worst xh  worst deg  gap med/max   counters  outline med/max  s")
    for kind in kinds or LINED:
        specimen = take(replace(LINED[kind], name=kind))
        begun = time.perf_counter()
        try:
            study = study_picture(specimen.data, f"{kind}.jpg", Brief(word=specimen.recipe.word))
        except PictureError as refusal:
            print(f"{kind:20} REFUSED {refusal}")
            continue
        seconds = time.perf_counter() - begun
        off, deg, wrong = line_errors(specimen, study)
        named = f"{len(off)}/{len(specimen.page.lines)}"
        place = f"{max(off.values()):.4f}    {max(deg.values()):.3f}" if off else "-         -    "
        s = score(specimen, study)
        said = f"{kind:20} {len(study.letters):3d} {'ok ' if s.count_right else 'NOT'} {named:4}   {place}  "
        if s.count_right:
            said += f"   {said_of_letters(s)}"
        print(f"{said}   {seconds:.1f}  {' '.join(wrong)}", flush=True)


if __name__ == "__main__":
    report(sys.argv[1:])
