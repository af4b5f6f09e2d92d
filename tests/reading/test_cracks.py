"""White scratches that run right through strokes are closed; what is white by design stays."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from tests.reading.drawn_strip import PLAIN, DrawnStrip, draw_strip
from tests.specimens.recipe import Fill
from vectorize.reading.blobs import blobs_of, holes_of
from vectorize.reading.cracks import Healed, close_cracks
from vectorize.reading.fill import Levels, evened
from vectorize.reading.ink import ink_of

# The windows of the closing are of odd and of even height at these.
X_HEIGHTS = (100.0, 120.0)
BLACK = 0.8


def healed(drawn: np.ndarray, x_height_px: float) -> tuple[np.ndarray, Healed]:
    """A drawing of 0 and 1 evened, and with its cracks closed."""
    darkness = (BLACK * gaussian_filter(drawn.astype(np.float32), 0.6)).astype(np.float32)
    levels = Levels(np.zeros_like(darkness), np.full_like(darkness, BLACK))
    ink = evened(darkness, levels, x_height_px)
    return ink, close_cracks(ink, darkness, levels, x_height_px)


def stroke() -> np.ndarray:
    """A stroke 40 px broad and 100 high on white paper."""
    ink = np.zeros((160, 120), np.float32)
    ink[30:130, 40:80] = 1.0
    return ink


def swiped(
    drawn: np.ndarray, at: tuple[float, float], slope: float, width_px: float, reach_px: float = 1e9
) -> np.ndarray:
    """The drawing (h, w) with a straight white band through a point (x, y), so far to each side of it."""
    y, x = np.mgrid[: drawn.shape[0], : drawn.shape[1]] + 0.5
    across = np.abs(y - at[1] - slope * (x - at[0])) / np.hypot(1.0, slope)
    return np.where((across < width_px / 2) & (np.abs(x - at[0]) < reach_px), 0.0, drawn).astype(np.float32)


def ring(stroke_px: float = 22.0) -> np.ndarray:
    """A round o, 100 px high."""
    y, x = np.mgrid[:160, :180] + 0.5
    radius = np.hypot(x - 90.0, y - 80.0)
    return ((radius < 50.0) & (radius > 50.0 - stroke_px)).astype(np.float32)


@pytest.mark.parametrize("x_height_px", X_HEIGHTS)
@pytest.mark.parametrize("slope", [0.0, 0.2, -0.2, 0.6, -0.95])
@pytest.mark.parametrize("width_px", [3.0, 5.0])
def test_a_scratch_through_a_stroke_is_closed(x_height_px: float, slope: float, width_px: float) -> None:
    whole, _ = healed(stroke(), x_height_px)
    _, mended = healed(swiped(stroke(), (60.0, 80.0), slope, width_px), x_height_px)
    assert len(mended.places) == 1
    assert np.count_nonzero((mended.ink > 0.5) != (whole > 0.5)) <= 2 * 4
    box = mended.places[0]
    assert box.x0 == pytest.approx(40, abs=5)
    assert box.x1 == pytest.approx(80, abs=5)
    assert box.y0 < 80 < box.y1


@pytest.mark.parametrize("slope", [0.0, 0.3, -0.7])
@pytest.mark.parametrize("height", [54.0, 66.0, 80.0, 105.0])
def test_a_scratch_through_a_bowl_or_along_its_counter_is_closed(slope: float, height: float) -> None:
    whole, _ = healed(ring(), 100.0)
    scratched = swiped(ring(), (90.0, height), slope, 5.0)
    assert not holes_of(scratched > 0.5)
    _, mended = healed(scratched, 100.0)
    assert len(holes_of(mended.ink > 0.5)) == 1
    off = np.count_nonzero((mended.ink > 0.5) != (whole > 0.5))
    assert off < 0.25 * np.count_nonzero(scratched != ring())


def test_a_corner_that_was_cut_off_is_joined_again() -> None:
    cut = swiped(stroke(), (70.0, 122.0), -0.8, 4.0)
    assert len(blobs_of(cut > 0.5)) == 2
    whole, _ = healed(stroke(), 100.0)
    _, mended = healed(cut, 100.0)
    assert len(blobs_of(mended.ink > 0.5)) == 1
    assert np.count_nonzero((mended.ink > 0.5) != (whole > 0.5)) <= 2 * 4


def dotted(gap_px: int) -> np.ndarray:
    """A stem with a round dot above it."""
    drawn = stroke()
    drawn[:80] = 0.0
    y, x = np.mgrid[: drawn.shape[0], : drawn.shape[1]] + 0.5
    drawn[np.hypot(x - 60.0, y - (80.0 - gap_px - 22.0)) < 22.0] = 1.0
    return drawn


def e_of_narrow_opening() -> np.ndarray:
    """A round letter with a bar, open by 5 px below the bar at its right."""
    drawn = ring()
    drawn[74:86, 50:138] = 1.0
    drawn[86:91, 105:] = 0.0
    return drawn


def parted(rows: slice, columns: slice) -> np.ndarray:
    drawn = stroke()
    drawn[rows, columns] = 0.0
    return drawn


@pytest.mark.parametrize("x_height_px", X_HEIGHTS)
@pytest.mark.parametrize(
    "drawn",
    [
        pytest.param(parted(slice(78, 82), slice(55, 80)), id="a notch"),
        pytest.param(parted(slice(78, 82), slice(45, 75)), id="a narrow counter"),
        pytest.param(parted(slice(30, 130), slice(58, 62)), id="the gap between two letters"),
        pytest.param(parted(slice(78, 92), slice(40, 80)), id="the gap under a square dot"),
        pytest.param(dotted(5), id="the gap under a round dot"),
        pytest.param(e_of_narrow_opening(), id="the opening of an e"),
        pytest.param(swiped(stroke(), (60.0, 80.0), -0.4, 10.0), id="a broad band"),
        pytest.param(swiped(stroke(), (40.0, 80.0), 0.3, 5.0, 25.0), id="a band that ends in the stroke"),
        pytest.param(stroke(), id="nothing"),
    ],
)
def test_what_was_meant_white_stays(x_height_px: float, drawn: np.ndarray) -> None:
    ink, mended = healed(drawn, x_height_px)
    assert mended.places == ()
    assert np.array_equal(mended.ink, ink)


def pencilled(fill: Fill) -> DrawnStrip:
    return draw_strip(replace(PLAIN, word="Rahe", weight=750, fill=fill))


@pytest.mark.parametrize("fill", [Fill(), Fill(pencil="hard"), Fill(blotches=0.8)], ids=["soft", "hard", "blotchy"])
def test_a_swipe_through_a_pencilled_word_is_closed_and_told(fill: Fill) -> None:
    drawn = pencilled(fill)
    x_height_px = drawn.x_height_px
    clean = ink_of(drawn.absorbance, drawn.lines, x_height_px)
    first = np.concatenate(drawn.letters[0])
    at = tuple((first.min(axis=0) + first.max(axis=0)) / 2)
    gone = swiped(np.ones(drawn.absorbance.shape[:2]), at, -0.28, 0.045 * x_height_px, 0.6 * np.ptp(first[:, 0]))
    seen = ink_of(drawn.absorbance * gone[..., None], drawn.lines, x_height_px)
    assert not [r for r in clean.remarks if "white line" in r.text]
    assert [r.severity for r in seen.remarks if "white line" in r.text] == ["note"]
    assert len(holes_of(seen.coverage > 0.5)) == len(holes_of(clean.coverage > 0.5))
    off = np.count_nonzero((seen.coverage > 0.5) != (clean.coverage > 0.5))
    assert off < 0.1 * np.count_nonzero((gone == 0.0) & (clean.coverage > 0.5))
