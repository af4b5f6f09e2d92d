"""Uneven light, shadow edges and coloured paper divided out of a region whose true absorbance is known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage
from skimage import data

from vectorize.reading.light import absorbance, widest_stroke

H, W, STROKE = 300, 420, 24


def strokes(dark: float = 0.8) -> np.ndarray:
    """True absorbance: five upright strokes and a thin line."""
    a = np.zeros((H, W))
    for x in range(60, 360, 64):
        a[80:220, x : x + STROKE] = dark
    a[240:242, 30:390] = 0.4
    return a


def lit(light: np.ndarray, colour=(240, 238, 230), noise: float = 1.0) -> np.ndarray:
    grain = np.random.default_rng(4).normal(0, noise, (H, W, 3))
    rgb = np.array(colour)[None, None] * light[:, :, None] * (1 - strokes())[:, :, None] + grain
    return np.clip(rgb, 0, 255).astype(np.uint8)


def lights() -> dict[str, np.ndarray]:
    y, x = np.mgrid[0:H, 0:W]
    edge = ndimage.gaussian_filter((x + 0.6 * y > 300).astype(float), 4)
    return {
        "even": np.ones((H, W)),
        "lamp": 1.0 - 0.5 * ((x - 40) / W) ** 2 - 0.2 * y / H,
        "shadow across the strokes": 1.0 - 0.5 * edge,
    }


@pytest.mark.parametrize("name", lights())
@pytest.mark.parametrize("colour", [(245, 245, 245), (246, 233, 200), (196, 164, 122), (190, 215, 240)])
def test_strokes_keep_their_absorbance_and_paper_is_blank(name, colour):
    true = strokes()
    found = absorbance(lit(lights()[name], colour), STROKE)
    assert found.dtype == np.float32
    assert found.shape == (H, W, 3)
    blank = ndimage.minimum_filter((true == 0).astype(np.uint8), 5) == 1
    ink = ndimage.minimum_filter((true == 0.8).astype(np.uint8), 5) == 1
    assert np.median(found[blank]) < 0.015
    assert np.quantile(found[blank], 0.99) < 0.06
    assert np.median(found[ink]) == pytest.approx(0.8, abs=0.03)
    # Where a stroke crosses the shadow its paper is guessed across its width, so single pixels stray further.
    assert np.abs(found[ink] - 0.8).mean() < 0.04


def test_a_coloured_line_is_darker_in_one_channel():
    rgb = np.full((H, W, 3), 240, np.uint8)
    rgb[100:104] = (240, 120, 120)
    found = absorbance(rgb, STROKE)[101, 200]
    assert found[0] < 0.02
    assert found[1] == pytest.approx(0.5, abs=0.03)


def test_off_the_sheet_nothing_is_dark_and_the_rim_is_not_bitten():
    rgb = lit(np.ones((H, W)))
    within = np.zeros((H, W), bool)
    within[20:280, 30:390] = True
    rgb[~within] = (40, 30, 20)
    found = absorbance(rgb, STROKE, within)
    assert (found[~within] == 0).all()
    rim = np.concatenate((found[21:40, 40:380].ravel(), found[60:260, 31:50].ravel()))
    assert np.quantile(rim, 0.98) < 0.06


def test_the_widest_stroke_is_measured():
    assert widest_stroke(lit(lights()["lamp"])) == pytest.approx(STROKE, rel=0.2)


@pytest.mark.parametrize("value", [0, 255])
def test_a_picture_of_one_grey_has_no_ink_of_its_own(value):
    found = absorbance(np.full((80, 90, 3), value, np.uint8), 12)
    assert np.isfinite(found).all()
    assert widest_stroke(np.full((80, 90, 3), value, np.uint8)) > 0


def test_a_printed_page_in_a_shadow():
    """scikit-image data.page(), a photograph of a printed page (no origin stated there).

    A global threshold (Otsu, 157) takes the shadow for ink: .357 of the area. Sauvola's local one gives .128.
    """
    page = data.page()
    rgb = np.repeat(page[:, :, None], 3, axis=2)
    ink = absorbance(rgb, 6).min(axis=2) > 0.3
    assert 0.08 < ink.mean() < 0.17
    assert (page < 157).mean() > 0.3
