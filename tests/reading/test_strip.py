"""Pictures read as far as the strip and the guidelines: level, position and names against what was drawn.

The pictures are generated, on small sheets, so that the tests stay quick.
"""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from PIL import Image
from skimage import data

from tests.specimens.camera import Specimen, take
from tests.specimens.recipe import Lines
from tests.specimens.small import PLAIN
from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.geometry import angle_deg
from vectorize.reading.paper import find_paper
from vectorize.reading.photo import read_photo
from vectorize.reading.reading import read
from vectorize.reading.records import GuideSource, Reading, Strip
from vectorize.reading.ruling import find_ruling
from vectorize.reading.strip import cut_strip

KINDS = {
    "plain": PLAIN,
    "turned": replace(PLAIN, camera=replace(PLAIN.camera, turn_deg=1.2)),
    "faint": replace(PLAIN, lines=replace(PLAIN.lines, darkness=0.15, width_mm=0.25)),
    "heavy": replace(PLAIN, lines=replace(PLAIN.lines, darkness=0.7, width_mm=0.7)),
    "coloured": replace(PLAIN, lines=replace(PLAIN.lines, colour=(200, 60, 60))),
    "dashed": replace(PLAIN, lines=replace(PLAIN.lines, dashed=True)),
    "not parallel": replace(PLAIN, lines=replace(PLAIN.lines, extra_deg={"mean": 0.8}, tilt_deg=-0.7)),
    "squared": replace(PLAIN, sheet=replace(PLAIN.sheet, pattern="squared")),
    "dotted": replace(PLAIN, sheet=replace(PLAIN.sheet, pattern="dotted")),
}


@cache
def taken(kind: str) -> Specimen:
    return take(KINDS[kind])


@cache
def read_kind(kind: str) -> Reading:
    return read(taken(kind).data, f"{kind}.jpg", Brief(word="nalip"))


def in_picture(strip: Strip, ends: tuple[tuple[float, float], ...]) -> np.ndarray:
    return strip.to_picture.apply(np.array(ends))


@pytest.mark.parametrize("kind", KINDS)
def test_drawn_lines_are_measured_where_they_are(kind: str) -> None:
    """Angle within .02 deg, position within .005 x-heights: far finer than the .6 deg a look tells
    (Vision Research 30, 1990, 1429)."""
    specimen, reading = taken(kind), read_kind(kind)
    found = {"baseline": reading.guides.baseline, "mean": reading.guides.mean_line, "cap": reading.guides.cap_line}
    x_height = 16.0 * 7.0
    for name, guide in found.items():
        truth = specimen.picture_points(np.array(specimen.page.lines[name]))
        assert guide is not None
        assert guide.source == GuideSource.DRAWN
        (x0, y0), (x1, y1) = in_picture(reading.strip, (guide.start, guide.end))
        assert angle_deg((x0, y0), (x1, y1)) == pytest.approx(angle_deg(tuple(truth[0]), tuple(truth[1])), abs=0.02)
        middle = truth.mean(axis=0)
        off = y0 + (y1 - y0) * (middle[0] - x0) / (x1 - x0) - middle[1]
        assert abs(off) < 0.005 * x_height


@pytest.mark.parametrize("deg", [0.0, 0.3, 0.6, 1.2])
def test_a_turned_page_is_measured_to_a_tenth_of_a_degree(deg: float) -> None:
    """Steps about the .6 deg that one look tells (Vision Research 30, 1990, 1429)."""
    specimen = take(replace(PLAIN, camera=replace(PLAIN.camera, turn_deg=deg)))
    photo = read_photo(specimen.data, "turned.jpg", 1)
    paper = find_paper(photo)
    strip = cut_strip(photo, paper, find_ruling(paper), Brief(word="nalip"))
    (x0, y0), (x1, y1) = in_picture(strip, ((0.0, strip.baseline_px), (500.0, strip.baseline_px)))
    truth = specimen.picture_points(np.array(specimen.page.lines["baseline"]))
    assert angle_deg((x0, y0), (x1, y1)) == pytest.approx(angle_deg(tuple(truth[0]), tuple(truth[1])), abs=0.1)


