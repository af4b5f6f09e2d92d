"""What is traced is what was drawn, and it is drawn the way type is drawn."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from fontTools.pens.areaPen import AreaPen
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays
from scipy.ndimage import gaussian_filter
from shapely.geometry import MultiLineString, Polygon

from tests.outlines.glyphs import case, disc, inked, letter_ink
from vectorize.curves import Contour, Cubic, Line, flatten, points_of, signed_area
from vectorize.geometry import Affine
from vectorize.outlines import draw, parallel
from vectorize.outlines.check import faults
from vectorize.outlines.draw import draw_outline
from vectorize.outlines.fit import Fitted, fit
from vectorize.outlines.ring import Ring

LETTERS = [(f, c) for f in ("source-sans-3", "lora", "bodoni-moda", "jost") for c in "aegnosR"]


def pen_area(contours: tuple[Contour, ...]) -> float:
    """Area by fontTools' AreaPen."""
    pen = AreaPen()
    for c in contours:
        pen.moveTo(c.segments[0].start)
        for s in c.segments:
            pen.lineTo(s.end) if isinstance(s, Line) else pen.curveTo(*points_of(s)[1:])
        pen.closePath()
    return float(pen.value)


def ring_area(ring: np.ndarray) -> float:
    """Signed area of a ring of points, positive counter-clockwise."""
    x, y = ring.T
    return 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def distance(contours: tuple[Contour, ...], rings: list[np.ndarray]) -> float:
    """Mean distance of the points of contours from rings, by shapely, letter units."""
    edge = MultiLineString([np.vstack((r, r[:1])) for r in rings])
    return float(np.mean(shapely.distance(shapely.points(np.concatenate([flatten(c, 0.05) for c in contours])), edge)))


@pytest.mark.parametrize(("family", "letter"), LETTERS)
def test_a_traced_glyph_has_the_glyphs_area_and_counters(family: str, letter: str):
    # Areas by fontTools' AreaPen; the bounds (.5 and 1 per cent at an x-height of 400 px) are our own.
    given_ = case(family, letter, 400.0)
    drawn = draw_outline(given_.ink, given_.to_units, given_.blur_px)
    areas = sorted(ring_area(r) for r in given_.rings)
    assert pen_area(drawn.contours) == pytest.approx(sum(areas), rel=0.005)
    counters = [a for a in areas if a < 0.0]
    assert [signed_area(c) for c in drawn.counters] == pytest.approx(counters, rel=0.01)


@pytest.mark.parametrize(("family", "letter"), LETTERS)
def test_a_traced_glyph_is_near_the_drawing_with_a_designers_number_of_nodes(family: str, letter: str):
    given_ = case(family, letter)
    drawn = draw_outline(given_.ink, given_.to_units, given_.blur_px)
    assert distance(drawn.contours, given_.rings) < 3.0
    assert faults(drawn.contours) == ()
    # Quadratic outlines of the fonts carry more nodes than cubic ones, so only the upper side is bounded.
    assert drawn.node_count <= 1.3 * given_.truth.node_count


def test_a_disc_is_a_circle_in_few_cubics():
    ink, to_units = disc(200.0, 400.0)
    (contour,) = draw_outline(ink, to_units, 0.3).contours
    assert len(contour.segments) <= 8
    radii = np.hypot(*flatten(contour, 0.01).T) * 0.4
    assert np.abs(radii - 200.0).max() < 0.5


def test_the_ink_is_black_where_the_coverage_is_high():
    # Potrace's bitmaps invert what they are given; a dark ring on white has to come out as ring and counter.
    y, x = np.mgrid[-100:100, -100:100] + 0.5
    r = np.hypot(x, y)
    cover = np.clip(80.5 - r, 0, 1) * np.clip(r - 39.5, 0, 1)
    outline = draw_outline(letter_ink(cover), Affine(5, 0, 0, -5, -500, 500), 0.5)
    outer, counter = outline.contours
    assert signed_area(outer) == pytest.approx(np.pi * 400**2, rel=0.005)
    assert signed_area(counter) == pytest.approx(-np.pi * 200**2, rel=0.01)


def test_the_patchs_place_in_the_strip_counts():
    ink, to_units = disc(60.0, 200.0)
    moved = letter_ink(ink.coverage, left_px=30, top_px=-12)
    a, b = draw_outline(ink, to_units, 0.5).box_u, draw_outline(moved, to_units, 0.5).box_u
    assert b.x0 - a.x0 == pytest.approx(30 * 5.0, abs=0.01)
    assert b.y0 - a.y0 == pytest.approx(12 * 5.0, abs=0.01)


def test_ink_that_touches_the_frame_is_closed_there():
    outline = draw_outline(letter_ink(np.ones((100, 60))), Affine(5, 0, 0, -5, 0, 500), 0.5)
    (contour,) = outline.contours
    assert len(contour.segments) == 4
    assert signed_area(contour) == pytest.approx(300 * 500, rel=0.02)


