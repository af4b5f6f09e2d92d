"""Difficult drawings, one kind a recipe; `python -m tests.specimens.hard [KIND...]` reads each and prints how well."""

from __future__ import annotations

import sys
import time
from dataclasses import replace

from tests.specimens.camera import take
from tests.specimens.recipe import Camera, Fill, Hand, Lines, Recipe, Sheet
from tests.specimens.score import said_of_letters, score
from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.flow import study_picture

PLAIN = Recipe(
    "plain", "tandrel", "source-sans-3", 500, x_height_mm=22.0, hand=Hand(gaps={2: 0.08}), camera=Camera(px_per_mm=7.0)
)
PHOTO = Camera(kind="photo", size_px=(2250, 3000), tilt_x_deg=6, tilt_y_deg=4, turn_deg=1.2, falloff=0.25)

HARD: dict[str, Recipe] = {
    "plain": PLAIN,
    "crop": replace(PLAIN, camera=Camera(kind="crop", px_per_mm=7.0, turn_deg=0.8)),
    "photo": replace(PLAIN, camera=PHOTO),
    "steep photo": replace(PLAIN, camera=replace(PHOTO, tilt_x_deg=14, tilt_y_deg=-10)),
    "shadow": replace(PLAIN, camera=replace(PHOTO, shadow=0.4)),
    "bright desk": replace(PLAIN, camera=replace(PHOTO, desk="bright")),
    "sheen": replace(PLAIN, camera=replace(PHOTO, sheen=0.6)),
    "lens barrel": replace(PLAIN, camera=replace(PHOTO, lens=0.03)),
    "lens pincushion": replace(PLAIN, camera=replace(PHOTO, lens=-0.03)),
    "curl": replace(PLAIN, camera=replace(PHOTO, curl_mm=3.0)),
    "curl slight": replace(PLAIN, camera=replace(PHOTO, curl_mm=1.0)),
    "curl crop": replace(PLAIN, camera=Camera(kind="crop", px_per_mm=7.0, curl_mm=1.0)),
    "curl ruled": replace(PLAIN, sheet=Sheet(pattern="ruled"), camera=replace(PHOTO, curl_mm=2.0)),
    "curl ruled bare": replace(
        PLAIN, sheet=Sheet(pattern="ruled"), lines=Lines(names=()), camera=replace(PHOTO, curl_mm=2.0)
    ),
    "curl squared": replace(PLAIN, sheet=Sheet(pattern="squared"), camera=replace(PHOTO, curl_mm=2.0)),
    "barrel crop": replace(PLAIN, camera=Camera(kind="crop", px_per_mm=7.0, lens=0.03)),
    "no lines": replace(PLAIN, lines=Lines(names=())),
    "heavy lines": replace(PLAIN, lines=Lines(darkness=0.7, width_mm=0.7)),
    "faint lines": replace(PLAIN, lines=Lines(darkness=0.15, width_mm=0.25)),
    "coloured lines": replace(PLAIN, lines=Lines(colour=(200, 60, 60))),
    "bowed lines": replace(PLAIN, lines=Lines(bow_mm=1.2)),
    "bowed slightly": replace(PLAIN, lines=Lines(bow_mm=0.5)),
    "bowed each": replace(PLAIN, lines=Lines(bows_mm={"baseline": 0.5, "mean": -0.35, "cap": 0.2})),
    "bowed one": replace(PLAIN, lines=Lines(bows_mm={"baseline": -0.6})),
    "bowed serif": replace(PLAIN, family="lora", lines=Lines(bows_mm={"baseline": 0.4, "mean": 0.6, "cap": -0.3})),
    "dashed lines": replace(PLAIN, lines=Lines(dashed=True)),
    "five lines": replace(PLAIN, lines=Lines(names=("baseline", "mean", "cap", "ascender", "descender"))),
    "two lines": replace(PLAIN, lines=Lines(names=("baseline", "mean"))),
    "not parallel": replace(PLAIN, lines=Lines(extra_deg={"mean": 0.8}, tilt_deg=-0.7)),
    "squared": replace(PLAIN, sheet=Sheet(pattern="squared")),
    "ruled": replace(PLAIN, sheet=Sheet(pattern="ruled")),
    "dotted": replace(PLAIN, sheet=Sheet(pattern="dotted")),
    "kraft": replace(PLAIN, sheet=Sheet(colour=(196, 164, 122))),
    "dirt": replace(PLAIN, sheet=Sheet(specks=120, smudge=0.25)),
    "handwriting": replace(PLAIN, sheet=Sheet(handwriting=True)),
    "ink": replace(PLAIN, fill=Fill(pencil="ink", darkness=0.95)),
    "marker": replace(PLAIN, fill=Fill(pencil="marker", darkness=0.95)),
    "coloured pencil": replace(PLAIN, fill=Fill(pencil="coloured")),
    "hard pencil": replace(PLAIN, fill=Fill(pencil="hard", darkness=0.7)),
    "half filled": replace(PLAIN, fill=Fill(style="half")),
    "unfilled": replace(PLAIN, fill=Fill(style="outline")),
    "blotchy": replace(PLAIN, fill=Fill(blotches=0.9)),
    "touching": replace(PLAIN, hand=Hand(gaps={2: -0.25})),
    "serif": replace(PLAIN, family="lora"),
    "hairline": replace(PLAIN, family="bodoni-moda"),
    "heavy": replace(PLAIN, weight=800),
    "capitals": replace(PLAIN, word="HARNOTE", x_height_mm=17.0),
    "two words": replace(PLAIN, word="ten oaks", x_height_mm=18.0),
    "dots": replace(PLAIN, word="jijling"),
    "small": replace(PLAIN, camera=Camera(kind="crop", px_per_mm=2.6)),
}


def report(kinds: list[str]) -> None:
    """One row a kind: letters, baseline, gaps, counters, outline, seconds."""
    print(f"{'kind':16} letters  base deg  base xh  gap med/max   counters  outline med/max  s")
    for kind in kinds or HARD:
        specimen = take(replace(HARD[kind], name=kind))
        begun = time.perf_counter()
        try:
            study = study_picture(specimen.data, f"{kind}.jpg", Brief(word=specimen.recipe.word))
        except PictureError as refusal:
            print(f"{kind:16} REFUSED {refusal}")
            continue
        seconds = time.perf_counter() - begun
        s = score(specimen, study)
        level = "   -        - " if s.baseline_deg is None else f"{s.baseline_deg:7.3f} {s.baseline_ratio:8.4f}"
        if not s.count_right:
            print(f"{kind:16} {len(study.letters):3d} WRONG {level}")
            continue
        print(f"{kind:16} {len(study.letters):3d} ok  {level}   {said_of_letters(s)}   {seconds:.1f}")


if __name__ == "__main__":
    report(sys.argv[1:])
