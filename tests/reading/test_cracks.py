"""White scratches that run right through a stroke are closed; what is white by design stays."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.reading.cracks import close_cracks

# The windows of the closing are of odd and of even height at these.
X_HEIGHTS = (100.0, 120.0)


def stroke() -> np.ndarray:
    """A stroke 40 px broad and 100 high on white paper."""
    ink = np.zeros((160, 120), np.float32)
    ink[30:130, 40:80] = 1.0
    return ink


@pytest.mark.parametrize("x_height_px", X_HEIGHTS)
@pytest.mark.parametrize("slope", [0.0, 0.2, -0.2])
def test_a_scratch_through_a_stroke_is_closed(x_height_px: float, slope: float) -> None:
    whole, scratched = stroke(), stroke()
    for x in range(30, 90):
        top = round(78 + slope * (x - 60))
        scratched[top : top + 4, x] = 0.0
    healed = close_cracks(scratched, x_height_px)
    # Where a slanting scratch leaves a side of the stroke a step as high as itself may stay.
    assert np.count_nonzero(healed != whole) <= 2 * 4
    assert np.array_equal(healed[:, 44:76], whole[:, 44:76])


@pytest.mark.parametrize("x_height_px", X_HEIGHTS)
@pytest.mark.parametrize(
    ("rows", "columns"),
    [
        pytest.param(slice(78, 82), slice(55, 80), id="a notch"),
        pytest.param(slice(78, 82), slice(45, 75), id="a narrow counter"),
        pytest.param(slice(30, 130), slice(58, 62), id="the gap between two letters"),
        pytest.param(slice(78, 92), slice(40, 80), id="the gap under a dot"),
        pytest.param(slice(0, 0), slice(0, 0), id="nothing"),
    ],
)
def test_what_was_meant_white_stays(x_height_px: float, rows: slice, columns: slice) -> None:
    drawn = stroke()
    drawn[rows, columns] = 0.0
    assert np.array_equal(close_cracks(drawn, x_height_px), drawn)
