"""Ink against what was drawn: generated strips (open fonts as skeletons) whose true outlines are known.

Comparisons are with Otsu (IEEE Trans. SMC 9, 1979) and Sauvola (Pattern Recognition 33, 2000) as scikit-image has them.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_gradient_magnitude
from skimage import data
from skimage.filters import threshold_otsu, threshold_sauvola

from tests.reading.drawn_strip import PLAIN, DrawnStrip, contours_of, draw_strip, outline_error
from tests.specimens.recipe import Fill, Hand, Lines, Sheet
from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.reading.blobs import holes_of
from vectorize.reading.counters import settle_holes
from vectorize.reading.fill import Levels
from vectorize.reading.ink import ink_of
from vectorize.reading.letters import letters_of
from vectorize.reading.records import Ink, LineCourse
from vectorize.reading.smudge import sweep

KINDS = {
    "soft": {},
    "hard": {"fill": Fill(pencil="hard")},
    "ink": {"fill": Fill(pencil="ink", darkness=0.95)},
    "marker": {"fill": Fill(pencil="marker", darkness=0.95)},
    "coloured": {"fill": Fill(pencil="coloured")},
    "coloured between blue lines": {"fill": Fill(pencil="coloured"), "lines": Lines(colour=(70, 110, 190))},
    "pale": {"fill": Fill(darkness=0.35)},
    "blotchy": {"fill": Fill(blotches=0.9, darkness=0.78)},
    "hatched loosely": {"fill": Fill(style="half")},
    "outlined": {"fill": Fill(style="outline")},
    "heavy lines": {"lines": Lines(darkness=0.7, width_mm=0.8)},
    "bowed lines": {"lines": Lines(bow_mm=0.8)},
    "squared": {"sheet": Sheet(pattern="squared")},
    "specks": {"sheet": Sheet(specks=1500)},
    "smudge": {"sheet": Sheet(smudge=0.3)},
    "hairline": {"weight": 300},
    "bold": {"weight": 800},
    "serif": {"family": "lora"},
    "high contrast": {"family": "bodoni-moda"},
}
COUNTERS = {"g": 2, "a": 1, "n": 0, "d": 1, "r": 0, "e": 1, "l": 0}


@cache
def drawn(kind: str) -> DrawnStrip:
    return draw_strip(PLAIN, **KINDS[kind])


@cache
def ink(kind: str) -> Ink:
    d = drawn(kind)
    return ink_of(d.absorbance, d.lines, d.x_height_px)


@pytest.mark.parametrize("kind", KINDS)
def test_the_edge_lies_where_it_was_drawn(kind: str) -> None:
    """4 thousandths of the x-height are half a pixel here; blotches that reach the edge cost a little more."""
    d = drawn(kind)
    letters = letters_of(ink(kind), Brief(word="gandrel"), d.baseline_px, d.x_height_px).letters
    assert "".join(x.name or "?" for x in letters) == "gandrel"
    errors = [outline_error(x, rings, d.x_height_px) for x, rings in zip(letters, d.letters, strict=True)]
    assert np.mean(errors) < 4.5
    assert max(errors) < 9.0


@pytest.mark.parametrize("kind", KINDS)
def test_counters_are_kept_and_none_is_invented(kind: str) -> None:
    d = drawn(kind)
    letters = letters_of(ink(kind), Brief(word="gandrel"), d.baseline_px, d.x_height_px).letters
    assert [len(contours_of(x)) - 1 for x in letters] == [len(rings) - 1 for rings in d.letters]


def test_the_fill_is_one_black() -> None:
    coverage = ink("blotchy").coverage
    inside = truth_mask(drawn("blotchy"), inset_px=7)
    assert np.quantile(coverage[inside], 0.02) > 0.99


def test_the_edge_is_not_pushed_to_either_side() -> None:
    """Areas tell a bias that distances hide: the sum of the coverage against the drawn area."""
    for kind in ("soft", "ink", "bold", "pale"):
        true = sum(polygon_area(rings) for rings in drawn(kind).letters)
        assert float(ink(kind).coverage[ink(kind).coverage > 0.3].sum()) == pytest.approx(true, rel=0.02)


def test_unfilled_letters_are_said() -> None:
    for kind in ("outlined", "hatched loosely"):
        told = [r.text for r in ink(kind).remarks if "outlined" in r.text]
        assert bool(told) == (kind == "outlined")
    assert not any("outlined" in r.text for r in ink("high contrast").remarks)


@pytest.mark.parametrize(
    ("word", "family", "counters"), [("gaporu", "jost", 4), ("quaxe", "bitter", 3), ("syfkr", "figtree", 0)]
)
def test_a_word_in_outline_is_filled_and_keeps_its_counters(word: str, family: str, counters: int) -> None:
    strip = draw_strip(
        PLAIN, word=word, family=family, weight=600, x_height_mm=14.0, fill=Fill(style="outline"), lines=Lines(names=())
    )
    ink = ink_of(strip.absorbance, strip.lines, strip.x_height_px)
    assert len(holes_of(ink.coverage > 0.5)) == counters
    letters = letters_of(ink, Brief(word=word), strip.baseline_px, strip.x_height_px).letters
    errors = [outline_error(x, r, strip.x_height_px) for x, r in zip(letters, strip.letters, strict=True)]
    assert np.median(errors) < 8


@pytest.mark.parametrize("word", ["oben", "daedal"])
def test_hairline_letters_are_not_taken_for_outlines(word: str) -> None:
    strip = draw_strip(
        PLAIN,
        word=word,
        family="barlow",
        x_height_mm=20.0,
        hand=Hand(wobble=0.003, weight=dict.fromkeys(range(6), -0.03)),
        lines=Lines(names=()),
    )
    ink = ink_of(strip.absorbance, strip.lines, strip.x_height_px)
    assert len(holes_of(ink.coverage > 0.5)) == sum(c in "obeda" for c in word)
    assert not any("outlined" in r.text for r in ink.remarks)


@pytest.mark.parametrize("style", ["full", "half"])
def test_the_ghost_of_an_erased_first_drawing_leaves_the_letters_as_they_are(style: str) -> None:
    strip = draw_strip(PLAIN, fill=Fill(style=style))
    seen = strip.absorbance.max(axis=2)
    edges = gaussian_gradient_magnitude(seen, 2.0)
    ghost = np.roll(edges / edges.max(), (6, 12), (0, 1)) * 0.15
    erased = np.maximum(strip.absorbance, ghost[:, :, None]).astype(np.float32)
    ink_ = ink_of(erased, strip.lines, strip.x_height_px)
    letters = letters_of(ink_, Brief(word="gandrel"), strip.baseline_px, strip.x_height_px).letters
    errors = [outline_error(x, r, strip.x_height_px) for x, r in zip(letters, strip.letters, strict=True)]
    assert np.median(errors) < 7
    # On loose hatching the ghost is dark enough, against the letters, to have been taken for them.
    assert any("ghost" in r.text for r in ink_.remarks) == (style == "half")


def test_a_smudge_goes_without_the_edge_of_the_letter_beside_it() -> None:
    """A light stroke that slants past the foot of a stem: the box around it holds a part of the stem's edge."""
    y, x = np.mgrid[0:200, 0:200] + 0.5
    beside_stem = np.maximum(np.abs(x - 80.0) - 20.0, y - 100.0)
    beside_stroke = np.maximum(
        np.abs(3.0 * (x - 80.0) + 2.0 * (y - 150.0)) / np.sqrt(13.0) - 5.0, np.abs(y - 90.0) - 70.0
    )
    stem, stroke = (np.clip(0.5 - d / 4.0, 0.0, 1.0).astype(np.float32) for d in (beside_stem, beside_stroke))
    swept = sweep(stem + stroke, stem + 0.2 * stroke, 1.0, 0.0, 100.0)
    assert swept.ghosts == 1
    assert np.abs(swept.ink - stem).max() < 0.01


