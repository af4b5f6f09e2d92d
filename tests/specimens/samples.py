"""The pictures in samples/ and the recipe of each; `python -m tests.specimens.samples` draws them anew.

The scenario is invented: the Thursday evening lettering class at the Old Ropeworks draws words that do not exist.
"""

from __future__ import annotations

from pathlib import Path

from tests.specimens.camera import take
from tests.specimens.recipe import Camera, Fill, Hand, Lines, Recipe, Sheet

FOLDER = Path(__file__).parents[2] / "samples"

SAMPLES: dict[str, tuple[Recipe, str]] = {
    "scan-hinnel": (
        Recipe(
            "scan-hinnel",
            "hinnel",
            "source-sans-3",
            600,
            x_height_mm=26.0,
            hand=Hand(wobble=0.007, gaps={2: 0.17}),
            camera=Camera(px_per_mm=7.874, turn_deg=0.4),
            seed=11,
        ),
        "a flat scan; the space between the two n is too wide",
    ),
    "scan-hinnel-second": (
        Recipe(
            "scan-hinnel-second",
            "hinnel",
            "source-sans-3",
            600,
            x_height_mm=25.0,
            hand=Hand(wobble=0.007, gaps={2: 0.03}),
            camera=Camera(px_per_mm=7.874, turn_deg=-0.3),
            seed=12,
        ),
        "the same word drawn again, a flat scan; the wide space is mended",
    ),
    "desk-tandrel": (
        Recipe(
            "desk-tandrel",
            "tandrel",
            "barlow",
            500,
            x_height_mm=24.0,
            hand=Hand(wobble=0.008, lean={6: 3.2}, gaps={1: 0.06}),
            lines=Lines(tilt_deg=-0.9),
            camera=Camera(
                kind="photo",
                size_px=(2448, 3264),
                tilt_x_deg=7,
                tilt_y_deg=-4,
                turn_deg=1.6,
                shadow=0.22,
                falloff=0.25,
                quality=84,
            ),
            seed=21,
        ),
        "a phone photograph on a desk; the baseline slopes down to the right, the l leans",
    ),
    "no-lines-vessom": (
        Recipe(
            "no-lines-vessom",
            "vessom",
            "work-sans",
            500,
            x_height_mm=24.0,
            hand=Hand(wobble=0.009, drop={3: 0.06}),
            lines=Lines(names=()),
            sheet=Sheet(colour=(238, 229, 206)),
            camera=Camera(px_per_mm=7.874, turn_deg=1.1),
            seed=31,
        ),
        "cream paper without guidelines; the second s sinks",
    ),
    "squared-boldano": (
        Recipe(
            "squared-boldano",
            "boldano",
            "jost",
            600,
            x_height_mm=22.0,
            hand=Hand(wobble=0.008, counter={6: 0.72}),
            lines=Lines(tilt_deg=0.2),
            sheet=Sheet(pattern="squared"),
            camera=Camera(px_per_mm=7.874, turn_deg=-0.5),
            seed=41,
        ),
        "squared paper; the counter of the second o is shrunken",
    ),
    "serif-manoret": (
        Recipe(
            "serif-manoret",
            "manoret",
            "lora",
            600,
            x_height_mm=22.0,
            hand=Hand(wobble=0.006, gaps={4: -0.09}),
            fill=Fill(blotches=0.95, darkness=0.8),
            camera=Camera(px_per_mm=7.874, turn_deg=0.2),
            seed=51,
        ),
        "a serif; the fill is blotchy and r and e stand too close",
    ),
    "capitals-lantova": (
        Recipe(
            "capitals-lantova",
            "LANTOVA",
            "source-sans-3",
            700,
            x_height_mm=17.0,
            hand=Hand(wobble=0.006, gaps={1: 0.12}),
            lines=Lines(names=("baseline", "cap"), colour=(70, 110, 190)),
            camera=Camera(
                kind="photo",
                size_px=(2448, 3264),
                tilt_x_deg=-5,
                tilt_y_deg=6,
                turn_deg=-2.2,
                falloff=0.3,
                desk="dark",
                quality=84,
            ),
            seed=61,
        ),
        "a word of capitals between two blue lines, photographed; A and N stand too far apart",
    ),
    "half-filled-umbrol": (
        Recipe(
            "half-filled-umbrol",
            "umbrol",
            "barlow",
            600,
            x_height_mm=23.0,
            hand=Hand(wobble=0.007, weight={2: 0.018}),
            fill=Fill(style="half"),
            camera=Camera(px_per_mm=7.874, turn_deg=-0.8),
            seed=71,
        ),
        "loosely hatched, not yet filled in; the b is heavier than its neighbours",
    ),
}


PREAMBLE = """# Samples

Every picture here is **generated**: no pencil and no camera was used. A word that does not exist is set from an open
font, each contour trembles as a hand would, the letters are hatched stroke by stroke on paper grain, and the sheet is
scanned or photographed by an imagined camera. The scenario, the Thursday evening lettering class at the Old Ropeworks,
is invented too.

The recipe of each picture stands in `tests/specimens/samples.py`; `python -m tests.specimens.samples` draws them anew
and writes this page.

| picture | what it shows | word | model typeface | x-height on paper |
|---|---|---|---|---|
"""


def page() -> str:
    """samples/README.md, from the recipes."""
    rows = (
        f"| `{name}.jpg` | {what} | {r.word} | {r.family.replace('-', ' ')} {r.weight} | {r.x_height_mm:g} mm |\n"
        for name, (r, what) in SAMPLES.items()
    )
    return PREAMBLE + "".join(rows)


def main() -> None:
    """Draw every sample into samples/ and write its page."""
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / "README.md").write_text(page(), encoding="utf-8")
    for name, (recipe, _) in SAMPLES.items():
        (FOLDER / f"{name}.jpg").write_bytes(take(recipe).data)


if __name__ == "__main__":
    main()
