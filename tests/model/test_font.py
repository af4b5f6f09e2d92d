"""Model fonts: outlines and spacing against HarfBuzz and shapely, kinds of files, and refusals."""

from __future__ import annotations

import io
from itertools import pairwise

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables._k_e_r_n import KernTable_format_0

from tests.anatomy.shapes import font_shape
from tests.specimens.typeset import font_path, outline_word
from vectorize.curves import box, polygon, signed_area
from vectorize.errors import ModelError
from vectorize.model.font import is_font, read_font_model
from vectorize.model.proportions import font_proportions, word_contours
from vectorize.model.records import ModelSource
from vectorize.model.union import united


@pytest.mark.parametrize("family", ["lora", "lato"])
@pytest.mark.parametrize("word", ["LAVATOR", "hamburg", "Type two"])
def test_gaps_as_harfbuzz_sets_them(family, word):
    model = read_font_model(font_path(family), word)
    letters = outline_word(font_path(family), word)
    gaps = [(b.box_u.x0 - a.box_u.x1) / 1000 for a, b in pairwise(letters)]
    assert model.kerned
    assert list(model.gap_ratios) == pytest.approx(gaps, abs=0.002)


@pytest.mark.parametrize("family", ["lora", "lato"])
def test_overlaps_are_gone_and_the_ink_is_what_shapely_finds(family):
    for letter in read_font_model(font_path(family), "aebdgR").letters:
        area = sum(signed_area(c) for c in letter.outline.contours)
        assert area == pytest.approx(font_shape(family, letter.name).area, rel=0.003)


def test_crossing_and_nested_contours_become_one_edge():
    upright = polygon([(0, 0), (100, 0), (100, 500), (0, 500)])
    level = polygon([(-100, 200), (200, 200), (200, 300), (-100, 300)])
    (cross,) = united([upright, level])
    assert signed_area(cross) == pytest.approx(100 * 500 + 300 * 100 - 100 * 100)
    inner = polygon([(20, 20), (60, 20), (60, 60), (20, 60)])
    assert [round(signed_area(c)) for c in united([upright, inner])] == [50000]
    beside = polygon([(100, 0), (200, 0), (200, 500), (100, 500)])
    assert sum(signed_area(c) for c in united([upright, beside])) == pytest.approx(100000)


def test_contours_without_overlap_stay_the_beziers_they_are():
    assert any(
        len(c.segments) < 12 for x in read_font_model(font_path("lato"), "o").letters for c in x.outline.contours
    )


@pytest.mark.parametrize("flavor", [None, "woff", "woff2"])
def test_every_kind_of_file_gives_the_same_letters(flavor):
    font = TTFont(font_path("lato"))
    font.flavor = flavor
    out = io.BytesIO()
    font.save(out)
    assert is_font(out.getvalue())
    model = read_font_model(out.getvalue(), "on")
    plain = read_font_model(font_path("lato"), "on")
    assert model.source is ModelSource.FONT
    assert model.gap_ratios == pytest.approx(plain.gap_ratios)
    assert model.letters[0].anatomy.stem_ratio == plain.letters[0].anatomy.stem_ratio
    assert model.letters[1].anatomy.stem_ratio == pytest.approx(plain.letters[1].anatomy.stem_ratio)


