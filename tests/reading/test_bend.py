"""A bend that lines share: found, undone, and told from lines that were drawn bowed."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.specimens.camera import Specimen, take
from tests.specimens.recipe import Camera, Sheet
from tests.specimens.small import PLAIN
from vectorize.brief import Brief
from vectorize.findings import Severity
from vectorize.geometry import Affine, Chain, Homography, chained
from vectorize.reading.bend import Bow, Track, shared_bow
from vectorize.reading.ink import find_ink
from vectorize.reading.paper import find_paper
from vectorize.reading.photo import read_photo
from vectorize.reading.reading import read
from vectorize.reading.records import Reading, Strip
from vectorize.reading.resample import local_scale, resampled
from vectorize.reading.ruling import find_ruling
from vectorize.reading.strip import cut_strip
from vectorize.reading.unbend import bend_of

X_HEIGHT = 200.0
ALONG = np.arange(20.0, 1500.0, 30.0)
small = st.floats(-1.0, 1.0)


def bow_of(c4: float, c3: float, c2: float, s2: float = 0.0) -> Bow:
    """Some px of shift and some hundredths of stretch over a strip 1520 px long."""
    shift = np.array([6.0 * c4, 6.0 * c3, 20.0 * c2, 0.0, 0.0])
    return Bow(shift, np.array([0.05 * s2, 0.0, 0.0]), 300.0, 760.0, 740.0)


def track(height: float, slope: float, bow: Bow, grain: float = 0.0, seed: int = 0) -> Track:
    straight = np.column_stack((ALONG, height + slope * (ALONG - 760.0)))
    noise = np.random.default_rng(seed).normal(0.0, 1.0, len(ALONG)) * grain
    return Track(ALONG, bow.apply(straight)[:, 1] + noise)


@given(small, small, small, small, st.floats(-300, 2000), st.floats(-200, 900))
def test_a_bow_and_its_inverse_undo_each_other(c4, c3, c2, s2, x, y):
    bow = bow_of(c4, c3, c2, s2)
    there = bow.apply(np.array([(x, y)]))
    assert there[0, 0] == x
    np.testing.assert_allclose(bow.inverse().apply(there), [(x, y)], atol=1e-6)
    np.testing.assert_allclose(bow.apply(bow.inverse().apply(np.array([(x, y)]))), [(x, y)], atol=1e-6)


@given(small, small, small, small, st.floats(0, 1500), st.floats(0, 600))
def test_a_chain_of_maps_is_undone_from_its_end(c4, c3, c2, s2, x, y):
    flat = Homography(np.array([(0.5, 0.02, 40.0), (-0.01, 0.52, 60.0), (1e-5, 2e-5, 1.0)]))
    turn = Homography.from_affine(Affine(0.9, -0.1, 0.1, 0.9, 3.0, 4.0))
    both = chained(bow_of(c4, c3, c2, s2), turn, flat)
    assert isinstance(both, Chain)
    assert len(both.links) == 2
    np.testing.assert_allclose(both.inverse().apply(both.apply(np.array([(x, y)]))), [(x, y)], atol=1e-5)
    assert isinstance(chained(turn, flat), Homography)


@given(small, small, st.floats(0.3, 1.0), small)
@settings(max_examples=40)
def test_the_shared_bow_makes_the_lines_straight(c4, c3, c2, s2):
    """Whatever the lines' own heights and slopes: what is left is the grain."""
    truth = bow_of(c4, c3, c2, s2)
    tracks = tuple(track(h, m, truth, 0.1, i) for i, (h, m) in enumerate(((100, 0.002), (300, -0.01), (520, 0.0))))
    shared = shared_bow(tracks, X_HEIGHT)
    for t in tracks:
        x, y = shared.bow.inverse().apply(np.column_stack((t.x, t.y))).T
        assert np.abs(y - np.polyval(np.polyfit(x, y, 1), x)).max() < 0.6
    assert (shared.left_px < 0.2).all()


def test_beyond_the_lines_the_bow_runs_on_straight():
    shared = shared_bow(tuple(track(h, 0.0, bow_of(1.0, 0.0, 1.0)) for h in (100.0, 300.0)), X_HEIGHT)
    x = np.array([1495.0, 1600.0, 1700.0, 1800.0])
    y = shared.bow.apply(np.column_stack((x, np.full(4, 300.0))))[:, 1]
    assert abs(np.diff(y[1:], 2)[0]) < 1e-9


def test_a_bent_map_resamples_as_scipy_does():
    """Against scipy.ndimage.map_coordinates, cubic, over a smooth picture."""
    from scipy import ndimage

    y, x = np.mgrid[0:300, 0:500]
    grey = 128.0 + 60.0 * np.sin(x / 17.0) + 50.0 * np.cos(y / 11.0)
    rgb = np.repeat(np.clip(grey, 0, 255).astype(np.uint8)[..., None], 3, axis=2)
    bow = Bow(np.array([14.0, 0.0, -6.0]), np.array([0.02, 0.0, 0.0]), 100.0, 200.0, 200.0)
    to_picture = chained(bow, Homography.from_affine(Affine.shift(40.0, 30.0)))
    seen = resampled(rgb, to_picture, (400, 220))[..., 0].astype(float)
    rows, columns = np.mgrid[0:220, 0:400] + 0.5
    at = to_picture.apply(np.column_stack((columns.ravel(), rows.ravel()))) - 0.5
    wanted = ndimage.map_coordinates(rgb[..., 0].astype(float), at.T[::-1], order=3).reshape(seen.shape)
    assert np.abs(seen - wanted).max() < 4.0
    assert local_scale(to_picture, np.array([(200.0, 100.0)])) == pytest.approx(1.0, abs=0.01)


