"""One letter laid over another: the move that was made is found, and a departure of known size in its place."""

from __future__ import annotations

import pytest
from shapely.affinity import translate
from shapely.geometry import box as rectangle

from tests.anatomy.shapes import font_letter, outline_of
from vectorize.anatomy.overlay import lay_over


@pytest.mark.parametrize("letter", "noa")
def test_a_letter_moved_along_lies_exactly_over_itself(letter):
    own = font_letter("lato", letter)
    laid = lay_over(own, own.moved(310.0))
    assert laid.move_u == pytest.approx((-310.0, 0.0), abs=1.0)
    assert laid.rms_u < 1.0
    assert laid.greatest_u < 2.0


def test_a_letter_that_stands_higher_is_moved_down_only_where_that_is_asked_for():
    stem = rectangle(0, 0, 150, 1000)
    low, high = outline_of(stem), outline_of(translate(stem, 0, 60))
    assert lay_over(low, high).move_u == pytest.approx((0.0, -60.0), abs=1.0)
    along = lay_over(low, high, upright_too=False)
    assert along.move_u == pytest.approx((0.0, 0.0), abs=1.0)
    assert along.greatest_u == pytest.approx(60.0, abs=8.0)


def test_the_greatest_departure_is_told_with_its_place_and_its_side():
    stem = rectangle(0, 0, 300, 1000)
    swollen = stem.union(rectangle(300, 350, 360, 650))
    more, less = lay_over(outline_of(swollen), outline_of(stem)), lay_over(outline_of(stem), outline_of(swollen))
    for laid in (more, less):
        assert laid.greatest_u == pytest.approx(60.0, abs=15.0)
        assert 290.0 <= laid.at_u[0] <= 365.0
        assert 350.0 <= laid.at_u[1] <= 650.0
    assert more.outside
    assert not less.outside
