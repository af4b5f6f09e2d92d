"""Measured figures of pictures against what was planted: every study that the suite reads is kept and compared at the end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from tests.critique import pictured
from tests.critique.drawn import Drawing, outlines
from tests.specimens.recipe import Fill
from vectorize.anatomy.measure import measure
from vectorize.anatomy.records import Anatomy
from vectorize.study import Study


@dataclass(frozen=True)
class Figure:
    """name, how far it may be off, in which unit, and how it is read from an anatomy."""

    name: str
    within: float
    unit: str


STEM_DEG = Figure("stem_deg", 0.5, "deg")
STEM_RATIO = Figure("stem_ratio", 3.0, "%")
COUNTER_AREA = Figure("counter area", 4.0, "%")
CONTRAST = Figure("thin / thick", 8.0, "%")


def planned(drawing: Drawing) -> list[Anatomy]:
    """What was planted: the letters as designed with their faults, before a hand trembled."""
    steady = replace(drawing, hand=replace(drawing.hand, wobble=0.0), wobble_of={})
    return [measure(o, None, None) for o in outlines(steady)]


def as_drawn(drawing: Drawing) -> list[Anatomy]:
    """What was drawn, tremor included."""
    return [measure(o, None, None) for o in outlines(drawing)]


def errors(seen: Anatomy, true: Anatomy) -> Iterator[tuple[Figure, float]]:
    """How far each figure of one letter is off."""
    if seen.stem_deg is not None and true.stem_deg is not None:
        yield STEM_DEG, seen.stem_deg - true.stem_deg
    if seen.stem_ratio and true.stem_ratio:
        yield STEM_RATIO, 100.0 * (seen.stem_ratio / true.stem_ratio - 1.0)
    if seen.counters and len(seen.counters) == len(true.counters):
        yield COUNTER_AREA, 100.0 * (seen.counters[0].area_ratio / true.counters[0].area_ratio - 1.0)
    if seen.thin_ratio and seen.thick_ratio and true.thin_ratio and true.thick_ratio:
        share = seen.thin_ratio / seen.thick_ratio / (true.thin_ratio / true.thick_ratio)
        yield CONTRAST, 100.0 * (share - 1.0)


class Gallery:
    """Reads drawings through pictures and keeps what was found out about them."""

    def __init__(self) -> None:
        self.seen: list[tuple[Drawing, Study]] = []

    def scanned_or_photographed(self, drawing: Drawing, case: int) -> Study:
        """From a scan and from a photograph in turns."""
        return self._kept(drawing, pictured.scanned_or_photographed(drawing, case))

    def photographed(self, drawing: Drawing, case: int) -> Study:
        """From a photograph."""
        return self._kept(drawing, pictured.photographed(drawing, case))

    def _kept(self, drawing: Drawing, study: Study) -> Study:
        if len(study.letters) == len(drawing.word):
            self.seen.append((drawing, study))
        return study

    def figures(self) -> dict[str, dict[Figure, list[float]]]:
        """Errors of every figure against what was planted and against what was drawn."""
        found = {"planted": defaultdict(list), "drawn": defaultdict(list)}
        for drawing, study in self.seen:
            for name, true in (("planted", planned(drawing)), ("drawn", as_drawn(drawing))):
                for letter, anatomy in zip(study.letters, true, strict=True):
                    for figure, error in errors(letter.anatomy, anatomy):
                        found[name][figure].append(error)
        return found

    def fill_order(self) -> tuple[int, int]:
        """How many pairs of one letter filled more and less evenly there are, and how many are ordered right."""
        by_letter: dict[tuple[str, str, int, int], dict[float, float]] = defaultdict(dict)
        careful = Fill()
        for drawing, study in self.seen:
            for i, fill in drawing.fills.items():
                evenness = study.letters[i].anatomy.fill_evenness
                if evenness is not None and fill == replace(careful, blotches=fill.blotches):
                    by_letter[drawing.word, drawing.family, drawing.seed, i][fill.blotches] = evenness
        ordered = [[e for _, e in sorted(readings.items())] for readings in by_letter.values()]
        pairs = [pair for readings in ordered for pair in pairwise(readings)]
        return len(pairs), sum(a > b for a, b in pairs)

    def table(self) -> list[str]:
        """The truth of the figures as lines of a page."""
        found = self.figures()
        lines = ["| figure | within | of letters | against the planted: share within, median | against the drawn |"]
        lines.append("|---|---|---|---|---|")
        for figure in (STEM_DEG, STEM_RATIO, COUNTER_AREA, CONTRAST):
            cells = [_within(figure, found[name][figure]) for name in ("planted", "drawn")]
            number = len(found["planted"][figure])
            lines.append(f"| {figure.name} | {figure.within:g} {figure.unit} | {number} | {cells[0]} | {cells[1]} |")
        pairs, right = self.fill_order()
        lines.append(f"| fill evenness | ordered right | {pairs} pairs | {right / max(1, pairs):.2f} | |")
        return lines


def _within(figure: Figure, off: list[float]) -> str:
    size = np.abs(off)
    return f"{np.mean(size <= figure.within):.2f}, {np.median(size):.2f} {figure.unit}"