def test_a_clean_drawing_is_not_said_to_have_dirt() -> None:
    for kind in ("soft", "hard", "ink", "serif", "bold"):
        assert not ink(kind).remarks


def test_lines_leave_no_trace_beside_the_letters() -> None:
    for kind in ("soft", "heavy lines", "bowed lines", "coloured between blue lines"):
        away = ~truth_mask(drawn(kind), inset_px=-6)
        assert (ink(kind).coverage[away] > 0.5).mean() < 2e-4


def test_a_letter_under_a_line_keeps_its_middle() -> None:
    """A heavy line across the middle of the letters must not bite into them."""
    d = drawn("soft")
    row = d.baseline_px - 0.5 * d.x_height_px
    y = np.abs(np.arange(d.absorbance.shape[0]) + 0.5 - row)[:, None, None]
    crossed = np.where(y < 3, 1 - (1 - d.absorbance) * 0.5, d.absorbance).astype(np.float32)
    line = LineCourse(np.full(d.absorbance.shape[1], row), 3.0, 0.5, (0.0, row), (1.0, row))
    before = ink("soft").coverage > 0.5
    after = ink_of(crossed, (*d.lines, line), d.x_height_px).coverage > 0.5
    assert np.count_nonzero(before != after) < 0.01 * np.count_nonzero(before)


def test_specks_are_gone_and_said() -> None:
    assert any("speck" in r.text for r in ink("specks").remarks)


