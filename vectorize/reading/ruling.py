"""A Paper comes in, its straight lines go out: drawn ones, and those of ruled or squared paper told apart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from vectorize.geometry import Affine, Homography, angle_deg
from vectorize.reading.lines import find_lines
from vectorize.reading.records import Paper, Ruling, StraightLine
from vectorize.trade.lines import PRINTED_LINES

# A line of printed ruling runs this share of the widest line's length.
EDGE_TO_EDGE = 0.8
# Spacing of printed lines varies by less than this share of the pitch.
PITCH_TOLERANCE = 0.12


def find_ruling(paper: Paper) -> Ruling:
    """All nearly level straight lines of the sheet, in sheet px."""
    darkness = paper.overview.max(axis=2)
    found = find_lines(darkness, solid_ink(paper.overview))
    printed = _printed(found)
    lines = tuple(_on_sheet(replace(line, printed=i in printed), paper.overview_scale) for i, line in enumerate(found))
    return Ruling(lines, _pitch_px(lines), _camera_deg(lines, paper))


def solid_ink(overview: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Where something thicker than a line is dark: letters, by an opening along the columns; bool (h, w)."""
    dark = overview.min(axis=2)
    strong = dark[dark > 0.08]
    if len(strong) < 50:
        return np.zeros(dark.shape, bool)
    mask = dark > max(0.10, 0.4 * float(np.quantile(strong, 0.85)))
    mask = ndimage.binary_closing(mask, np.ones((3, 3)))
    return np.asarray(ndimage.binary_opening(mask, np.ones((9, 1))))


def _printed(lines: tuple[StraightLine, ...]) -> set[int]:
    """Indices of lines that belong to printed ruling: many, long, parallel and on one pitch."""
    if len(lines) < PRINTED_LINES:
        return set()
    longest = max(x.end[0] - x.start[0] for x in lines)
    long_ones = [i for i, x in enumerate(lines) if x.end[0] - x.start[0] > EDGE_TO_EDGE * longest]
    if len(long_ones) < PRINTED_LINES:
        return set()
    slope = np.median([_slope(lines[i]) for i in long_ones])
    parallel = [i for i in long_ones if abs(_slope(lines[i]) - slope) < 0.004]
    middle = np.mean([(lines[i].start[0] + lines[i].end[0]) / 2 for i in parallel])
    heights = np.array([_height(lines[i], float(middle)) for i in parallel])
    order = np.argsort(heights)
    pitch = _common_pitch(heights[order])
    if pitch is None:
        return set()
    phase = _phase(heights, pitch)
    off = (heights - phase + pitch / 2) % pitch - pitch / 2
    on = {i for i, d in zip(parallel, off, strict=True) if abs(d) < PITCH_TOLERANCE * pitch}
    return on if len(on) >= PRINTED_LINES else set()


def _common_pitch(heights: NDArray[np.float64]) -> float | None:
    steps = np.diff(heights)
    steps = steps[steps > 3.0]
    if len(steps) < PRINTED_LINES - 1:
        return None
    pitch = float(np.median(steps))
    alike = np.abs(steps / pitch - np.maximum(1.0, np.rint(steps / pitch))) < PITCH_TOLERANCE
    if alike.mean() < 0.6:
        return None
    return float(np.median(steps[alike] / np.maximum(1.0, np.rint(steps[alike] / pitch))))


def _phase(heights: NDArray[np.float64], pitch: float) -> float:
    turn = np.exp(2j * np.pi * heights / pitch).mean()
    return float(np.angle(turn) / (2 * np.pi) * pitch)


def _slope(line: StraightLine) -> float:
    return (line.end[1] - line.start[1]) / (line.end[0] - line.start[0])


def _height(line: StraightLine, x: float) -> float:
    return line.start[1] + _slope(line) * (x - line.start[0])


def _on_sheet(line: StraightLine, overview_scale: float) -> StraightLine:
    grow = Affine.scale(1.0 / overview_scale)
    return replace(
        line, start=grow.point(line.start), end=grow.point(line.end), width_px=line.width_px / overview_scale
    )


def _pitch_px(lines: tuple[StraightLine, ...]) -> float | None:
    printed = sorted(_height(x, x.start[0]) for x in lines if x.printed)
    return _common_pitch(np.array(printed)) if len(printed) >= PRINTED_LINES else None


def _camera_deg(lines: tuple[StraightLine, ...], paper: Paper) -> float | None:
    to_picture: Homography = paper.to_picture
    angles = [
        angle_deg(*((float(p[0]), float(p[1])) for p in to_picture.apply(np.array([x.start, x.end]))))
        for x in lines
        if x.printed
    ]
    return float(np.median(angles)) if angles else None
