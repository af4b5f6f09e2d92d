"""A Reading comes in; out go the word's true size, its angles and its lines, in picture px, letter units and mm."""

from __future__ import annotations

import math

import numpy as np

from vectorize.brief import Brief
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box, PlaneMap, Point, Points, angle_deg, box_around, chained
from vectorize.outlines.outline import Outline
from vectorize.reading.records import Guide, Guides, Reading
from vectorize.study import GuideLine, GuideLines, Level, Scale
from vectorize.trade.bearings import ASSUMED_X_HEIGHT_MM, GIVEN_WITHIN


def guide_lines(reading: Reading) -> GuideLines:
    """The guidelines with their ends in picture px and in letter units."""
    g = reading.guides
    return GuideLines(
        _line(reading, g.baseline),
        *(_line(reading, q) if q else None for q in (g.mean_line, g.cap_line, g.ascender_line, g.descender_line)),
    )


def _line(reading: Reading, guide: Guide) -> GuideLine:
    ends = _array(guide.start, guide.end)
    return GuideLine(
        guide.source,
        _two_points(reading.strip.to_picture.apply(ends)),
        _two_points(reading.guides.to_units.apply(ends)),
    )


def level(reading: Reading, lines: GuideLines) -> Level:
    """Angles of the lines in the upright picture, the camera's share told apart from the drawing's.

    Where the sheet itself is seen, the drawing's share is the baseline's angle on the flattened sheet; where only
    printed ruling is seen, its angle stands for the sheet's.
    """
    baseline_deg = angle_deg(*lines.baseline.px)
    drawing_deg = _drawing_deg(reading, baseline_deg)
    return Level(
        baseline_deg,
        angle_deg(*lines.mean_line.px) if lines.mean_line else None,
        angle_deg(*lines.cap_line.px) if lines.cap_line else None,
        None if drawing_deg is None else baseline_deg - drawing_deg,
        drawing_deg,
        reading.guides.baseline.source,
    )


def _drawing_deg(reading: Reading, baseline_deg: float) -> float | None:
    if reading.paper.camera_deg is not None:
        baseline = reading.guides.baseline
        to_sheet = chained(reading.strip.to_picture, reading.paper.to_picture.inverse())
        if reading.paper.before_turn is not None:
            to_sheet = chained(to_sheet, reading.paper.before_turn[0])
        return angle_deg(*_two_points(to_sheet.apply(_array(baseline.start, baseline.end))))
    if reading.ruling.camera_deg is not None:
        return baseline_deg - reading.ruling.camera_deg
    return None


def scale(reading: Reading, brief: Brief) -> tuple[Scale, tuple[Finding, ...]]:
    """True size of the word, and a remark where it had to be assumed or may be another."""
    guides = reading.guides
    x_height_mm, source = _x_height_mm(reading, brief)
    scale_ = Scale(
        x_height_mm / x_height_picture_px(guides, reading.strip.to_picture), x_height_mm, source, guides.x_height_source
    )
    doubt = _size_doubt(reading, x_height_mm, source)
    if not doubt:
        return scale_, ()
    return scale_, (Finding("size", (), round(x_height_mm, 2), None, "mm", Severity.NOTE, doubt),)


def _size_doubt(reading: Reading, x_height_mm: float, source: str) -> str:
    """What may be wrong about the true size, and what to do; empty where nothing is."""
    if source == "assumed":
        return (
            f"Neither the sheet nor the file tells the true size, so an x-height of {x_height_mm:g} mm is assumed. "
            "Measure the drawing from the baseline to the mean line and give that length as --x-height; "
            "everything measured in x-heights holds as it is."
        )
    if source == "page":
        return reading.paper.size_doubt
    if source == "given" and reading.strip.mm_per_px is not None:
        seen_mm = reading.guides.x_height_px * reading.strip.mm_per_px
        if abs(x_height_mm / seen_mm - 1.0) > GIVEN_WITHIN:
            by = (
                f"the sheet, taken for {reading.paper.sheet_name}," if reading.paper.mm_source == "page" else "the file"
            )
            return (
                f"An x-height of {x_height_mm:g} mm was given and is taken; by {by} it would be {seen_mm:.1f} mm. "
                "Measure once more from the baseline to the mean line."
            )
    return ""


def _x_height_mm(reading: Reading, brief: Brief) -> tuple[float, str]:
    told = brief.corrections.x_height_mm or brief.x_height_mm
    if told is not None:
        return told, "given"
    if reading.strip.mm_per_px is not None and reading.paper.mm_source is not None:
        return reading.guides.x_height_px * reading.strip.mm_per_px, reading.paper.mm_source
    return float(ASSUMED_X_HEIGHT_MM), "assumed"


def x_height_picture_px(guides: Guides, to_picture: PlaneMap) -> float:
    """The x-height at the middle of the word in pixels of the upright picture."""
    middle = (guides.baseline.start[0] + guides.baseline.end[0]) / 2.0
    to_strip = guides.to_units.inverse()
    x_u, _ = guides.to_units.point((middle, guides.baseline.start[1]))
    foot, head = to_picture.apply(_array(to_strip.point((x_u, 0.0)), to_strip.point((x_u, 1000.0))))
    return math.dist(foot, head)


def box_px(reading: Reading, outline: Outline) -> tuple[float, float, float, float]:
    """The upright rectangle in the picture around the four corners of the letter's level box."""
    corners = reading.guides.to_units.inverse().apply(outline.box_u.corners)
    around: Box = box_around(reading.strip.to_picture.apply(corners))
    return around.x0, around.y0, around.x1, around.y1


def _array(*points: Point) -> Points:
    return np.array(points, float)


def _two_points(ends: Points) -> tuple[Point, Point]:
    (x0, y0), (x1, y1) = ends
    return (float(x0), float(y0)), (float(x1), float(y1))