def test_stems_are_single_lines_and_corners_are_sharp():
    slanted = np.array([(0, 0), (120, 0), (220, 1000), (100, 1000)], float)
    cover, to_units = inked([slanted], 200.0)
    (contour,) = draw_outline(letter_ink(cover), to_units, 0.85).contours
    assert all(isinstance(s, Line) for s in contour.segments)
    assert len(contour.segments) == 4
    for node in slanted:
        assert min(np.hypot(*(np.array(contour.nodes) - node).T)) < 4.0


def test_a_bevel_keeps_both_of_its_corners():
    # common practice, no source: a cut-off corner of a serif or an ink trap is part of the letter.
    blunt = np.array([(0, 0), (500, 0), (500, 420), (420, 500), (0, 500)], float)
    cover, to_units = inked([blunt], 200.0)
    (contour,) = draw_outline(letter_ink(cover), to_units, 0.85).contours
    assert len(contour.segments) == 5
    for node in blunt:
        assert min(np.hypot(*(np.array(contour.nodes) - node).T)) < 8.0


@pytest.mark.parametrize(("thick", "blur_px"), [(30.0, 2.0), (45.0, 2.0), (45.0, 3.0)])
def test_a_hairline_serif_ends_where_it_was_drawn(thick: float, blur_px: float):
    # Serifs of the specimens' Bodoni Moda are .03 of the x-height thick; both corners of their end lie within the blur.
    foot = [(0, 0), (400, 0), (400, thick), (300, thick), (300, 1000), (100, 1000), (100, thick), (0, thick)]
    cover, to_units = inked([np.array(foot, float)], 200.0, blur_px)
    (contour,) = draw_outline(letter_ink(cover), to_units, blur_px).contours
    x = flatten(contour, 0.5)[:, 0]
    assert (x.min(), x.max()) == pytest.approx((0.0, 400.0), abs=8.0)


def test_tremor_goes_and_the_drawn_edge_keeps_it():
    y = np.arange(0, 1001, 5.0)
    shake = 3.0 * np.sin(2 * np.pi * y / 40.0)
    ring = np.vstack((np.column_stack((shake, y))[::-1], np.column_stack((200 + shake, y))))
    cover, to_units = inked([ring], 200.0)
    outline = draw_outline(letter_ink(cover), to_units, 0.85)
    assert sum(isinstance(s, Line) for c in outline.contours for s in c.segments) == 4
    assert 0.5 < outline.fit_error_u < 8.0
    assert len(outline.drawn_edge) == 1


def test_the_same_ink_gives_the_same_outline():
    given_ = case("lora", "g")
    draw = lambda: draw_outline(given_.ink, given_.to_units, given_.blur_px).contours  # noqa: E731
    assert draw() == draw()


def test_a_letter_drawn_twice_gives_the_same_outline_twice():
    given_ = case("lora", "e")
    twin = letter_ink(given_.ink.coverage, "e", left_px=400)
    a = draw_outline(given_.ink, given_.to_units, given_.blur_px).moved(400 * given_.to_units.xx)
    b = draw_outline(twin, given_.to_units, given_.blur_px)
    assert np.allclose(np.array(a.contours[0].nodes), np.array(b.contours[0].nodes), atol=0.01)