CURLED = Camera(kind="crop", px_per_mm=7.0, curl_mm=0.6)
RULED = Sheet(width_mm=120.0, height_mm=100.0, pattern="ruled")
KINDS = {
    "plain": PLAIN,
    "curled": replace(PLAIN, camera=CURLED),
    "curled the other way": replace(PLAIN, camera=replace(CURLED, curl_mm=-0.35)),
    "curled ruled": replace(PLAIN, sheet=RULED, camera=CURLED),
    "ruled": replace(PLAIN, sheet=RULED),
    "bowed lines on ruled": replace(PLAIN, sheet=RULED, lines=replace(PLAIN.lines, bow_mm=0.6)),
    "bowed alike": replace(PLAIN, lines=replace(PLAIN.lines, bow_mm=0.6)),
    "bowed each": replace(PLAIN, lines=replace(PLAIN.lines, bows_mm={"baseline": 0.5, "mean": -0.4, "cap": 0.2})),
    "bowed one": replace(PLAIN, lines=replace(PLAIN.lines, bows_mm={"baseline": -0.6})),
}
DESK = Camera(kind="photo", size_px=(2000, 1250), curl_mm=0.6)
KINDS |= {
    "curled on a desk": replace(PLAIN, camera=DESK),
    "bowed alike on a desk": replace(PLAIN, lines=replace(PLAIN.lines, bow_mm=0.4), camera=replace(DESK, curl_mm=0.0)),
}


@cache
def taken(kind: str) -> Specimen:
    return take(KINDS[kind])


@cache
def read_kind(kind: str) -> Reading:
    return read(taken(kind).data, f"{kind}.jpg", Brief(word="nalip"))


def straighteners(reading: Reading) -> list[Severity]:
    return [r.severity for r in reading.remarks if "was straightened by them" in r.text]


def wander_ratio(strip: Strip) -> float:
    """The furthest that a line of the strip strays from its own straight, in x-heights."""
    furthest = 0.0
    for course in strip.lines:
        x = np.flatnonzero(np.isfinite(course.middle_px))
        if len(x) > 0.5 * len(course.middle_px):
            y = course.middle_px[x]
            furthest = max(furthest, float(np.abs(y - np.polyval(np.polyfit(x, y, 1), x)).max()))
    return furthest / strip.x_height_px


@pytest.mark.parametrize("kind", ["curled", "curled the other way", "curled ruled", "curled on a desk"])
def test_on_a_curled_sheet_the_lines_come_out_straight(kind: str) -> None:
    """Within .004 x-heights, less than a pencil line's own edge; before, they stray by .01 and more."""
    specimen, reading = taken(kind), read_kind(kind)
    assert len(straighteners(reading)) == 1
    assert wander_ratio(reading.strip) < 0.004
    base = reading.guides.baseline
    ends = specimen.sheet_points(reading.strip.to_picture.apply(np.array([base.start, base.end])))
    truth = np.array(specimen.page.lines["baseline"])[:, 1]
    assert np.abs(ends[:, 1] - truth).max() < 0.006 * 16.0


@pytest.mark.parametrize("kind", ["plain", "ruled", "bowed alike", "bowed lines on ruled", "bowed each", "bowed one"])
def test_a_picture_that_is_not_bent_stays_as_it_is(kind: str) -> None:
    """The strip is the one that was cut first, to the byte: letters are not bent after a line that was drawn bowed."""
    reading = read_kind(kind)
    assert not straighteners(reading)
    assert isinstance(reading.strip.to_picture, Homography)
    photo = read_photo(taken(kind).data, f"{kind}.jpg", 1)
    paper = find_paper(photo)
    first = cut_strip(photo, paper, find_ruling(paper), Brief(word="nalip"))
    assert bend_of(first, find_ink(first), paper) is None
    assert first.view.rgb.tobytes() == reading.strip.view.rgb.tobytes()


def test_the_sheets_sides_bear_witness() -> None:
    """What bends the lines bends the sheet: sides that bow make it sure, straight ones make the lines drawn so."""
    assert straighteners(read_kind("curled on a desk")) == [Severity.NOTE]
    flat = read_kind("bowed alike on a desk")
    assert flat.paper.bow_px is not None
    assert flat.paper.bow_px < 2.0
    assert not straighteners(flat)


def test_boxes_of_letters_lie_where_the_bent_picture_shows_them() -> None:
    specimen, reading = taken("curled"), read_kind("curled")
    for letter, rings in zip(reading.letters.letters, specimen.page.letters, strict=True):
        rows, columns = np.nonzero(letter.coverage > 0.5)
        middle = np.array([(letter.left_px + columns.mean() + 0.5, letter.top_px + rows.mean() + 0.5)])
        around = specimen.picture_points(np.concatenate(rings))
        at = reading.strip.to_picture.apply(middle)[0]
        assert (around.min(axis=0) < at).all()
        assert (at < around.max(axis=0)).all()
        left = np.array([(letter.left_px + columns.min(), letter.top_px + rows[columns.argmin()] + 0.5)])
        assert reading.strip.to_picture.apply(left)[0, 0] == pytest.approx(around[:, 0].min(), abs=1.5)
