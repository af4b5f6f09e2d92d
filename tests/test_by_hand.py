"""What was set right by hand reaches the study."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from vectorize.brief import Brief
from vectorize.by_hand import PLACE_U, comments
from vectorize.corrections import Comment, Corrections
from vectorize.geometry import Affine, Homography, frozen


def reading(to_picture: Homography) -> SimpleNamespace:
    """As much of a reading as a comment's place hangs on: 5 letter units a pixel, the baseline at row 100."""
    to_units = Affine(5.0, 0.0, 0.0, -5.0, 0.0, 500.0)
    return SimpleNamespace(strip=SimpleNamespace(to_picture=to_picture), guides=SimpleNamespace(to_units=to_units))


def told(*pinned: Comment) -> Brief:
    return Brief(corrections=Corrections(comments=pinned))


def test_a_comment_stands_around_its_place():
    shifted = Homography.from_affine(Affine.shift(30.0, 40.0))
    (finding,) = comments(reading(shifted), told(Comment((90.0, 120.0), "Broaden this bowl.")))
    assert (finding.check, finding.text) == ("comment", "Broaden this bowl.")
    x0, y0, x1, y1 = finding.place_u
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((300.0, 100.0))
    assert (x1 - x0, y1 - y0) == pytest.approx((2 * PLACE_U, 2 * PLACE_U))


def test_a_comment_where_the_levelled_picture_has_no_place_is_kept_without_one():
    # Row 512 of this picture is the horizon of the sheet: nothing of the drawing lies there.
    to_strip = Homography(frozen(np.array([(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1 / 512, 1.0)])))
    (finding,) = comments(reading(to_strip.inverse()), told(Comment((256.0, 512.0), "Where is the bar?")))
    assert (finding.text, finding.place_u) == ("Where is the bar?", None)


def test_without_comments_there_is_nothing_to_tell():
    assert comments(reading(Homography.identity()), Brief()) == ()
