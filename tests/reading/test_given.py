"""Guidelines given by hand: what they change, what follows from them, and what stays as it was read."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from vectorize.corrections import NO_CORRECTIONS, Corrections, GivenGuide
from vectorize.errors import PictureError
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Homography, frozen
from vectorize.reading.doubts import CAPITALS_ALONE, NO_BASELINE, NO_MEAN_LINE
from vectorize.reading.given import set_right
from vectorize.reading.guides import letter_frame
from vectorize.reading.records import Guide, Guides, GuideSource, LetterInk, Letters

# Strip px to picture px: the picture is the strip shrunk to a half and moved.
TO_PICTURE = Homography.from_affine(Affine.scale(0.5).then(Affine.shift(30.0, 40.0)))
X_HEIGHT = 200.0
DRAWN, INFERRED = GuideSource.DRAWN, GuideSource.INFERRED


def letters() -> Letters:
    """Two stems, whose middle lies at x = 300."""
    ink = frozen(np.ones((200, 40), np.float32))
    return Letters(tuple(LetterInk(i + 1, None, 0, ink, ink, left, 300) for i, left in enumerate((180, 380))))


def level(source: GuideSource, y: float) -> Guide:
    return Guide(source, (100.0, y), (500.0, y))


def read(mean: Guide | None, cap: Guide | None, source: str) -> Guides:
    baseline = level(DRAWN, 500.0)
    return Guides(baseline, mean, cap, None, None, letter_frame(baseline, X_HEIGHT, letters()), X_HEIGHT, source)


def drawn_line(name: str, y: float, slope: float = 0.0) -> GivenGuide:
    """A line through (300, y) of the strip, its ends in picture px."""
    ends = TO_PICTURE.apply(np.array([(x, y + slope * (x - 300.0)) for x in (100.0, 500.0)]))
    start, end = ((float(x), float(y)) for x, y in ends)
    return GivenGuide(name, start, end)


def given(guides: Guides, *lines: GivenGuide, none: tuple[str, ...] = ()) -> Guides:
    return set_right(guides, letters(), TO_PICTURE, Corrections(guides=lines, no_guides=none))


def test_nothing_given_nothing_changed() -> None:
    guides = read(level(DRAWN, 300.0), None, "mean-line")
    assert set_right(guides, letters(), TO_PICTURE, NO_CORRECTIONS) is guides


def test_lines_given_in_the_picture_stand_in_the_strip_and_set_the_letter_units() -> None:
    found = given(
        read(level(DRAWN, 300.0), None, "mean-line"), drawn_line("baseline", 510.0), drawn_line("mean_line", 260.0)
    )
    assert found.baseline.source is GuideSource.GIVEN
    assert found.baseline.start == pytest.approx((100.0, 510.0))
    assert found.x_height_px == pytest.approx(250.0)
    assert found.x_height_source == "mean-line"
    assert found.to_units.point((180.0, 260.0)) == pytest.approx((0.0, 1000.0))


def test_the_x_height_is_square_to_a_baseline_that_rises() -> None:
    slope = math.tan(math.radians(6.0))
    lines = (drawn_line("baseline", 500.0, slope), drawn_line("mean_line", 300.0, slope))
    found = given(read(level(DRAWN, 300.0), None, "mean-line"), *lines)
    assert found.x_height_px == pytest.approx(200.0 * math.cos(math.radians(6.0)))


def test_a_mean_line_that_was_inferred_follows_the_baseline() -> None:
    """It was never drawn: the letters still tell the x-height, and it stands at 1000 units all along."""
    guides = read(level(INFERRED, 300.0), None, "letters")
    found = given(guides, drawn_line("baseline", 520.0, math.tan(math.radians(6.0))))
    assert found.mean_line is not None
    assert found.mean_line.source is INFERRED
    assert (found.x_height_px, found.x_height_source) == (X_HEIGHT, "letters")
    assert [found.to_units.point(p)[1] for p in (found.mean_line.start, found.mean_line.end)] == pytest.approx(
        [1000.0] * 2
    )


def test_a_mean_line_that_was_drawn_stays_where_it_is() -> None:
    guides = read(level(DRAWN, 300.0), None, "mean-line")
    found = given(guides, drawn_line("baseline", 520.0))
    assert found.mean_line == guides.mean_line
    assert found.x_height_px == pytest.approx(220.0)


def test_capitals_alone_have_seven_tenths_of_the_cap_height() -> None:
    """ISO 3098-0: small letters are c = 0.7 h."""
    guides = read(None, level(DRAWN, 220.0), "cap-height")
    found = given(guides, drawn_line("cap_line", 200.0))
    assert found.x_height_px == pytest.approx(0.7 * 300.0)
    assert found.x_height_source == "cap-height"


def test_a_line_that_is_none_is_taken_away() -> None:
    guides = read(level(DRAWN, 300.0), level(DRAWN, 220.0), "mean-line")
    found = given(guides, none=("cap_line",))
    assert found.cap_line is None
    assert found.to_units == guides.to_units


def test_without_the_mean_line_that_was_read_the_letters_tell_the_x_height() -> None:
    """The stems reach from 500 to 300; the line that was taken for their mean line lies at 260."""
    guides = read(level(DRAWN, 260.0), None, "mean-line")
    found = given(guides, none=("mean_line",))
    assert found.mean_line is None
    assert found.x_height_source == "letters"
    assert found.x_height_px == pytest.approx(200.0, abs=1.0)
    assert found.to_units.point((180.0, 300.0)) == pytest.approx((0.0, 1000.0), abs=5.0)


@pytest.mark.parametrize(
    ("remark", "line", "stays"),
    [
        (NO_BASELINE, drawn_line("baseline", 500.0), False),
        (NO_BASELINE, drawn_line("cap_line", 200.0), True),
        (NO_MEAN_LINE, drawn_line("mean_line", 300.0), False),
        (NO_MEAN_LINE, drawn_line("baseline", 500.0), True),
        (CAPITALS_ALONE, drawn_line("mean_line", 300.0), False),
    ],
)
def test_what_a_given_line_answers_is_no_longer_said(remark: str, line: GivenGuide, *, stays: bool) -> None:
    doubt = Finding("reading", (), None, None, "", Severity.NOTE, remark)
    guides = replace(read(level(INFERRED, 300.0), None, "letters"), remarks=(doubt,))
    assert given(guides, line).remarks == ((doubt,) if stays else ())


def test_a_mean_line_under_the_baseline_is_refused() -> None:
    with pytest.raises(PictureError, match="does not stand above the baseline"):
        given(read(level(DRAWN, 300.0), None, "mean-line"), drawn_line("mean_line", 505.0))