def test_the_strip_holds_ascenders_descenders_and_lines() -> None:
    strip = read_kind("plain").strip
    h = strip.view.rgb.shape[0]
    assert strip.baseline_px - 1.4 * strip.x_height_px > 0
    assert strip.baseline_px + 0.4 * strip.x_height_px < h
    assert len([x for x in strip.lines if not x.printed]) == 3


def test_a_word_without_lines_is_levelled_by_its_letters() -> None:
    specimen = take(replace(PLAIN, lines=Lines(names=())))
    reading = read(specimen.data, "bare.jpg", Brief(word="nalip"))
    assert reading.guides.baseline.source == GuideSource.INFERRED
    (x0, y0), (x1, y1) = in_picture(reading.strip, (reading.guides.baseline.start, reading.guides.baseline.end))
    assert abs(angle_deg((x0, y0), (x1, y1))) < 0.3
    assert any("No drawn baseline" in r.text for r in reading.remarks)


def test_a_bowed_baseline_is_told_and_a_straight_one_is_not() -> None:
    specimen = take(replace(PLAIN, lines=replace(PLAIN.lines, bow_mm=1.2)))
    told = [r for r in read(specimen.data, "bowed.jpg", Brief(word="nalip")).remarks if "sags" in r.text]
    assert len(told) == 1
    assert told[0].measured == pytest.approx(1.2 / 16.0, rel=0.3)
    assert not any("sags" in r.text or "rises" in r.text for r in read_kind("plain").remarks)


def two_lines() -> bytes:
    """The plain sheet with a smaller word below."""
    above = np.asarray(Image.open(io.BytesIO(taken("plain").data)))
    below = np.asarray(Image.open(io.BytesIO(take(replace(PLAIN, lines=Lines(names=()), x_height_mm=12.0)).data)))
    buffer = io.BytesIO()
    Image.fromarray(np.concatenate((above, below))).save(buffer, "PNG")
    return buffer.getvalue()


def test_the_largest_line_is_read_and_the_other_named() -> None:
    both = two_lines()
    largest = read(both, "two.png", Brief(word="nalip"))
    second = read(both, "two.png", Brief(word="nalip", line=2))
    assert any("2 lines of lettering; line 1" in r.text for r in largest.remarks)
    assert largest.guides.x_height_px / second.guides.x_height_px == pytest.approx(16.0 / 12.0, rel=0.05)
    with pytest.raises(PictureError, match="Line 3 was asked for"):
        read(both, "two.png", Brief(line=3))


def test_few_pixels_are_a_doubt() -> None:
    """Common practice, no source: below about 60 px the grain of the picture is coarser than a pencil's edge."""
    specimen = take(replace(PLAIN, camera=replace(PLAIN.camera, px_per_mm=3.0)))
    remarks = read(specimen.data, "small.jpg", Brief(word="nalip")).remarks
    assert any("pixels high" in r.text for r in remarks)


def saved(grey: np.ndarray) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).save(buffer, "PNG")
    return buffer.getvalue()


def grid() -> np.ndarray:
    sheet = np.full((600, 900), 245.0)
    sheet[::40] = sheet[:, ::40] = 140.0
    return sheet


@pytest.mark.parametrize(
    "grey",
    [
        np.full((600, 900), 245.0),
        np.tile(np.linspace(60.0, 250.0, 900), (600, 1)),
        np.random.default_rng(5).normal(128.0, 50.0, (600, 900)),
        grid(),
        np.tile(np.where(np.arange(7500) % 300 < 60, 40.0, 245.0), (64, 1)),
    ],
    ids=["blank", "gradient", "noise", "grid", "a hundred times as long as high"],
)
def test_a_picture_without_lettering_is_refused_with_what_to_do(grey: np.ndarray) -> None:
    with pytest.raises(PictureError, match=r"no lettering|No lettering"):
        read(saved(grey), "empty.png", Brief())


@pytest.mark.parametrize("real", [data.text, data.page], ids=["text", "page"])
def test_real_photographs_of_other_things_do_no_harm(real) -> None:  # type: ignore[no-untyped-def]
    """scikit-image's photographs of handwriting and of a printed page: read or refused, never a crash."""
    picture = saved(real())
    try:
        reading = read(picture, "real.png", Brief())
    except PictureError:
        return
    assert len(reading.letters.letters) > 0
