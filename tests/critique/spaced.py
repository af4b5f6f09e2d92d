"""A study of a set word with gaps changed by hand: what the check of spaces reads, without a picture."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np

from tests.specimens.typeset import font_path, outline_word
from vectorize.anatomy.records import Anatomy, Counter
from vectorize.brief import Brief
from vectorize.curves import box, signed_area
from vectorize.geometry import Affine, frozen
from vectorize.outlines.outline import Outline
from vectorize.reading.records import GuideSource
from vectorize.spacing.setting import space
from vectorize.study import GuideLine, GuideLines, Letter, Level, PictureFacts, Scale, Sketch, Study


def spaced(
    text: str,
    changed_u: Mapping[int, float] | None = None,
    *,
    family: str = "source-sans-3",
    named: bool = True,
    scale_source: str = "page",
) -> Study:
    """`text` (words parted by spaces) set by the designer, the gap after letter i (from 0) changed by some units."""
    path: Path = font_path(family)
    words = [i for i, w in enumerate(text.split()) for _ in w]
    moves = np.cumsum([0.0, *((changed_u or {}).get(i, 0.0) for i in range(len(words) - 1))])
    outlines = [o.moved(float(m)) for o, m in zip(outline_word(path, text), moves, strict=True)]
    if not named:
        outlines = [Outline(o.contours) for o in outlines]
    letters = tuple(
        Letter(i + 1, o.name, words[i], o, (0.0, 0.0, 1.0, 1.0), _anatomy(o)) for i, o in enumerate(outlines)
    )
    line = GuideLine(GuideSource.DRAWN, ((0.0, 0.0), (1.0, 0.0)), ((0.0, 0.0), (1000.0, 0.0)))
    return Study(
        brief=Brief(),
        picture=PictureFacts("word.png", 100, 100, "0" * 64),
        sheet_name="A4",
        scale=Scale(0.1, 20.0, scale_source, "mean-line"),
        level=Level(0.0, None, None, None, None, GuideSource.DRAWN),
        guides=GuideLines(line, None, None, None, None),
        sketch=Sketch(frozen(np.zeros((1, 1, 3), np.uint8)), Affine.scale(1.0)),
        letters=letters,
        setting=space(outlines, words, None),
        remarks=(),
    )


def _anatomy(outline: Outline) -> Anatomy:
    counters = tuple(Counter(abs(signed_area(c)) / 1e6, box([c])) for c in outline.counters)
    return Anatomy(0.0, 0.18, 0.1, counters, None)