def test_it_beats_one_threshold_and_a_local_one() -> None:
    """Overlap with the drawn letters, averaged over difficult kinds, against Otsu and Sauvola on the same darkness."""
    scores: dict[str, list[float]] = {"this": [], "otsu": [], "sauvola": []}
    for kind in ("blotchy", "hard", "outlined", "specks", "smudge", "heavy lines"):
        d, true = drawn(kind), truth_mask(drawn(kind))
        grey = d.absorbance.min(axis=2)
        window = int(d.x_height_px / 3) | 1
        masks = {
            "this": ink(kind).coverage > 0.5,
            "otsu": grey > threshold_otsu(grey),
            "sauvola": 1 - grey < threshold_sauvola(1 - grey, window, k=0.2, r=0.5),
        }
        for name, mask in masks.items():
            scores[name].append(np.count_nonzero(mask & true) / np.count_nonzero(mask | true))
    means = {k: float(np.mean(v)) for k, v in scores.items()}
    assert means["this"] > 0.94
    assert means["this"] > max(means["otsu"], means["sauvola"]) + 0.1


def test_blank_paper_is_refused_in_a_sentence() -> None:
    noise = np.random.default_rng(4).normal(0.0, 0.01, (300, 900, 3)).astype(np.float32)
    with pytest.raises(PictureError, match="No lettering was seen"):
        ink_of(noise, (), 100.0)


def test_lines_alone_are_no_lettering() -> None:
    d = draw_strip(replace(PLAIN, fill=Fill(darkness=0.0)))
    with pytest.raises(PictureError, match="No lettering"):
        ink_of(d.absorbance, d.lines, d.x_height_px)


def test_a_printed_page_under_a_shadow() -> None:
    """scikit-image's `data.page()` (191 x 384, a real photograph of print under a shadow): about an eighth is ink.

    Sauvola's method gives .128; one threshold takes the shadow for ink (.357). The light is evened as a closing does.
    """
    from scipy import ndimage

    page = data.page().astype(np.float32)
    paper = ndimage.gaussian_filter(ndimage.grey_closing(page, (15, 15)), 4)
    absorbance = np.repeat(np.clip(1 - page / paper, -0.1, 1)[:, :, None], 3, axis=2)
    found = ink_of(absorbance, (), 9.0)
    assert 0.08 < float((found.coverage > 0.5).mean()) < 0.17


def test_the_same_strip_gives_the_same_ink() -> None:
    d = drawn("soft")
    again = ink_of(d.absorbance, d.lines, d.x_height_px)
    assert np.array_equal(again.coverage, ink("soft").coverage)
    assert again.edge_blur_px == ink("soft").edge_blur_px


def test_the_hand_may_tremble() -> None:
    d = draw_strip(PLAIN, hand=Hand(wobble=0.02))
    found = ink_of(d.absorbance, d.lines, d.x_height_px)
    assert len(holes_of(found.coverage > 0.5)) == sum(COUNTERS.values())


def polygon_area(rings) -> float:
    area = lambda r: 0.5 * np.sum(r[:, 0] * np.roll(r[:, 1], -1) - np.roll(r[:, 0], -1) * r[:, 1])  # noqa: E731
    return abs(float(sum(area(r) for r in rings)))


def truth_mask(d: DrawnStrip, inset_px: int = 0) -> np.ndarray:
    """The drawn letters as a mask, shrunk by `inset_px` or grown where it is negative."""
    from scipy import ndimage

    h, w = d.absorbance.shape[:2]
    mask = np.zeros((h, w), bool)
    for rings in d.letters:
        own = np.zeros((h, w), bool)
        for ring in rings:
            image = Image.new("1", (w, h))
            ImageDraw.Draw(image).polygon([tuple(p) for p in ring - 0.5], fill=1)
            own ^= np.asarray(image)
        mask |= own
    if inset_px > 0:
        return ndimage.binary_erosion(mask, iterations=inset_px)
    return ndimage.binary_dilation(mask, iterations=-inset_px) if inset_px else mask


def test_a_hollow_a_little_wider_than_a_stem_is_filled_and_a_bowl_beside_a_thick_stroke_is_not() -> None:
    """A stem 40 px thick; a leg drawn in outline, 46 px inside; a bowl as wide, between a thick stem and a thin line."""
    picture = Image.new("L", (420, 240), 0)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((20, 20, 59, 219), fill=255)
    pen.rectangle((100, 80, 157, 219), outline=255, width=6)
    pen.rectangle((200, 20, 239, 219), fill=255)
    pen.rectangle((240, 80, 291, 219), outline=255, width=6)
    pen.rectangle((340, 20, 379, 219), fill=255)
    ink = np.asarray(picture, np.float32) / 255.0
    levels = Levels(np.zeros_like(ink), np.ones_like(ink))
    settled = settle_holes(ink, ink, levels, x_height_px=200.0)
    assert len(settled.hollows) == 1
    assert settled.ink[150, 128] == 1.0
    assert settled.ink[150, 265] == 0.0
