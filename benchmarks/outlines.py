"""Outlines against type designers' own, beside the potrace library on the same ink.

`python -m benchmarks.outlines [FAMILY...] [--letters ABC] [--write]` inks letters of the installed open families three ways:
the font itself, the font as an unsteady hand draws it, and pencilled words that were scanned and read. --write puts the
table into DEVELOPERS.md.
"""

from __future__ import annotations

import importlib.util
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import click
import numpy as np
import shapely

from tests.docs import DEVELOPERS, put_between_marks
from tests.outlines.designers import Likeness, by_potrace, likeness
from tests.outlines.glyphs import BLUR_PX, case, inked, letter_ink
from tests.specimens.camera import take
from tests.specimens.hand import drawn_word
from tests.specimens.recipe import Camera, Hand, Recipe
from tests.specimens.score import word_frame
from tests.specimens.typeset import font_path, outline_word
from vectorize.brief import Brief
from vectorize.curves import Contour, moved
from vectorize.geometry import Affine
from vectorize.outlines.draw import draw_outline
from vectorize.reading.reading import read
from vectorize.reading.records import LetterInk

FAMILIES = ["barlow", "jost", "lato", "source-sans-3", "bitter", "lora", "newsreader", "source-serif-4"]
LETTERS = "adegnoRksxHt"
X_HEIGHT_PX = 250.0
WORDS = ["hamburg", "violet", "knights", "donkey", "bakery", "rhythm", "pastel"]


@dataclass(frozen=True, slots=True, eq=False)
class Inked:
    """A letter's ink, the map to letter units, the blur of its edge, the designer's contours, and the edge inked."""

    ink: LetterInk
    to_units: Affine
    blur_px: float
    designer: tuple[Contour, ...]
    rings: list[np.ndarray]


def clean(families: Sequence[str], letters: str) -> Iterator[Inked]:
    """The glyphs themselves."""
    for family in families:
        for letter in letters:
            c = case(family, letter, X_HEIGHT_PX)
            yield Inked(c.ink, c.to_units, c.blur_px, c.truth.contours, c.rings)


def by_hand(families: Sequence[str], letters: str) -> Iterator[Inked]:
    """The glyphs drawn by a hand that trembles by .006 of the x-height, cleanly filled."""
    for family in families:
        for k, letter in enumerate(letters):
            recipe = Recipe("hand", letter, family, 500, seed=k)
            rings = [1000.0 * r for r in drawn_word(recipe)[0]]
            cover, to_units = inked(rings, X_HEIGHT_PX)
            (truth,) = outline_word(font_path(family), letter, 500)
            blur = float(np.hypot(BLUR_PX, 0.29))
            yield Inked(letter_ink(cover, letter), to_units, blur, truth.contours, rings)


def pencilled(families: Sequence[str], _: str) -> Iterator[Inked]:
    """Words in pencil on a scanned sheet, read as every picture is."""
    for k, family in enumerate(families):
        word = WORDS[k % len(WORDS)]
        camera = Camera(px_per_mm=12.0, quality=92)
        specimen = take(Recipe("pencil", word, family, 500, 20.0, Hand(), camera=camera, seed=k))
        reading = read(specimen.data, "pencil.jpg", Brief(word=word))
        if len(reading.letters.letters) != len(word):
            continue
        truth = outline_word(font_path(family), word, 500)
        for ink, rings, glyph in zip(reading.letters.letters, word_frame(specimen), truth, strict=True):
            yield Inked(ink, reading.guides.to_units, reading.ink.edge_blur_px, glyph.contours, rings)


def ours(x: Inked) -> tuple[Contour, ...]:
    """The outline that `rebuild` draws."""
    return draw_outline(x.ink, x.to_units, x.blur_px).contours


def potrace(x: Inked) -> tuple[Contour, ...]:
    """The potrace library with its own settings."""
    return by_potrace(x.ink.coverage, Affine.shift(x.ink.left_px, x.ink.top_px).then(x.to_units))


def laid_on(contours: tuple[Contour, ...], rings: list[np.ndarray]) -> tuple[Contour, ...]:
    """The contours moved to where they lie best on the rings: where the letter stands is the reading's affair."""
    edge = shapely.MultiLineString([np.vstack((r, r[:1])) for r in rings])
    for _ in range(6):
        points = shapely.points([p for c in contours for s in c.segments for p in (s.start, middle(s.start, s.end))])
        near = shapely.get_coordinates(shapely.shortest_line(points, edge)).reshape(-1, 2, 2)
        step = near[:, 1] - near[:, 0]
        close = np.hypot(*step.T) < 40.0
        dx, dy = np.mean(step[close], axis=0) if close.any() else (0.0, 0.0)
        contours = tuple(moved(c, float(dx), float(dy)) for c in contours)
    return contours


def middle(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    """Half-way between two points."""
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def row(name: str, found: Sequence[Likeness], seconds: Sequence[float]) -> str:
    """One line of the table."""
    median = lambda v: float(np.median(list(v)))  # noqa: E731
    share = lambda v: f"{np.sum([x[0] for x in v]) / max(1, np.sum([x[1] for x in v])):.3f}"  # noqa: E731
    ratio = [x.nodes[0] / x.nodes[1] for x in found]
    cells = (
        name,
        str(len(found)),
        f"{median(x.mean_u for x in found):.2f}",
        f"{median(x.p95_u for x in found):.1f} / {median(x.most_u for x in found):.1f}",
        f"{np.median(ratio):.2f} / {np.quantile(ratio, 0.9):.2f}",
        f"{share([x.corners_found for x in found])} / {share([x.corners_true for x in found])}",
        share([x.extremes for x in found]),
        share([x.stems for x in found]),
        share([x.pairs for x in found]),
        f"{np.mean([x.faultless for x in found]):.3f}",
        f"{median(seconds):.3f}",
    )
    return "| " + " | ".join(cells) + " |"


HEAD = (
    "| ink, drawn by | letters | mean u | p95 / max u | nodes / designer's, median / p90 | corners found / true | extremes "
    "| stems one line | edges parallel | without a fault | CPU s |\n|---|---|---|---|---|---|---|---|---|---|---|"
)


def measured(name: str, inks: Sequence[Inked], draw: Callable[[Inked], tuple[Contour, ...]]) -> str:
    """A row for one kind of ink drawn in one way."""
    found, seconds = [], []
    for x in inks:
        start = time.process_time()
        contours = draw(x)
        seconds.append(time.process_time() - start)
        found.append(likeness(laid_on(contours, x.rings), x.designer, x.rings))
    return row(name, found, seconds)


@click.command()
@click.argument("families", nargs=-1)
@click.option("--letters", default=LETTERS, help="Which letters of each family.")
@click.option("--write", is_flag=True, help="Put the table into DEVELOPERS.md.")
def main(families: tuple[str, ...], letters: str, *, write: bool) -> None:
    """Measure the outlines against the designers of open families."""
    there = [f for f in families or FAMILIES if importlib.util.find_spec("fontpkg_" + f.replace("-", "_"))]
    if not there:
        raise SystemExit("No family is installed, so there is nothing to measure.")
    lines = [HEAD]
    print(HEAD)
    for name, kind in (("the font", clean), ("a hand", by_hand), ("pencil, scanned", pencilled)):
        inks = list(kind(there, letters))
        for by, draw in (("us", ours), ("potrace", potrace)):
            lines.append(measured(f"{name}, {by}", inks, draw))
            print(lines[-1], flush=True)
    if write:
        put_between_marks(DEVELOPERS, "outlines", "\n".join(lines))


if __name__ == "__main__":
    main()