@pytest.mark.parametrize(
    "cover",
    [
        np.zeros((0, 0)),
        np.zeros((40, 40)),
        np.ones((1, 300)),
        np.ones((3, 300)),
        np.eye(90),
        np.full((50, 50), np.nan),
        np.full((60, 60), 0.5),
        np.add.outer(np.arange(80), np.arange(80)) % 2.0,
        np.add.outer(np.arange(120) // 20, np.arange(120) // 20) % 2.0,
    ],
    ids=["nothing", "white", "row", "hairline", "diagonal", "unknown", "grey", "screen", "chequers"],
)
def test_odd_ink_gives_whole_contours_or_none(cover: np.ndarray):
    outline = draw_outline(letter_ink(cover), Affine(5, 0, 0, -5, 0, 500), 0.8)
    for c in outline.contours:
        assert np.isfinite(flatten(c, 0.5)).all()
        assert signed_area(c) != 0.0


def test_a_fit_that_comes_to_no_finite_numbers_is_a_plain_polygon(monkeypatch: pytest.MonkeyPatch):
    def lost(*args, **options) -> Fitted:
        fitted = fit(*args, **options)
        return replace(fitted, control=np.full_like(fitted.control, np.nan))

    monkeypatch.setattr(draw, "fit", lost)
    ink, to_units = disc(60.0, 200.0)
    outline = draw_outline(ink, to_units, 0.5)
    assert outline.plain
    (contour,) = outline.contours
    assert all(isinstance(s, Line) for s in contour.segments)
    assert signed_area(contour) == pytest.approx(np.pi * 300**2, rel=0.02)


def test_edges_that_cannot_be_made_parallel_stay_as_they_were_fitted(monkeypatch: pytest.MonkeyPatch):
    def unfitted(*_, **__) -> Fitted:
        raise np.linalg.LinAlgError

    monkeypatch.setattr(parallel, "fit", unfitted)
    cover, to_units = inked([np.array([(0, 0), (180, 0), (178, 1000), (0, 1000)], float)], 200.0)
    outline = draw_outline(letter_ink(cover), to_units, 0.85)
    assert not outline.plain
    assert [len(c.segments) for c in outline.contours] == [4]


def test_a_plain_polygon_of_a_ragged_sliver_does_not_cross_itself(monkeypatch: pytest.MonkeyPatch):
    # One unit high where it is narrowest, and without its lower edge's dip there it would run into itself.
    lower = [(0, 1), (5, -1), (10, 0), (15, 6)]
    upper = [(15, 9), (10, 11), (5, 0), (0, 3)]
    ring = Ring(np.array(lower + upper, float) / 1000.0, 0.006)

    def unfitted(*_, **__) -> Fitted:
        raise np.linalg.LinAlgError

    monkeypatch.setattr(draw, "fit", unfitted)
    monkeypatch.setattr(draw, "edges_of", lambda *_: [ring])
    outline = draw_outline(letter_ink(np.ones((4, 4))), Affine(5, 0, 0, -5, 0, 0), 0.5)
    assert not [f for f in faults(outline.contours) if "crosses itself" in f]


def test_letters_whose_edges_cross_are_plain_and_no_curve_errs(monkeypatch: pytest.MonkeyPatch):
    # Taken for crossing only when all contours are looked at together.
    ring_and_hole = np.clip(80.5 - np.hypot(*(np.mgrid[-100:100, -100:100] + 0.5)), 0, 1)
    ring_and_hole[80:120, 80:120] = 0.0
    monkeypatch.setattr(draw, "crossing", lambda rings: (0.0, 0.0) if len(rings) > 1 else None)
    outline = draw_outline(letter_ink(ring_and_hole), Affine(5, 0, 0, -5, -500, 500), 0.5)
    assert outline.plain
    assert outline.fit_error_u == 0.0
    assert all(isinstance(s, Line) for c in outline.contours for s in c.segments)


@settings(max_examples=12)
@given(
    seeds=arrays.arrays(np.float64, (5, 5), elements=st.floats(-1, 1)),
    level=st.floats(0.0, 0.4),
)
def test_blots_of_any_shape_never_cross_themselves(seeds: np.ndarray, level: float):
    field = gaussian_filter(np.kron(seeds, np.ones((32, 32))), 9.0)
    outline = draw_outline(letter_ink((field > level) * 1.0), Affine(5, 0, 0, -5, 0, 800), 0.8)
    assert not [f for f in faults(outline.contours) if "cross" in f.split(": ")[-1] and "itself" in f]
    assert all(isinstance(s, Line | Cubic) for c in outline.contours for s in c.segments)


@settings(max_examples=15)
@given(
    width=st.floats(250, 900),
    height=st.floats(250, 900),
    squareness=st.floats(2.0, 3.2),
    turned_deg=st.floats(0, 180),
)
def test_bowls_of_any_kind_carry_nodes_at_their_extremes(
    width: float, height: float, squareness: float, turned_deg: float
):
    t = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    power = lambda v: np.sign(v) * np.abs(v) ** (2 / squareness)  # noqa: E731
    z = (width * power(np.cos(t)) + 1j * height * power(np.sin(t))) / 2 * np.exp(1j * np.radians(turned_deg))
    cover, to_units = inked([np.column_stack((z.real, z.imag))], 200.0)
    outline = draw_outline(letter_ink(cover), to_units, 0.85)
    assert faults(outline.contours) == ()
    (contour,) = outline.contours
    assert abs(signed_area(contour)) == pytest.approx(Polygon(np.column_stack((z.real, z.imag))).area, rel=0.01)


@pytest.mark.parametrize("sigma", [1.0, 2.0, 4.0, 8.0])
@pytest.mark.parametrize("soft", [False, True])
def test_noise_is_drawn_without_complaint(sigma: float, soft: bool):  # noqa: FBT001
    field = gaussian_filter(np.random.default_rng(1).normal(size=(120, 120)), sigma)
    cover = np.clip(0.5 + 0.5 * field / field.std(), 0, 1) if soft else (field > 0) * 1.0
    outline = draw_outline(letter_ink(cover), Affine(5, 0, 0, -5, 0, 600), 0.8)
    assert all(np.isfinite(flatten(c, 0.5)).all() and signed_area(c) != 0.0 for c in outline.contours)
