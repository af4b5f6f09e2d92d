"""How a camera looked at a sheet, from the sheet's sides alone: shown by a pinhole camera and found again."""

from __future__ import annotations

import math

import numpy as np
import pytest

from vectorize.reading.perspective import BOTTOM, LEFT, RIGHT, TOP, by_facing, corner, part_of_sheet, whole_sheet
from vectorize.reading.sides import Side, side_between

PICTURE = (3000, 4000)
FOCAL_PX = 3080.0
A4, LETTER, SQUARE = (210.0, 297.0), (215.9, 279.4), (200.0, 200.0)


def shown(points_mm: np.ndarray, tilt_deg: float = 0.0, turn_deg: float = 0.0) -> np.ndarray:
    """Points of a sheet, mm from its middle, in a camera 450 mm over it: the sheet turned, then leaned back."""
    turn, tilt = math.radians(turn_deg), math.radians(tilt_deg)
    x = points_mm[:, 0] * math.cos(turn) - points_mm[:, 1] * math.sin(turn)
    y = points_mm[:, 0] * math.sin(turn) + points_mm[:, 1] * math.cos(turn)
    depth = 450.0 - y * math.sin(tilt)
    return np.column_stack((x / depth, y * math.cos(tilt) / depth)) * FOCAL_PX + np.array(PICTURE) / 2.0


def corners_mm(size_mm: tuple[float, float]) -> np.ndarray:
    """Upper left, upper right, lower right, lower left."""
    return (np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) - 0.5) * size_mm


def sides_of(corners: np.ndarray) -> dict[int, Side]:
    pairs = {TOP: (0, 1), RIGHT: (1, 2), BOTTOM: (2, 3), LEFT: (3, 0)}
    return {k: side_between(corners[i], corners[j], corners.mean(axis=0)) for k, (i, j) in pairs.items()}


def test_two_sides_meet_in_their_corner() -> None:
    corners = shown(corners_mm(A4), 15.0, 4.0)
    sides = sides_of(corners)
    assert corner(sides[LEFT], sides[TOP]) == pytest.approx(corners[0])
    flat = sides_of(corners_mm(A4))
    with pytest.raises(np.linalg.LinAlgError):
        corner(flat[LEFT], flat[RIGHT])


def test_sides_are_told_by_where_they_lie() -> None:
    sides = sides_of(shown(corners_mm(A4), 20.0, 10.0))
    assert by_facing(tuple(sides.values())) == sides


@pytest.mark.parametrize(("tilt_deg", "turn_deg"), [(0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (30.0, 8.0)])
@pytest.mark.parametrize(("size_mm", "name"), [(A4, "A4"), (LETTER, "Letter"), (SQUARE, None)])
def test_a_sheet_seen_whole_has_its_shape_and_size(
    tilt_deg: float, turn_deg: float, size_mm: tuple[float, float], name: str | None
) -> None:
    """However it is tilted: a sheet of known shape is known by it (ISO 216, ANSI/ASME Y14.1), any other keeps its own."""
    frame = whole_sheet(sides_of(shown(corners_mm(size_mm), tilt_deg, turn_deg)), PICTURE)
    assert frame is not None
    assert frame.sheet_name == name
    width, height = frame.size_px
    assert width / height == pytest.approx(size_mm[0] / size_mm[1], rel=0.01)
    assert frame.mm_per_px == (None if name is None else pytest.approx(size_mm[0] / width))
    spots = np.array([(-80.0, -90.0), (0.0, 0.0), (70.0, 80.0)])
    in_frame = (spots / size_mm + 0.5) * frame.size_px
    assert frame.to_picture.apply(in_frame) == pytest.approx(shown(spots, tilt_deg, turn_deg), abs=0.6)


def test_sides_that_enclose_no_sheet_are_none() -> None:
    crossed = shown(corners_mm(A4))[[0, 2, 1, 3]]
    assert whole_sheet(sides_of(crossed), PICTURE) is None
    assert whole_sheet(sides_of(np.array([(0.0, 0.0), (9.0, 0.0), (9.0, 20.0), (0.0, 20.0)])), PICTURE) is None


@pytest.mark.parametrize("missing", [LEFT, TOP, RIGHT, BOTTOM])
def test_a_sheet_seen_in_part_lies_flat_again(missing: int) -> None:
    """Three sides tell the plane: on it a grid of squares is one again, to half a per cent."""
    sides = sides_of(shown(corners_mm(A4), 18.0, 3.0))
    del sides[missing]
    frame = part_of_sheet(sides, PICTURE, FOCAL_PX / math.hypot(*PICTURE))
    assert (frame.sheet_name, frame.mm_per_px) == (None, None)
    grid = np.array([(x, y) for y in (-60.0, 0.0, 60.0) for x in (-60.0, 0.0, 60.0)])
    flat = frame.to_picture.inverse().apply(shown(grid, 18.0, 3.0)).reshape(3, 3, 2)
    along, down = np.diff(flat, axis=1), np.diff(flat, axis=0)
    lengths = np.concatenate([np.linalg.norm(d, axis=2).ravel() for d in (along, down)])
    assert lengths == pytest.approx(np.full(12, lengths.mean()), rel=0.005)
    assert np.abs(along[..., 1]).max() < 0.005 * lengths.mean()
    assert np.abs(down[..., 0]).max() < 0.005 * lengths.mean()


def test_two_opposite_sides_are_helped_by_lines_that_were_drawn_parallel() -> None:
    """Left and right side do not tell how far the sheet leans sideways; lines across it do."""
    lean = 14.0
    turned = np.array([(0.0, 1.0), (-1.0, 0.0)])
    view = [shown(p @ turned, lean) for p in (corners_mm(A4), np.array([(-80.0, -50.0), (80.0, -50.0)]))]
    view.append(shown(np.array([(-80.0, 60.0), (80.0, 60.0)]) @ turned, lean))
    back = np.array([(0.0, -1.0), (1.0, 0.0)])
    upright = [(v - np.array(PICTURE) / 2.0) @ back + np.array(PICTURE) / 2.0 for v in view]
    sides = {k: s for k, s in sides_of(upright[0]).items() if k in {LEFT, RIGHT}}
    lines = tuple((tuple(map(float, p)), tuple(map(float, q))) for p, q in upright[1:])
    ratio = FOCAL_PX / math.hypot(*PICTURE)
    off = []
    for parallels in ((), lines):
        back_map = part_of_sheet(sides, PICTURE, ratio, parallels).to_picture.inverse()  # type: ignore[arg-type]
        slopes = [np.diff(back_map.apply(v), axis=0)[0] for v in upright[1:]]
        off.append(abs(slopes[0][1] / slopes[0][0] - slopes[1][1] / slopes[1][0]))
    assert off[1] < 0.1 * off[0]
