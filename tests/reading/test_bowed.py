"""Drawn lines that bow: the straight that the letters keep to, whether they go along, and what is said of it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.reading.test_bend import KINDS
from tests.specimens.camera import Specimen, take
from tests.specimens.recipe import Lines
from vectorize.brief import Brief
from vectorize.geometry import frozen
from vectorize.reading.bend import Bow, Track, shared_bow
from vectorize.reading.bowed import bows_told, straightened
from vectorize.reading.reading import read
from vectorize.reading.records import LetterInk, LineCourse, Reading
from vectorize.reading.standing import following, straight_kept

X_HEIGHT = 200.0
WIDTH = 1500
ALONG = np.arange(15.0, WIDTH, 30.0)


def sag(depth_px: float, height: float = 300.0) -> Track:
    """A line level at its ends that hangs down in its middle."""
    t = ALONG / WIDTH
    return Track(ALONG, height + 4.0 * depth_px * t * (1.0 - t))


def stems(feet: np.ndarray, heads: float = 100.0) -> tuple[LetterInk, ...]:
    """Seven upright stems from y = heads down to the feet given."""
    out = []
    for i, foot in enumerate(feet):
        y = np.arange(420)[:, None] + 0.5
        rows = np.clip(np.minimum(y - heads, foot - y) + 0.5, 0.0, 1.0)
        ink = np.pad(np.repeat(rows, 40, axis=1), ((0, 0), (5, 5))).astype(np.float32)
        out.append(LetterInk(i + 1, None, 0, ink, ink, 100 + 200 * i, 0))
    return tuple(out)


def feet_x(n: int = 7) -> np.ndarray:
    return 125.0 + 200.0 * np.arange(n)


def course(track: Track) -> LineCourse:
    y = np.interp(np.arange(WIDTH) + 0.5, track.x, track.y)
    slope, height = np.polyfit(track.x, track.y, 1)
    return LineCourse(frozen(y), 1.5, 0.4, (0.0, float(height)), (WIDTH, float(height + slope * WIDTH)))


@given(st.sampled_from([-1.0, 1.0]), st.floats(8.0, 16.0))
@settings(max_examples=20, deadline=None)
def test_letters_that_follow_are_told_from_letters_that_keep_straight(way: float, depth: float) -> None:
    track = sag(way * depth)
    bow = shared_bow((track,), X_HEIGHT).bow
    follow = following(((track, bow),), stems(np.interp(feet_x(), track.x, track.y)), X_HEIGHT)
    keep = following(((track, bow),), stems(np.full(7, 300.0)), X_HEIGHT)
    assert follow.log_odds > 0 > keep.log_odds
    assert follow.share == pytest.approx(1.0, abs=0.25)
    assert keep.share == pytest.approx(0.0, abs=0.25)


def test_without_letters_nothing_is_known_of_them() -> None:
    track = sag(12.0)
    assert following(((track, shared_bow((track,), X_HEIGHT).bow),), (), X_HEIGHT).log_odds == 0.0


@given(st.floats(-14.0, 14.0), st.floats(-0.01, 0.01))
@settings(max_examples=20, deadline=None)
def test_the_straight_is_the_one_the_letters_stand_on(depth: float, slope: float) -> None:
    """Within half a per cent of the x-height, whatever the line between its ends does."""
    bent = sag(depth)
    track = replace(bent, y=bent.y + slope * bent.x)
    bow = shared_bow((track,), X_HEIGHT).bow
    m, h = straight_kept(track, bow, stems(300.0 + slope * feet_x()), X_HEIGHT)
    assert m == pytest.approx(slope, abs=0.0008)
    assert m * 750.0 + h == pytest.approx(300.0 + slope * 750.0, abs=0.005 * X_HEIGHT)


def test_without_letters_it_is_the_straight_between_the_ends() -> None:
    track = sag(12.0)
    m, h = straight_kept(track, shared_bow((track,), X_HEIGHT).bow, (), X_HEIGHT)
    assert m == pytest.approx(0.0, abs=1e-4)
    assert h == pytest.approx(300.0, abs=0.6)


def test_a_straight_line_is_left_as_it_was_found() -> None:
    straight = course(sag(0.5))
    assert straightened((straight,), stems(np.full(7, 305.0)), X_HEIGHT) == (straight,)
    printed = replace(course(sag(12.0)), printed=True)
    assert straightened((printed,), stems(np.full(7, 300.0)), X_HEIGHT) == (printed,)


def test_what_is_said_names_the_lines_that_bow() -> None:
    lines = {"baseline": course(sag(12.0)), "mean line": course(sag(-8.0, 100.0)), "cap line": course(sag(1.0, 20.0))}
    (told,) = bows_told(lines, stems(np.full(7, 300.0)), X_HEIGHT)
    assert "the baseline sags by 6% and the mean line rises by 4% of the x-height" in told.text
    assert "cap line" not in told.text
    assert "keep straight beside them" in told.text
    assert told.measured == pytest.approx(0.06, abs=0.003)
    assert not bows_told({"baseline": course(sag(3.0))}, (), X_HEIGHT)


def test_the_bow_is_a_field_of_its_own_place() -> None:
    """The straight is taken off where the line runs, not where the strip begins."""
    bow = Bow(np.array([5.0, 0.0, 0.0]), np.zeros(3), 300.0, 750.0, 750.0)
    assert bow.depth_px((0.0, 1500.0)) == pytest.approx(5.0, rel=0.05)
    assert bow.depth_px((700.0, 800.0)) < 0.1


@cache
def taken(kind: str) -> Specimen:
    kinds = KINDS | {
        "bowed two": replace(
            KINDS["plain"],
            lines=Lines(names=("baseline", "mean"), overrun_mm=8.0, bows_mm={"baseline": 0.3, "mean": 0.6}),
        )
    }
    return take(kinds[kind])


@cache
def read_kind(kind: str) -> Reading:
    return read(taken(kind).data, f"{kind}.jpg", Brief(word="nalip"))


@pytest.mark.parametrize("kind", ["bowed alike", "bowed each", "bowed one", "bowed two"])
def test_the_lines_lie_where_the_letters_were_set(kind: str) -> None:
    """Baseline and mean line within .007 x-heights of the straight ones that the letters were set on, a steady hand's
    tremor, level within .06 deg, a tenth of what one look tells (Vision Research 30, 1990, 1429); the nearest straight
    is .012 to .025 off."""
    specimen, reading = taken(kind), read_kind(kind)
    for name, guide in (("baseline", reading.guides.baseline), ("mean", reading.guides.mean_line)):
        assert guide is not None
        ends = specimen.sheet_points(reading.strip.to_picture.apply(np.array([guide.start, guide.end])))
        off_mm = ends[:, 1] - np.array(specimen.page.lines[name])[:, 1]
        assert abs(off_mm.mean()) < 0.007 * 16.0
        assert abs(np.degrees((off_mm[1] - off_mm[0]) / (ends[1, 0] - ends[0, 0]))) < 0.06
