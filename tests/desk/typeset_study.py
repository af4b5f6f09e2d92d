"""A study of a word set from an open font, drawn a little unevenly: what the desk gets, without a picture."""

from __future__ import annotations

import numpy as np

from tests.specimens.typeset import font_path, outline_word
from vectorize.anatomy.records import Anatomy
from vectorize.brief import Brief
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Homography, frozen
from vectorize.reading.records import GuideSource
from vectorize.spacing.by_hand import placed
from vectorize.spacing.setting import space
from vectorize.study import GuideLine, GuideLines, Letter, Level, PictureFacts, Scale, Sketch, Study

PX_PER_UNIT = 0.2
UNEVEN_U = (0.0, 60.0, -30.0, 90.0, 0.0, -60.0, 20.0, 110.0, -20.0, 40.0)


def typeset_study(word: str, brief: Brief, size_px: tuple[int, int] = (1600, 700)) -> tuple[Study, Homography]:
    """The study, and the map from its sketch to the picture (here a shift by 100 px)."""
    shift, outlines = 0.0, []
    for i, outline in enumerate(outline_word(font_path("source-sans-3"), word, 600)):
        shift += UNEVEN_U[i % len(UNEVEN_U)]
        outlines.append(outline.moved(shift))
    to_units = Affine(1 / PX_PER_UNIT, 0.0, 0.0, -1 / PX_PER_UNIT, -100 / PX_PER_UNIT, 450 / PX_PER_UNIT)
    to_picture = Homography.from_affine(Affine.shift(100.0, 100.0))
    width = outlines[-1].box_u.x1
    to_sketch = to_units.inverse()

    def line(height: float) -> GuideLine:
        ends = ((-200.0, height), (width + 200.0, height))
        px = tuple(tuple(v + 100.0 for v in to_sketch.point(p)) for p in ends)
        return GuideLine(GuideSource.DRAWN, (px[0], px[1]), ends)  # type: ignore[arg-type]

    words = np.cumsum([0, *(len(w) for w in word.split()[:-1])])
    of = [int(np.searchsorted(words, i, side="right")) - 1 for i in range(len(outlines))]
    setting = space(outlines, of, brief.letterspacing_percent)
    centres = {i: (to_sketch.point(o.box_u.centre)[0] + 100.0) for i, o in enumerate(outlines)}
    moves = {min(centres, key=lambda i, p=p: abs(centres[i] - p.at[0])): p.move_u for p in brief.corrections.placed}
    setting = placed(setting, outlines, of, moves)
    rgb = np.full((size_px[1], size_px[0], 3), 243, np.uint8)
    letters = tuple(
        Letter(i + 1, o.name, of[i], o, (0.0, 0.0, 1.0, 1.0), Anatomy(0.4, 0.2, 0.1, (), 0.9))
        for i, o in enumerate(outlines)
    )
    study = Study(
        brief=brief,
        picture=PictureFacts("page.png", size_px[0], size_px[1], "0" * 64),
        sheet_name="A4",
        scale=Scale(0.1, 20.0, "page", "mean-line"),
        level=Level(0.0, 0.0, 0.0, 0.0, 0.0, GuideSource.DRAWN),
        guides=GuideLines(line(0.0), line(1000.0), line(1360.0), None, None),
        sketch=Sketch(frozen(rgb), to_units),
        letters=letters,
        setting=setting,
        remarks=(),
    )
    return study, to_picture


def some_findings(study: Study) -> tuple[Finding, ...]:
    """Findings of every weight, at places of the drawing."""
    box = study.letters[1].outline.box_u
    place = (box.x0 - 200, box.y0, box.x0 + 100, box.y1)
    return (
        Finding("stems", (1, 2), 0.4, 1.0, "deg", Severity.HOLDS, "The stems are upright."),
        Finding("spaces", (1, 2), 0.07, 0.05, "x-heights", Severity.NOTE, "A little wide between 1 and 2.", place),
        Finding("fill", (2,), 0.6, 0.8, "", Severity.LOOK_AGAIN, "The fill of letter 2 is blotchy.", place),
        Finding("spaces", (2, 3), 0.2, 0.12, "x-heights", Severity.FIX, "Letters 2 and 3 stand far apart.", place),
    )
