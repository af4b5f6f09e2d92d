"""Studies of words set from open fonts, with a pencilled picture and gaps changed by hand: for sheets and writers."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from tests.specimens.typeset import font_path, outline_word
from vectorize.anatomy.measure import measure
from vectorize.brief import Brief
from vectorize.curves import flatten, signed_area
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, frozen
from vectorize.outlines.outline import Outline
from vectorize.reading.records import GuideSource
from vectorize.spacing.setting import space
from vectorize.study import GuideLine, GuideLines, Letter, Level, PictureFacts, Scale, Sketch, Study

PX_PER_UNIT = 0.22
SPLIT = {1: 130.0, 3: -70.0}
"""A word that parts after its second letter and is tight after its fourth."""


def font_study(
    text: str = "mantel",
    *,
    family: str = "lato",
    weight: int = 600,
    changed_u: Mapping[int, float] = SPLIT,
    x_height_mm: float = 18.0,
    named: bool = True,
    sheet_name: str | None = "A4",
    letterspacing_percent: float | None = None,
    cap_line: bool = True,
) -> Study:
    """`text` (words parted by spaces) from a font, the gap after letter i (from 0) changed by some units."""
    outlines = _drawn(text, family, weight, changed_u)
    if not named:
        outlines = [Outline(o.contours, None, o.drawn_edge, o.fit_error_u) for o in outlines]
    words = [i for i, w in enumerate(text.split()) for _ in w]
    rgb, to_units = _pencilled(outlines)
    letters = tuple(
        Letter(i + 1, o.name, words[i], o, _box_px(o, to_units), measure(o, None, None)) for i, o in enumerate(outlines)
    )
    return Study(
        brief=Brief(word=text if named else None, letterspacing_percent=letterspacing_percent),
        picture=PictureFacts("class drawing 3.jpg", rgb.shape[1], rgb.shape[0], "5" * 64),
        sheet_name=sheet_name,
        scale=Scale(x_height_mm / (1000.0 * PX_PER_UNIT), x_height_mm, "page", "mean-line"),
        level=Level(-0.8, -0.6, None, -0.1, -0.7, GuideSource.DRAWN),
        guides=_lines(outlines, to_units, cap_line=cap_line),
        sketch=Sketch(rgb, to_units),
        letters=letters,
        setting=space(outlines, words, letterspacing_percent),
        remarks=(),
    )


def _drawn(text: str, family: str, weight: int, changed_u: Mapping[int, float]) -> list[Outline]:
    letters = outline_word(font_path(family), text, weight)
    moves = np.cumsum([0.0, *(changed_u.get(i, 0.0) for i in range(len(letters) - 1))])
    rng = np.random.default_rng(7)
    drawn = []
    for letter, move in zip(letters, moves, strict=True):
        o = letter.moved(float(move))
        edges = tuple(frozen(_unsteady(flatten(c, 1.0), rng)) for c in o.contours)
        drawn.append(Outline(o.contours, o.name, edges, 9.0))
    return drawn


def _unsteady(ring: NDArray[np.float64], rng: np.random.Generator) -> NDArray[np.float64]:
    """Points every 12 units along a closed polyline, shaken by up to some 8 units."""
    closed = np.vstack((ring, ring[:1]))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))))
    at = np.arange(0.0, along[-1], 12.0)
    even = np.column_stack([np.interp(at, along, closed[:, k]) for k in (0, 1)])
    return even + rng.normal(0.0, 3.0, even.shape)


def _pencilled(outlines: list[Outline]) -> tuple[NDArray[np.uint8], Affine]:
    """A grey drawing on paper with three guidelines, and the map from its px to letter units."""
    x1 = max(o.box_u.x1 for o in outlines) + 900.0
    size = (round((x1 + 900.0) * PX_PER_UNIT), round(3000.0 * PX_PER_UNIT))
    to_px = Affine(PX_PER_UNIT, 0.0, 0.0, -PX_PER_UNIT, 900.0 * PX_PER_UNIT, 2000.0 * PX_PER_UNIT)
    mask = Image.new("L", size, 0)
    pen = ImageDraw.Draw(mask)
    for o in outlines:
        rings = sorted(zip(o.contours, o.drawn_edge, strict=True), key=lambda r: -abs(signed_area(r[0])))
        for contour, edge in rings:
            pen.polygon([tuple(p) for p in to_px.apply(edge)], fill=255 if signed_area(contour) > 0.0 else 0)
    rng = np.random.default_rng(3)
    blotches = Image.fromarray(rng.integers(0, 256, (size[1], size[0]), dtype=np.uint8)).filter(
        ImageFilter.GaussianBlur(5)
    )
    ink = np.asarray(mask.filter(ImageFilter.GaussianBlur(0.8)), float) / 255.0
    grey = 236.0 + rng.normal(0.0, 2.0, ink.shape)
    for height in (0.0, 1000.0, 1400.0):
        y = round(to_px.point((0.0, height))[1])
        grey[y : y + 2] -= 45.0
    grey -= ink * (110.0 + (np.asarray(blotches, float) - 128.0) * 4.0 + rng.normal(0.0, 12.0, ink.shape))
    rgb = np.clip(grey[:, :, None] + np.array((2.0, 0.0, -6.0)), 0, 255).astype(np.uint8)
    return frozen(rgb), to_px.inverse()


def _box_px(outline: Outline, to_units: Affine) -> tuple[float, float, float, float]:
    (x0, y1), (x1, y0) = (
        to_units.inverse().point(p)
        for p in ((outline.box_u.x0, outline.box_u.y0), (outline.box_u.x1, outline.box_u.y1))
    )
    return x0, y0, x1, y1


def _lines(outlines: list[Outline], to_units: Affine, *, cap_line: bool) -> GuideLines:
    width = max(o.box_u.x1 for o in outlines)

    def line(height: float, rise: float) -> GuideLine:
        ends = ((-200.0, height - rise), (width + 200.0, height + rise))
        to_px = to_units.inverse()
        return GuideLine(GuideSource.DRAWN, (to_px.point(ends[0]), to_px.point(ends[1])), ends)

    return GuideLines(line(0.0, 0.0), line(1000.0, 4.0), line(1400.0, 9.0) if cap_line else None, None, None)


def some_findings(study: Study) -> tuple[Finding, ...]:
    """Findings of every weight, as a critique hands them over: what holds first, then the heaviest."""
    a, b = study.letters[1 % len(study.letters)], study.letters[2 % len(study.letters)]
    box = a.outline.box_u
    gap = (box.x1 - 30.0, 0.0, max(box.x1 + 60.0, b.outline.box_u.x0 + 30.0), 1000.0)
    return (
        Finding("level", (), 0.1, 0.3, "deg", Severity.HOLDS, "The baseline lies level on the sheet."),
        Finding("upright", (), 0.4, 0.9, "deg", Severity.HOLDS, "The stems stand upright and alike."),
        Finding("spaces", (2, 3), 0.13, 0.05, "x-heights", Severity.FIX, "The space between a and n looks twice as wide as the others: the word falls into ma and ntel. Set the two about 2.3 mm closer.", gap),
        Finding("spaces", (4, 5), -0.07, 0.05, "x-heights", Severity.LOOK_AGAIN, "The space between t and e looks two thirds as wide as the others: the two letters run into one dark spot. Set the two about 1.3 mm further apart."),
        Finding("fill", (2,), 0.6, 0.8, "", Severity.LOOK_AGAIN, "The black of the a is blotchy. Go over it once more until no paper shines through.", (box.x0, box.y0, box.x1, box.y1)),
        Finding("seat", (1,), 0.03, 0.025, "x-heights", Severity.NOTE, "The m stops a little short of the mean line."),
    )  # fmt: skip
