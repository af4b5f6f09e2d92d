"""Edges of strokes that were meant parallel come out parallel; real tapers stay."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.outlines.designers import by_potrace, likeness
from tests.outlines.glyphs import case, inked, letter_ink
from vectorize.curves import Contour, Line
from vectorize.outlines.draw import draw_outline
from vectorize.outlines.parallel import Edge, apart_deg, facing, groups
from vectorize.trade.outlines import PARALLEL_MOVE, PARALLEL_STROKES


def stem(
    taper_deg: float,
    *,
    lean_deg: float = 0.0,
    length: float = 1000.0,
    breadth: float = 180.0,
    at: tuple[float, float] = (0.0, 0.0),
) -> np.ndarray:
    """A stem counter-clockwise from its lower left, broader at the foot; letter units."""
    left, right = (math.tan(math.radians(lean_deg + s * taper_deg / 2)) * length for s in (1, -1))
    return np.array([(0, 0), (breadth, 0), (breadth + right, length), (left, length)], float) + np.array(at)


def edges(ring: np.ndarray, contour: int = 0) -> list[Edge]:
    """The sides of a polygon in letter units as edges in x-heights."""
    p = ring / 1000.0
    return [Edge(contour, j, p[j], p[(j + 1) % len(p)]) for j in range(len(p))]


def sides_deg(contour: Contour, least: float = 500.0) -> list[float]:
    """Angles of the long straight pieces, 0 to 180."""
    lines = [s for s in contour.segments if isinstance(s, Line) and math.dist(s.start, s.end) > least]
    return [math.degrees(math.atan2(s.end[1] - s.start[1], s.end[0] - s.start[0])) % 180.0 for s in lines]


@settings(max_examples=12)
@given(
    taper_deg=st.floats(-0.9 * PARALLEL_STROKES, 0.9 * PARALLEL_STROKES),
    lean_deg=st.floats(-20, 20),
    length=st.floats(700, 1300),
    breadth=st.floats(80, 260),
)
def test_the_edges_of_a_stem_share_one_angle(taper_deg: float, lean_deg: float, length: float, breadth: float):
    ring = stem(taper_deg, lean_deg=lean_deg, length=length, breadth=breadth)
    cover, to_units = inked([ring], 200.0)
    (contour,) = draw_outline(letter_ink(cover), to_units, 0.85).contours
    one, other = sides_deg(contour)
    assert one == pytest.approx(other, abs=0.01)
    # Nothing moves further than the trade's figure, and the 2 units that an edge is known by.
    for node in ring:
        assert min(np.hypot(*(np.array(contour.nodes) - node).T)) < 1000 * PARALLEL_MOVE + 2.0


@pytest.mark.parametrize("taper_deg", [1.6, 3.0, -2.0])
def test_a_taper_that_was_meant_stays(taper_deg: float):
    cover, to_units = inked([stem(taper_deg)], 200.0)
    (contour,) = draw_outline(letter_ink(cover), to_units, 0.85).contours
    one, other = sides_deg(contour)
    assert abs(one - other) == pytest.approx(abs(taper_deg), abs=0.15)


def test_edges_face_each_other_across_ink_only():
    left, right = edges(stem(0.0))[3], edges(stem(0.0))[1]
    assert facing(left, right)
    assert facing(right, left)
    # Two stems with white between them: the edges that bound the white face away from their ink.
    second = edges(stem(0.0, at=(600.0, 0.0)))
    assert not facing(right, second[3])
    assert not facing(edges(stem(0.0, at=(0.0, 1400.0)))[1], left)


@given(st.lists(st.tuples(st.floats(-1.5, 1.5), st.floats(-1.5, 1.5)), min_size=1, max_size=5))
def test_no_edge_is_moved_beyond_the_grain_and_none_shares_two_angles(stems: list[tuple[float, float]]):
    every = [
        e
        for k, (taper, lean) in enumerate(stems)
        for e in edges(stem(taper, lean_deg=lean, length=700.0 + 150.0 * k, at=(500.0 * k, 0.0)), k)
    ]
    found = groups(every)
    names = [(e.contour, e.piece) for g in found for e in g]
    assert len(names) == len(set(names))
    for g in found:
        assert len(g) > 1
        for e in g:
            assert math.radians(apart_deg([e], g)) * e.length / 2 <= PARALLEL_MOVE + 1e-9


def test_the_stems_of_one_letter_agree():
    rings = [stem(0.3, lean_deg=0.4), stem(-0.2, lean_deg=0.1, at=(500.0, 0.0))]
    (group,) = (g for g in groups([e for k, r in enumerate(rings) for e in edges(r, k)]) if g[0].length > 0.9)
    assert len(group) == 4


def test_edges_that_designers_drew_parallel_come_out_parallel_and_no_further_off():
    # Open fonts; the potrace library on the same ink as the measure of what can be reached.
    seen = []
    for family in ("source-sans-3", "lora"):
        for letter in "nhu":
            c = case(family, letter, 220.0)
            mine = draw_outline(c.ink, c.to_units, c.blur_px).contours
            seen.append(
                [likeness(x, c.truth.contours, c.rings) for x in (mine, by_potrace(c.ink.coverage, c.to_units))]
            )
    parallel, every = np.sum([mine.pairs for mine, _ in seen], axis=0)
    assert parallel >= 0.95 * every > 0
    assert np.median([mine.mean_u for mine, _ in seen]) < 1.2 * np.median([p.mean_u for _, p in seen])
