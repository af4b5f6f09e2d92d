"""The pictures that are measured, drawn by the generator of the tests: in: a folder, out: their paths."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.specimens.camera import take
from tests.specimens.recipe import Camera, Fill, Hand, Recipe

SCAN = Recipe(
    "scan-2mpx",
    "hinnel",
    "source-sans-3",
    600,
    x_height_mm=24.0,
    hand=Hand(gaps={2: 0.1}),
    camera=Camera(px_per_mm=5.6),
)
PHOTO = Camera(kind="photo", size_px=(3000, 4000), tilt_x_deg=5, tilt_y_deg=-3, turn_deg=1.5, falloff=0.2)
RECIPES = (
    SCAN,
    replace(SCAN, name="scan-2-letters", word="hi"),
    replace(SCAN, name="scan-14-letters", word="hinnelhinnelhi", x_height_mm=11.0),
    replace(SCAN, name="photo-12mpx", camera=PHOTO, fill=Fill()),
    replace(SCAN, name="photo-48mpx", camera=replace(PHOTO, size_px=(6000, 8000))),
)


def draw(folder: Path) -> dict[str, Path]:
    """Name to path of each picture; those already there are kept."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = {r.name: folder / f"{r.name}.jpg" for r in RECIPES}
    for recipe in RECIPES:
        if not paths[recipe.name].exists():
            paths[recipe.name].write_bytes(take(recipe).data)
    return paths


def many(source: Path, folder: Path, count: int) -> list[str]:
    """`count` different pictures (the scan with a comment of its own), as a class hands them in."""
    folder.mkdir(parents=True, exist_ok=True)
    data = source.read_bytes()
    paths = [folder / f"draft-{i:03d}.jpg" for i in range(count)]
    for i, path in enumerate(paths):
        if not path.exists():
            comment = f"draft {i}".encode()
            path.write_bytes(data[:2] + b"\xff\xfe" + (len(comment) + 2).to_bytes(2, "big") + comment + data[2:])
    return [str(p) for p in paths]
