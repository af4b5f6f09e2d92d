"""The pictures that are measured, drawn by the generator of the tests: in: a folder, out: their paths.

Drawing them is not timed, and done by a process of its own (`python -m benchmarks.pictures FOLDER`): what a process has held
counts as its children's peak of memory too. The photograph of 48 Mpx is that of 12, seen through a sensor of twice as many pixels each way:
enlarged, with noise of its own.
"""

from __future__ import annotations

import io
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

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
    *(
        replace(SCAN, name=f"{len(word)}-letters", word=word, x_height_mm=12.0)
        for word in ("hi", "hinnelh", "hinnelhinnelhi")
    ),
    replace(SCAN, name="photo-12mpx", camera=PHOTO, fill=Fill()),
)
NAMES = tuple(r.name for r in RECIPES)
GROWTH = {"2-letters": 2, "7-letters": 7, "14-letters": 14}
ENLARGED = {"photo-48mpx": "photo-12mpx"}


def drawn(folder: Path) -> dict[str, Path]:
    """Name to path of each picture, all drawn anew."""
    folder.mkdir(parents=True)
    subprocess.run([sys.executable, "-m", "benchmarks.pictures", str(folder)], check=True)
    return {path.stem: path for path in (_path(folder, name) for name in (*NAMES, *ENLARGED))}


def _path(folder: Path, name: str) -> Path:
    return folder / f"{name}.jpg"


def _draw(folder: Path) -> None:
    for recipe in RECIPES:
        _path(folder, recipe.name).write_bytes(take(recipe).data)
    for name, source in ENLARGED.items():
        _path(folder, name).write_bytes(_twice(_path(folder, source).read_bytes()))


def _twice(data: bytes) -> bytes:
    small = Image.open(io.BytesIO(data))
    large = np.asarray(small.resize((2 * small.width, 2 * small.height), Image.Resampling.BICUBIC)).astype(np.int16)
    noise = np.random.default_rng(48).normal(0.0, PHOTO.noise, large.shape[:2])
    large += np.rint(noise).astype(np.int16)[:, :, None]
    out = io.BytesIO()
    Image.fromarray(np.clip(large, 0, 255).astype(np.uint8)).save(out, "JPEG", quality=PHOTO.quality)
    return out.getvalue()


def many(source: Path, folder: Path, count: int) -> list[str]:
    """`count` different pictures (the scan with a comment of its own), as a class hands them in."""
    folder.mkdir(parents=True, exist_ok=True)
    data = source.read_bytes()
    paths = [folder / f"draft-{i:03d}.jpg" for i in range(count)]
    for i, path in enumerate(paths):
        comment = f"draft {i}".encode()
        path.write_bytes(data[:2] + b"\xff\xfe" + (len(comment) + 2).to_bytes(2, "big") + comment + data[2:])
    return [str(p) for p in paths]


if __name__ == "__main__":
    _draw(Path(sys.argv[1]))
