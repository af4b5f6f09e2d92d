"""Neighbourhoods, regions and distances against scipy.ndimage and scikit-image, two independent libraries."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy import ndimage
from skimage.filters import threshold_otsu

from vectorize import raster

SHAPES = st.tuples(st.integers(1, 24), st.integers(1, 24))
PLANES = arrays(np.float32, SHAPES, elements=st.floats(0.0, 1.0, width=32)) | arrays(
    np.float64, SHAPES, elements=st.floats(0.0, 1.0)
)
MASKS = arrays(bool, SHAPES)
RINGS = arrays(np.float64, st.tuples(st.integers(3, 60), st.integers(1, 3)), elements=st.floats(-1.0, 1.0))
SIZES = st.integers(1, 40)
SIGMAS = st.floats(0.3, 5.0)
AXES = st.sampled_from([0, 1])
EIGHT = np.ones((3, 3))


def close(found, expected) -> None:
    np.testing.assert_allclose(found, expected, atol=3e-6)


@given(PLANES, SIZES, SIZES)
def test_means_of_windows(plane, rows, columns):
    found = raster.box_mean(plane, (rows, columns))
    assert found.dtype == plane.dtype
    close(found, ndimage.uniform_filter(plane, (rows, columns)))
    close(raster.box_mean(plane, rows), ndimage.uniform_filter(plane, rows))
    close(raster.row_mean(plane[0], columns), ndimage.uniform_filter1d(plane[0], columns))


@given(PLANES, SIGMAS, SIGMAS)
def test_blurs(plane, down, across):
    assert raster.blurred(plane, down).dtype == plane.dtype
    close(raster.blurred(plane, (down, across)), ndimage.gaussian_filter(plane, (down, across)))
    close(raster.blurred(plane, down, truncate=3.0), ndimage.gaussian_filter(plane, down, truncate=3.0))
    close(raster.blurred(plane, (0.0, across)), ndimage.gaussian_filter1d(plane, across, axis=1))


def test_channels_are_blurred_each_by_itself():
    plane = np.random.default_rng(1).random((9, 12, 3))
    close(raster.blurred(plane, (0.0, 1.3)), ndimage.gaussian_filter1d(plane, 1.3, axis=1))


@given(RINGS, SIGMAS, st.integers(1, 12))
def test_rings_run_round(ring, sigma, size):
    close(raster.ring_blurred(ring, sigma), ndimage.gaussian_filter1d(ring, sigma, axis=0, mode="wrap"))
    expected = ndimage.gaussian_filter1d(ring, sigma, axis=0, order=1, mode="wrap", truncate=3.0)
    close(raster.ring_slope(ring, sigma, truncate=3.0), expected)
    close(raster.ring_mean(ring[:, 0], size), ndimage.uniform_filter1d(ring[:, 0], size, mode="wrap"))


@given(PLANES, SIZES, AXES)
def test_extremes_of_windows(plane, size, axis):
    along = (size, 1) if axis == 0 else (1, size)
    for seen in (plane, plane > 0.5, (plane * 255).astype(np.uint8)):
        assert raster.greatest(seen, size).dtype == seen.dtype
        np.testing.assert_array_equal(raster.greatest(seen, size), ndimage.maximum_filter(seen, size))
        np.testing.assert_array_equal(raster.least(seen, size), ndimage.minimum_filter(seen, size))
        np.testing.assert_array_equal(raster.greatest(seen, size, axis), ndimage.maximum_filter(seen, along))
        np.testing.assert_array_equal(raster.least(seen, size, axis), ndimage.minimum_filter(seen, along))
        # scipy mirrors the plane for an even window, where ours ends.
        apart = np.pad(seen, size)
        np.testing.assert_array_equal(raster.closed(apart, size), ndimage.grey_closing(apart, (size, size)))
        np.testing.assert_array_equal(raster.closed(apart, size, axis), ndimage.grey_closing(apart, along))


@given(arrays(np.uint8, st.tuples(st.integers(1, 80), st.integers(1, 20), st.just(3))))
def test_channels(plane):
    np.testing.assert_array_equal(np.stack(raster.channels(plane), axis=2), plane)
    np.testing.assert_array_equal(raster.least_channel(plane), plane.min(axis=2))
    np.testing.assert_array_equal(raster.greatest_channel(plane), plane.max(axis=2))


def test_a_plane_is_shrunk_by_areas_and_grown_between_neighbours():
    plane = np.random.default_rng(4).random((12, 18)).astype(np.float32)
    close(raster.resized(plane, (6, 4)), plane.reshape(4, 3, 6, 3).mean(axis=(1, 3)))
    grown = raster.resized(plane, (36, 24))
    inner = ndimage.map_coordinates(plane, np.mgrid[0.25:11:0.5, 0.25:17:0.5], order=1)
    close(grown[1:-1, 1:-1], inner[: len(grown) - 2, : grown.shape[1] - 2])


@given(MASKS, st.integers(1, 4))
def test_masks_grow_shrink_and_are_filled(mask, steps):
    np.testing.assert_array_equal(raster.spread(mask, steps), ndimage.binary_dilation(mask, iterations=steps))
    np.testing.assert_array_equal(raster.core(mask, steps), ndimage.binary_erosion(mask, iterations=steps))
    np.testing.assert_array_equal(raster.filled(mask), ndimage.binary_fill_holes(mask))


@given(MASKS)
def test_depth_is_the_distance_to_what_is_not_of_the_mask(mask):
    if mask.all():
        assert np.isinf(raster.depth_px(mask)).all()
    else:
        close(raster.depth_px(mask), ndimage.distance_transform_edt(mask))


@given(MASKS, st.booleans())
def test_regions_in_the_order_of_their_first_pixels(mask, eight):
    labels, count = ndimage.label(mask, EIGHT if eight else None)
    found = raster.regions_of(mask, eight=eight)
    np.testing.assert_array_equal(found.labels, labels)
    assert found.count == count
    assert list(found.windows()) == ndimage.find_objects(labels)
    areas = np.bincount(labels.ravel(), minlength=count + 1)[1:]
    assert found.areas_px().tolist() == areas.tolist()
    np.testing.assert_array_equal(found.largest(), (labels == 1 + areas.argmax()) if count else mask)


@pytest.mark.parametrize("eight", [False, True])
def test_regions_of_a_plane_so_large_that_threads_share_it(eight):
    mask = np.random.default_rng(2).random((900, 700)) > 0.6
    labels, _ = ndimage.label(mask, EIGHT if eight else None)
    np.testing.assert_array_equal(raster.regions_of(mask, eight=eight).labels, labels)


def test_an_empty_plane_has_no_regions():
    assert raster.regions_of(np.zeros((0, 5), bool)).windows() == ()


@given(MASKS)
def test_the_window_of_a_mask_just_holds_it(mask):
    assert [raster.window_of(mask)] == (ndimage.find_objects(mask.astype(int)) or [None])


@given(arrays(np.float64, st.integers(2, 200), elements=st.floats(0.0, 1.0)))
def test_otsu_parts_a_sample_as_well_as_can_be(sample):
    if np.ptp(sample) < 1e-6:
        return
    counts, edges = np.histogram(sample, 256)
    middles = (edges[1:] + edges[:-1]) / 2

    def between(limit: float) -> float:
        low, high = counts * (middles <= limit + 1e-9), counts * (middles > limit + 1e-9)
        if not low.sum() or not high.sum():
            return 0.0
        return float(
            low.sum() * high.sum() * (np.average(middles, weights=low) - np.average(middles, weights=high)) ** 2
        )

    assert between(raster.otsu(sample)) >= (1 - 1e-6) * between(float(threshold_otsu(sample)))


def test_otsu_of_one_value_is_that_value():
    assert raster.otsu(np.full(5, 0.25)) == 0.25
