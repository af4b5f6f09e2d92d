"""Edges of drawn letters are told from clouds: a step blurred by a known Gaussian, a ramp, and noise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import ndimage

from vectorize.errors import PictureError
from vectorize.reading.records import Ink
from vectorize.reading.sharpness import check_edges, edge_width_ratio


def stem(blur_px: float) -> Ink:
    """A stem of full black, 120 px wide, its edges blurred."""
    sharp = np.zeros((200, 200))
    sharp[:, 40:160] = 1.0
    dark = ndimage.gaussian_filter(sharp, blur_px).astype(np.float32)
    return Ink(dark, dark, blur_px)


@pytest.mark.parametrize("blur_px", [2.0, 4.0, 6.0])
def test_the_width_is_that_of_the_gaussian_edge(blur_px: float):
    """A step blurred by sigma has the slope 1 / (sigma sqrt(2 pi)) in its middle."""
    width = edge_width_ratio(stem(blur_px), 200.0)
    assert width * 200.0 == pytest.approx(blur_px * math.sqrt(2 * math.pi), rel=0.25)


def test_drawn_edges_pass_and_clouds_are_refused():
    check_edges(stem(3.0), 200.0)
    with pytest.raises(PictureError, match="too soft"):
        check_edges(stem(20.0), 200.0)


def test_without_ink_or_without_paper_nothing_is_said():
    blank = np.zeros((50, 50), np.float32)
    assert edge_width_ratio(Ink(blank, blank, 1.0), 100.0) is None
    full = stem(2.0).coverage[:, 40:160]
    assert edge_width_ratio(Ink(full, full, 2.0), 200.0) is None
