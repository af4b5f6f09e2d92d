"""What letters look like, learnt from open families: `python -m benchmarks.letter_looks [--write]`.

Draws every letter of the installed training families (`pip install fontpkg-cabin ...`) in several weights, a little
leaning, raised and stretched as a hand would, groups each letter's pictures into a few forms and finds the axes that part
the forms best. Prints how often a letter of other families is named rightly; `--write` stores the forms.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.cluster.vq import kmeans2
from scipy.linalg import eigh

import vectorize.trade
from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import flatten, signed_area
from vectorize.outlines.outline import Outline
from vectorize.reading.looks import FILE, grid, rows_of_ink
from vectorize.trade.letter_shapes import WIDTHS

TRAINING = [
    "alegreya-sans",
    "cabin",
    "crimson-pro",
    "eb-garamond",
    "fira-sans",
    "ibm-plex-serif",
    "karla",
    "libre-baskerville",
    "libre-franklin",
    "literata",
    "merriweather",
    "montserrat",
    "noto-sans",
    "noto-serif",
    "nunito",
    "open-sans",
    "playfair-display",
    "poppins",
    "pt-sans",
    "pt-serif",
    "raleway",
    "roboto-slab",
    "spectral",
    "vollkorn",
]
OTHERS = ("barlow", "bodoni-moda", "inter", "jost", "lato", "lora", "source-serif-4")
WEIGHTS, STYLES = (300, 400, 600, 800), ("-Light.", "-Regular.", "-Medium.", "-Bold.", "-ExtraBold.")
# x-height of a drawn letter in px; forms a letter; axes kept.
X_HEIGHT_PX, FORMS, AXES = 40, 4, 32
# Share of the mean variance added to each axis, as a typeface or hand not seen in training varies in ways not seen either.
SHRINKAGE = 0.15


def drawn(outline: Outline, rng: np.random.Generator) -> NDArray[np.float32]:
    """The grid of a letter, its dots left out, leaning, raised and stretched at random."""
    rings = [(signed_area(c) > 0, flatten(c, 4.0) / 1000.0) for c in outline.contours if c.segments]
    if outline.name in ("i", "j"):
        rings = [max(rings, key=lambda r: float(np.ptp(r[1][:, 1])))]
    lean, rise, stretch = rng.normal(0, 0.03), rng.normal(0, 0.015), rng.normal(1, 0.02)
    placed = [
        (solid, np.column_stack((r[:, 0] + lean * (r[:, 1] - 0.5), stretch * r[:, 1] + rise))) for solid, r in rings
    ]
    left = min(float(p[:, 0].min()) for _, p in placed)
    right = max(float(p[:, 0].max()) for _, p in placed)
    size = int((right - left) * X_HEIGHT_PX) + 8, round(2.4 * X_HEIGHT_PX)
    baseline = 1.75 * X_HEIGHT_PX
    mask = np.zeros((size[1], size[0]), bool)
    for solid, p in sorted(placed, key=lambda q: not q[0]):
        image = Image.new("1", size)
        points = np.column_stack((4 + (p[:, 0] - left) * X_HEIGHT_PX, baseline - p[:, 1] * X_HEIGHT_PX)) - 0.5
        ImageDraw.Draw(image).polygon([(float(x), float(y)) for x, y in points], fill=1)
        mask = mask | np.asarray(image) if solid else mask & ~np.asarray(image)
    columns = np.flatnonzero(mask.any(axis=0))
    rows = rows_of_ink(mask, 0.0, baseline, X_HEIGHT_PX)
    total = np.vstack((np.zeros((1, len(rows)), np.float32), np.cumsum(rows.T, axis=0)))
    return grid(total, float(columns[0]), float(columns[-1] + 1))


def pictures(families: tuple[str, ...], each: int) -> tuple[NDArray[np.float32], NDArray[np.str_]]:
    """Pictures (n, cells) and the letter of each."""
    rng = np.random.default_rng(1)
    seen: list[NDArray[np.float32]] = []
    names: list[str] = []
    for family in families:
        try:
            path = font_path(family)
        except ModuleNotFoundError:
            print(f"Not installed and left out: fontpkg-{family}", file=sys.stderr)
            continue
        static = dict.fromkeys((font_path(family, s), 400) for s in STYLES)
        for file, weight in [(path, w) for w in WEIGHTS] if "[" in path.name else static:
            for name in WIDTHS:
                try:
                    outline = outline_word(file, name, weight)[0]
                except (IndexError, ValueError):
                    continue
                for _ in range(each):
                    seen.append(drawn(outline, rng))
                    names.append(name)
    return np.array(seen), np.array(names)


def learn(seen: NDArray[np.float32], names: NDArray[np.str_]) -> dict[str, NDArray[np.generic]]:
    """Letters, axes, forms and their owners, as `vectorize.reading.looks` reads them."""
    letters = sorted(set(names.tolist()))
    centres, owner, scatter = [], [], []
    for i, name in enumerate(letters):
        own = seen[names == name].astype(float)
        means, label = kmeans2(own, min(FORMS, len(own)), minit="++", seed=1)
        for k in np.unique(label):
            group = own[label == k]
            if len(group) >= 4:
                centres.append(means[k])
                owner.append(i)
                scatter.append(group - means[k])
    within = np.cov(np.concatenate(scatter).T, bias=True)
    within += np.eye(len(within)) * SHRINKAGE * np.trace(within) / len(within)
    forms = np.array(centres)
    values, vectors = eigh(np.cov(forms.T), within)
    axes = vectors[:, np.argsort(values)[::-1][:AXES]]
    return {
        "letters": np.array(letters),
        "axes": axes.astype(np.float16),
        "forms": (forms @ axes).astype(np.float16),
        "owner": np.array(owner),
    }


def named_rightly(learnt: dict[str, NDArray[np.generic]], seen: NDArray[np.float32], names: NDArray[np.str_]) -> float:
    """Share of pictures whose nearest form is of their own letter."""
    axes, forms = learnt["axes"].astype(float), learnt["forms"].astype(float)
    square = (((seen @ axes)[:, None] - forms[None]) ** 2).sum(axis=2)
    return float(np.mean(learnt["letters"][learnt["owner"][square.argmin(axis=1)]] == names))


def main() -> None:
    """Learn, tell, and store where asked."""
    learnt = learn(*pictures(tuple(TRAINING), 2))
    print(f"{len(learnt['forms'])} forms of {len(learnt['letters'])} letters")
    print(f"letters of other families named rightly: {named_rightly(learnt, *pictures(OTHERS, 1)):.3f}")
    if "--write" in sys.argv:
        np.savez_compressed(Path(next(iter(vectorize.trade.__path__))) / FILE, **learnt)


if __name__ == "__main__":
    main()
