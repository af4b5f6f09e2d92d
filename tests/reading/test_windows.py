"""The windows against scipy's rank filters."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import ndimage

from vectorize.reading.windows import greatest, least


@pytest.mark.parametrize("kind", [np.bool_, np.uint8, np.int32, np.float64])
@given(height=st.integers(1, 30), width=st.integers(1, 30), size=st.integers(1, 40), seed=st.integers(0, 99))
def test_windows_hold_what_scipy_finds(kind, height, width, size, seed):
    plane = (np.random.default_rng(seed).random((height, width)) * 2).astype(kind)
    before = plane.copy()
    assert np.array_equal(greatest(plane, size), ndimage.maximum_filter(plane, size, mode="nearest"))
    assert np.array_equal(least(plane, size), ndimage.minimum_filter(plane, size, mode="nearest"))
    for axis in (0, 1):
        beside = ndimage.maximum_filter1d(plane, size, axis, mode="nearest")
        assert np.array_equal(greatest(plane, size, axis), beside)
    assert np.array_equal(plane, before)