def cff_font(*, with_x=True, empty=""):
    """A font of square letters with PostScript outlines and no kerning."""
    names = [".notdef", "x", "l"] if with_x else [".notdef", "l"]
    builder = FontBuilder(1000, isTTF=False)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(n): n for n in names[1:]})
    strings = {}
    for name, top in ((".notdef", 500), ("x", 500), ("l", 700)):
        pen = T2CharStringPen(600, None)
        if name != empty:
            pen.moveTo((100, 0))
            for p in ((200, 0), (200, top), (100, top)):
                pen.lineTo(p)
            pen.closePath()
        strings[name] = pen.getCharString()
    builder.setupCFF("Plain", {}, {n: strings[n] for n in names}, {})
    builder.setupHorizontalMetrics(dict.fromkeys(names, (600, 100)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Plain", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    out = io.BytesIO()
    builder.save(out)
    return out.getvalue()


def test_postscript_outlines_and_a_font_without_kerning():
    model = read_font_model(cff_font(), "ll")
    assert model.letters[0].outline.box_u.height == pytest.approx(1400)
    assert model.gap_ratios == pytest.approx([1.0])
    assert not model.kerned
    assert "no kerning" in model.remarks[0].text


@pytest.mark.parametrize(
    ("family", "weight"), [("bitter", 100), ("source-sans-3", 200), ("inter", 400), ("lato", None)]
)
def test_a_variable_font_stands_at_its_default_and_says_so_where_that_is_no_text_weight(family, weight):
    # The default as fontTools reads it from 'fvar'; outlines of the default instance as shapely sums them.
    font = TTFont(font_path(family))
    default = next((a.defaultValue for a in font["fvar"].axes if a.axisTag == "wght"), None) if "fvar" in font else None
    assert default == weight
    model = read_font_model(font_path(family), "on")
    assert model.weight == weight
    told = [f.text for f in model.remarks if "many weights" in f.text]
    assert bool(told) == (weight is not None and weight < 350)
    assert all(f"default, {weight}" in text for text in told)
    ink = sum(signed_area(c) for c in model.letters[0].outline.contours)
    assert ink == pytest.approx(font_shape(family, "o", weight).area if weight else ink, rel=0.004)


def test_letters_the_font_does_not_have_are_told_and_left_out():
    model = read_font_model(cff_font(), "xyl")
    assert [x.name if x else None for x in model.letters] == ["x", None, "l"]
    assert model.gap_ratios == (None, None)
    assert "has no y" in model.remarks[0].text


def test_pairs_of_the_old_kern_table_count_where_there_are_no_others():
    font = TTFont(io.BytesIO(cff_font()))
    pairs = KernTable_format_0()
    pairs.coverage, pairs.apple, pairs.kernTable = 1, False, {("x", "l"): -50}
    font["kern"] = newTable("kern")
    font["kern"].version, font["kern"].kernTables = 0, [pairs]
    out = io.BytesIO()
    font.save(out)
    model = read_font_model(out.getvalue(), "xll")
    assert model.kerned
    assert model.gap_ratios == pytest.approx([0.9, 1.0])


@pytest.mark.parametrize("family", ["lora", "lato"])
def test_proportions_are_those_of_the_outlines_as_shapely_finds_them(family):
    own = font_proportions(font_path(family))
    assert own.name == "Lora" if family == "lora" else own.name.startswith("Lato")
    assert 1000.0 * own.cap_ratio == pytest.approx(font_shape(family, "H").bounds[3], abs=2.0)
    assert 1000.0 * own.ascender_ratio == pytest.approx(font_shape(family, "d").bounds[3], abs=2.0)
    assert 1000.0 * own.descender_ratio == pytest.approx(font_shape(family, "p").bounds[1], abs=2.0)


def test_a_word_is_set_whole_or_the_missing_letter_named(tmp_path):
    contours = word_contours(font_path("lato"), "no on")
    truth = outline_word(font_path("lato"), "no on")
    assert box(contours).width == pytest.approx(truth[-1].box_u.x1 - truth[0].box_u.x0, abs=2.0)
    path = tmp_path / "plain.otf"
    path.write_bytes(cff_font())
    with pytest.raises(ModelError, match="has no q"):
        word_contours(path, "lql")


def test_a_letter_that_the_font_leaves_empty_is_told_like_one_it_does_not_have():
    model = read_font_model(cff_font(empty="l"), "xl")
    assert model.letters[1] is None
    assert "has no l" in model.remarks[0].text


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "cannot be read"),
        (b"OTTO" + bytes(200), "cannot be read"),
        (b"wOF2" + bytes(60), "cannot be read"),
        (b"\x00\x01\x00\x00\xff\xff" + bytes(40), "cannot be read"),
        (cff_font()[:600], "cannot be read"),
        (cff_font(with_x=False), "x-height is unknown"),
    ],
)
def test_fonts_that_cannot_be_used_are_refused_in_a_sentence(data, said):
    with pytest.raises(ModelError, match=said) as refusal:
        read_font_model(data, "l")
    assert str(refusal.value).endswith(".")


def test_none_of_the_letters_and_no_such_file(tmp_path):
    with pytest.raises(ModelError, match="none of the word's letters"):
        read_font_model(cff_font(), "qq")
    with pytest.raises(ModelError, match="cannot be opened"):
        read_font_model(tmp_path / "gone.ttf", "l")
