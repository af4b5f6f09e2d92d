"""A specimen's truth against what the tool found, in x-heights and degrees."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from shapely.geometry import LineString, MultiLineString, Point

from tests.specimens.camera import Specimen
from vectorize.curves import flatten
from vectorize.geometry import angle_deg
from vectorize.reading.records import GuideSource
from vectorize.study import Study


@dataclass(frozen=True)
class Score:
    """Errors of one reading.

    baseline_deg, baseline_ratio (greatest distance over the word), gaps_ratio (each pair), counters_right (each letter),
    outlines_ratio: for each letter the mean distance of the clean outline from the drawn one, in x-heights / 1000.
    """

    count_right: bool
    baseline_deg: float | None
    baseline_ratio: float | None
    gaps_ratio: tuple[float, ...]
    counters_right: tuple[bool, ...]
    outlines: tuple[float, ...]


def said_of_letters(s: Score) -> str:
    """Gaps, counters and outlines of a reading that counts its letters right, as columns of a row."""
    gaps = f"{np.median(s.gaps_ratio):.3f}/{max(s.gaps_ratio):.3f}"
    counters = f"{sum(s.counters_right)}/{len(s.counters_right)}"
    return f"{gaps}    {counters}   {np.median(s.outlines):.1f}/{max(s.outlines):.1f}"


def word_frame(specimen: Specimen) -> list[list[np.ndarray]]:
    """The drawn rings in letter units: 1000 = x-height, y up from the drawn baseline, x from the first letter."""
    recipe = specimen.recipe
    turn = math.radians(recipe.lines.tilt_deg)
    c, s = math.cos(turn), math.sin(turn)
    at = np.array([recipe.sheet.width_mm / 2, recipe.sheet.height_mm * 0.46])
    back = lambda r: np.column_stack(((r - at) @ (c, -s), -(r - at) @ (s, c))) / recipe.x_height_mm * 1000.0  # noqa: E731
    letters = [[back(r) for r in letter] for letter in specimen.page.letters]
    left = min(r[:, 0].min() for r in letters[0])
    return [[r - (left, 0.0) for r in letter] for letter in letters]


def score(specimen: Specimen, study: Study) -> Score:
    """The tool's study held against the truth."""
    truth = word_frame(specimen)
    right = len(truth) == len(study.letters)
    deg, ratio = _baseline(specimen, study)
    if not right:
        return Score(False, deg, ratio, (), (), ())
    edges = [(min(r[:, 0].min() for r in t), max(r[:, 0].max() for r in t)) for t in truth]
    gaps = [(b[0] - a[1]) / 1000.0 for a, b in pairwise(edges)]
    return Score(
        True,
        deg,
        ratio,
        tuple(abs(p.gap_ratio - g) for p, g in zip(study.setting.pairs, gaps, strict=True)),
        tuple(len(x.outline.counters) == len(t) - _parts(t) for x, t in zip(study.letters, truth, strict=True)),
        tuple(_outline(x.outline, t) for x, t in zip(study.letters, truth, strict=True)),
    )


def _parts(rings: list[np.ndarray]) -> int:
    area = lambda r: np.sum(r[:, 0] * np.roll(r[:, 1], -1) - np.roll(r[:, 0], -1) * r[:, 1])  # noqa: E731
    return sum(area(r) * area(rings[0]) > 0 for r in rings)


def _baseline(specimen: Specimen, study: Study) -> tuple[float | None, float | None]:
    """(angle, greatest distance under the word) of the found baseline against the one the letters were set on."""
    if "baseline" not in specimen.page.lines:
        return None, None
    truth = specimen.page.lines["baseline"]
    found = [tuple(p) for p in specimen.sheet_points(np.array(study.guides.baseline.px))]
    line = LineString(found)
    ends = np.array(truth)
    places = ends[0] + np.array([0.2, 0.5, 0.8])[:, None] * (ends[1] - ends[0])
    return (
        abs(angle_deg(*found) - angle_deg(*truth)),
        max(line.distance(Point(p)) for p in places) / specimen.recipe.x_height_mm,
    )


NAMES = ("baseline", "mean_line", "cap_line", "ascender_line", "descender_line")


def line_errors(specimen: Specimen, study: Study) -> tuple[dict[str, float], dict[str, float], tuple[str, ...]]:
    """For each drawn line that was found by its name: greatest distance over the word in x-heights, and degrees.

    And what is wrong: lines not found, and lines found that nobody drew.
    """
    px = study.scale.x_height_mm / study.scale.mm_per_px
    off, deg, wrong = {}, {}, []
    for attribute in NAMES:
        name = attribute.removesuffix("_line")
        line = getattr(study.guides, attribute)
        drawn = line is not None and line.source is GuideSource.DRAWN
        if name not in specimen.page.lines:
            wrong += [f"+{name}"] if drawn else []
        elif not drawn:
            wrong.append(f"-{name}")
        else:
            truth = specimen.picture_points(np.array(specimen.page.lines[name]))
            found = LineString(line.px)
            a, b = (truth[0] * 0.8 + truth[1] * 0.2), (truth[0] * 0.2 + truth[1] * 0.8)
            off[name] = max(found.distance(Point(p)) for p in (a, b)) / px
            deg[name] = abs(angle_deg(*line.px) - angle_deg(tuple(truth[0]), tuple(truth[1])))
    return off, deg, tuple(wrong)


def _outline(outline, rings: list[np.ndarray]) -> float:
    points = np.concatenate([flatten(c, 1.0) for c in outline.contours])
    middle = np.concatenate(rings)
    truth = MultiLineString([np.vstack((r, r[:1])) for r in rings])
    shift = np.array(
        [(middle[:, 0].min() + middle[:, 0].max()) / 2 - (points[:, 0].min() + points[:, 0].max()) / 2, 0.0]
    )
    return float(np.mean([truth.distance(Point(p)) for p in points + shift]))
