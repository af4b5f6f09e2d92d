"""Parts of ink told apart: what is lettering, which mark and which fragment belongs to which letter, where a piece is cut."""

from __future__ import annotations

import numpy as np
import pytest

from vectorize.reading.parting import between, body_mask, cuts_of
from vectorize.reading.parts import Piece, counters_in, lettering, parts_of, pieces_of

X_HEIGHT = 100.0
BASELINE = 200.0
STEM = 20


def strip(*boxes: tuple[int, int, int, int]) -> np.ndarray:
    """A mask with filled boxes x0, y0, x1, y1; y counts up from the baseline in px."""
    mask = np.zeros((300, 600), bool)
    for x0, y0, x1, y1 in boxes:
        mask[int(BASELINE) - y1 : int(BASELINE) - y0, x0:x1] = True
    return mask


def pieces(mask: np.ndarray) -> tuple[Piece, ...]:
    own, _ = lettering(parts_of(mask), mask.shape, BASELINE, X_HEIGHT)
    return pieces_of(own, X_HEIGHT)


def stem(x: int, height: int = 100) -> tuple[int, int, int, int]:
    return x, 0, x + STEM, height


def dot(x: int, low: int = 125, size: int = STEM) -> tuple[int, int, int, int]:
    return x, low, x + size, low + size


def places(found: tuple[Piece, ...]) -> list[tuple[int, int]]:
    """Of each piece its left edge and how many marks it has."""
    return [(int(p.body.x0), len(p.marks)) for p in found]


def test_pieces_are_read_from_left_to_right_with_their_marks() -> None:
    assert places(pieces(strip(stem(300), stem(100), dot(100), stem(200, 145)))) == [(100, 1), (200, 0), (300, 0)]


def test_two_dots_belong_to_the_letter_under_them() -> None:
    u = (stem(150), stem(210), (150, 0, 230, 20))
    assert places(pieces(strip(stem(60), *u, dot(155), dot(205)))) == [(60, 0), (150, 2)]


def test_a_mark_above_a_mark_belongs_to_the_letter_under_both() -> None:
    """As in Vietnamese: the upper one hangs on the lower one, too far from the letter to hang on it."""
    lower, upper = (295, 135, 345, 160), dot(311, 175, 18)
    assert places(pieces(strip(stem(100), stem(310), lower, upper))) == [(100, 0), (310, 2)]


def test_a_fragment_is_taken_together_with_the_letter_it_broke_off() -> None:
    (found,) = pieces(strip((100, 0, 120, 96), (123, 0, 143, 28)))
    assert len(found.bodies) == 2


def test_specks_thin_writing_and_what_the_edge_cuts_are_no_lettering() -> None:
    speck, writing, sheet_edge = dot(200, 60, 4), (300, -60, 304, -10), (560, 60, 600, 80)
    mask = strip(stem(100), stem(150), speck, writing, sheet_edge)
    own, others = lettering(parts_of(mask), mask.shape, BASELINE, X_HEIGHT)
    assert sorted(p.box.x0 for p in own) == [100, 150]
    assert sorted(p.box.x0 for p in others) == [200, 300, 560]


def test_a_full_stop_is_lettering() -> None:
    mask = strip(stem(100), dot(200, 0))
    own, _ = lettering(parts_of(mask), mask.shape, BASELINE, X_HEIGHT)
    assert [p.box.x0 for p in own] == [100, 200]


def test_without_anything_tall_nothing_is_lettering() -> None:
    parts = parts_of(strip(dot(100, 0), dot(200, 0)))
    assert lettering(parts, (300, 600), BASELINE, X_HEIGHT) == ((), parts)


def test_a_bars_stroke_is_its_width() -> None:
    (bar,) = parts_of(strip((100, 0, 100 + STEM, 200)))
    assert bar.stroke_px == pytest.approx(STEM, rel=0.1)


def test_counters_are_counted_from_their_left_to_their_right_cut() -> None:
    mask = strip((100, 0, 300, 100))
    mask[120:180, 120:170] = mask[120:180, 230:280] = False
    (piece,) = pieces(mask)
    assert counters_in(piece, -np.inf, np.inf) == 2
    assert counters_in(piece, -np.inf, 200.0) == counters_in(piece, 200.0, np.inf) == 1


def test_touching_letters_are_cut_at_the_neck_between_them() -> None:
    """Two blocks joined by a bridge 12 px high: the cut crosses the bridge and no more."""
    mask = strip((100, 0, 180, 100), (180, 40, 200, 52), (200, 0, 280, 100))
    (piece,) = pieces(mask)
    (cut,) = [c for c in cuts_of(piece, mask.astype(np.float32), X_HEIGHT) if c.neck_px < 30]
    assert 180 < cut.x_px < 200
    assert cut.neck_px == pytest.approx(12.0, abs=1.0)
    assert (cut.lean, cut.runs) == (0.0, 1)
    body, top, left = body_mask(piece)
    parted = [body & between(body.shape, (top, left), *ends) for ends in ((None, cut), (cut, None))]
    assert (parted[0] ^ parted[1] == body).all()
    assert [p.sum() for p in parted] == pytest.approx([8000 + 120, 8000 + 120], abs=120)


def test_a_white_line_in_the_pencil_shows_where_letters_ran_together() -> None:
    """Two stems closed to one in the evened ink: the cut follows the line that the pencil left white."""
    mask = strip((100, 0, 160, 100))
    pencil = mask.astype(np.float32)
    pencil[:, 128:132] = 0.0
    (piece,) = pieces(mask)
    cuts = cuts_of(piece, pencil, X_HEIGHT)
    assert any(abs(c.x_px - 130) < 2 and c.neck_px < 5 for c in cuts)


def test_a_single_stem_is_not_cut() -> None:
    mask = strip(stem(100))
    (piece,) = pieces(mask)
    assert cuts_of(piece, mask.astype(np.float32), X_HEIGHT) == ()
