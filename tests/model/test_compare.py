"""A drawn letter beside its model: what differs, where, and what the trade calls the place; pictures as models; the sheet."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from shapely.geometry import box as rectangle

from tests.anatomy.shapes import font_shape, outline_of
from tests.critique.drawn import Drawing, outlines, study
from tests.specimens.recipe import Hand
from tests.specimens.typeset import font_path, outline_word
from vectorize.anatomy.measure import measure
from vectorize.brief import Brief
from vectorize.critique import model as check
from vectorize.errors import ModelError, PictureError
from vectorize.findings import Severity
from vectorize.flow import model_of
from vectorize.model.compare import compare, partners
from vectorize.model.font import read_font_model
from vectorize.model.picture import read_model, read_picture_model
from vectorize.model.records import Model, ModelLetter, ModelSource
from vectorize.sheets.drawing import Label, Shape, walk
from vectorize.sheets.model import compared
from vectorize.trade.parts import CAPITAL_PARTS, PARTS, part_of


def as_model(word, family, weight=400):
    """The model as designed, of the weight that drawings of the tests follow."""
    letters = outlines(Drawing(word, family, weight, Hand(wobble=0.0)))
    return Model(
        family,
        ModelSource.PICTURE,
        word,
        tuple(ModelLetter(i, o.name, o, measure(o, None, None)) for i, o in enumerate(letters)),
        (0.2,) * (len(letters) - 1),
        kerned=True,
    )


def sheet_of(s):
    """The model sheet with what the check says."""
    return compared(s, check.check(s))


@pytest.mark.parametrize("family", ["source-sans-3", "lora"])
def test_a_careful_drawing_follows_its_model(family):
    s = replace(study(Drawing("hamburg", family)), model=as_model("hamburg", family))
    assert not [f for f in check.check(s) if f.severity in {Severity.LOOK_AGAIN, Severity.FIX}]
    assert "follow" in check.check(s)[0].text


def test_a_cut_tail_is_named_as_the_tail_of_the_a():
    whole = font_shape("source-sans-3", "t")
    x0, y0, x1, _ = whole.bounds
    cut = whole.difference(rectangle(x0 + 0.72 * (x1 - x0), y0 - 10, x1 + 10, 300))
    own = outline_of(cut, "t")
    model = ModelLetter(0, "t", outline_of(whole, "t"), measure(outline_of(whole, "t"), None, None))
    departure = compare(own, measure(own, None, None), model)
    assert departure.part == "tail"
    assert not departure.laid.outside
    assert departure.laid.greatest_u > 50


def test_a_heavier_word_is_told_once_and_not_letter_by_letter():
    hand = Hand(weight=dict.fromkeys(range(6), 0.018))
    s = replace(study(Drawing("mundli", "source-sans-3", hand=hand)), model=as_model("mundli", "source-sans-3"))
    texts = [f.text for f in check.check(s)]
    assert sum("all through the word" in t for t in texts) == 1
    assert not any(t.startswith("The stem of") for t in texts)


@pytest.mark.parametrize("hand", [Hand(wobble=0.0, weight={0: 0.03}), Hand(wobble=0.0, lean={0: 6.0})])
def test_of_two_letters_the_one_that_departs_says_nothing_of_the_other(hand):
    s = replace(study(Drawing("li", "source-sans-3", hand=hand)), model=as_model("li", "source-sans-3"))
    assert {f.letters for f in check.check(s) if f.severity is not Severity.HOLDS} == {(1,)}


def test_beside_a_model_of_another_weight_only_the_slant_is_compared():
    s = study(Drawing("mundli", "source-sans-3", hand=Hand(lean={1: 6.0})))
    thin = read_font_model(font_path("source-sans-3"), "mundli")
    assert thin.weight == 200
    found = check.check(replace(s, model=thin))
    (stems,) = [f for f in found if "another weight" in f.text and "stems are" in f.text]
    assert stems.severity is Severity.NOTE
    assert "default of 200" in stems.text
    letters = [f for f in found if len(f.letters) == 1]
    assert [f.letters for f in letters] == [(2,)]
    assert "leans" in letters[0].text
    assert not any("closely" in f.text for f in found)
    assert "another weight" in sheet_of(replace(s, model=thin)).letters[0].text


def test_a_wider_letter_is_named_with_its_figure():
    s = replace(study(Drawing("onion", "lora", stretch={1: 1.2})), model=as_model("onion", "lora"))
    found = {f.letters: f for f in check.check(s) if f.severity is not Severity.HOLDS}
    assert "wider" in found[(2,)].text
    assert found[(2,)].place_u is not None


def test_letters_find_their_partners_when_one_is_missing():
    model = as_model("garten", "lora")
    assert [m.name for m in partners(list("garten"), model)] == list("garten")
    assert [m.name if m else None for m in partners(list("grten"), model)] == list("grten")
    assert partners([None] * 4, model) == (None,) * 4


def test_every_letter_has_names_for_its_parts_and_every_edge_of_it_lies_in_one():
    assert set(PARTS) == set("abcdefghijklmnopqrstuvwxyz")
    assert set(CAPITAL_PARTS) >= set("ABCDEFGHKLMNPRSTUVZ")
    for name in "anrtgheo":
        o = outline_word(font_path("source-sans-3"), name)[0]
        b = o.box_u
        nodes = [p for c in o.contours for p in c.nodes]
        named = [part_of(name, (x - b.x0) / b.width, y / 1000, b.y1 / 1000) for x, y in nodes]
        assert sum(n is not None for n in named) >= 0.9 * len(named)
    assert part_of("§", 0.5, 0.5, 1.0) is None


def test_a_picture_is_read_by_the_stages_that_it_is_given():
    drawn = outline_word(font_path("lora"), "garten")
    model = read_picture_model(b"picture", "specimen.png", "garten", lambda *_: drawn)
    assert model.source is ModelSource.PICTURE
    assert [x.name for x in model.letters] == list("garten")
    assert not model.remarks
    short = read_picture_model(b"picture", "specimen.png", "gartens", lambda *_: drawn)
    assert "shows 6 letters where the word has 7" in short.remarks[0].text


def test_a_specimen_of_another_word_is_told_and_not_compared():
    s = study(Drawing("mantel", "lora"))
    for other in ("horizo", "wedigy"):
        wrong = replace(s, model=as_model(other, "lora"))
        (told,) = [f for f in check.check(wrong) if f.severity is not Severity.NOTE]
        assert "does not seem to show the word mantel" in told.text
        assert sheet_of(wrong) is None
    # A rough drawing of the same word, and the word in another typeface, are still compared.
    for drawing in (
        Drawing("mantel", "lora", hand=Hand(wobble=0.02, lean=dict.fromkeys(range(6), 6.0))),
        Drawing("mantel", "source-sans-3"),
    ):
        assert sheet_of(replace(study(drawing), model=as_model("mantel", "lora"))) is not None


def printed(word):
    """A scan of the word printed in Lora, 300 dpi, as black as a printer makes it; no guidelines."""
    type_face = ImageFont.truetype(str(font_path("lora")), 330)
    page = Image.new("L", (int(type_face.getlength(word)) + 500, 800), 246)
    ImageDraw.Draw(page).text((250, 150), word, font=type_face, fill=18)
    out = io.BytesIO()
    page.filter(ImageFilter.GaussianBlur(1.2)).save(out, "PNG", dpi=(300, 300))
    return out.getvalue()


def test_a_scan_of_the_printed_word_gives_what_the_font_gives(tmp_path):
    # Against the outlines that fontTools reads from the same font; a printed edge is read to a few units.
    path = tmp_path / "specimen.png"
    path.write_bytes(printed("garlon"))
    model = model_of(Brief(word="garlon", model=path))
    truth = read_font_model(font_path("lora"), "garlon")
    assert [x.name for x in model.letters] == list("garlon")
    assert not model.remarks
    for seen, known in zip(model.letters, truth.letters, strict=True):
        assert seen.outline.box_u.width == pytest.approx(known.outline.box_u.width, abs=15.0)
        assert len(seen.anatomy.counters) == len(known.anatomy.counters)
    assert model.gap_ratios == pytest.approx(truth.gap_ratios, abs=0.015)
    s = replace(study(Drawing("garlon", "lora")), model=model)
    assert not [f for f in check.check(s) if f.severity is Severity.FIX]


def test_a_scan_of_too_short_a_word_is_told(tmp_path):
    path = tmp_path / "specimen.png"
    path.write_bytes(printed("garl"))
    model = model_of(Brief(word="garlon", model=path))
    assert "shows 4 letters where the word has 6" in model.remarks[0].text


def test_refusals_of_models(tmp_path):
    def refuse(*_):
        raise PictureError("No drawing was seen.")

    picture = tmp_path / "specimen.png"
    picture.write_bytes(b"no font")
    with pytest.raises(ModelError, match=r"model picture cannot be used\. No drawing was seen"):
        read_model(picture, "garten", refuse)
    with pytest.raises(ModelError, match="the word is needed"):
        read_model(font_path("lora"), None, refuse)
    with pytest.raises(ModelError, match="cannot be opened"):
        read_model(tmp_path / "gone.png", "garten", refuse)


def test_the_sheet_shows_every_letter_and_both_spacings():
    s = study(Drawing("mantel", "lora", hand=Hand(lean={2: 5.0})))
    assert sheet_of(s) is None
    s = replace(s, model=read_font_model(font_path("lora"), "mantel"))
    sheet = sheet_of(s)
    assert [x.name for x in sheet.letters] == list("mantel")
    assert {"The model in its own spacing", "The drawn letters by the area rule"} <= {d.title for d in sheet.settings}
    for page in (*(x.figure for x in sheet.letters), *sheet.settings):
        for item in walk(page.items):
            if isinstance(item, Label):
                assert 0 < item.at[0] < page.width_mm
                assert 0 < item.at[1] < page.height_mm


def test_every_letter_is_told_where_it_departs_most_and_has_its_figures_beside_the_models():
    s = study(Drawing("mantel", "lora", hand=Hand(lean={2: 5.0})))
    s = replace(s, model=read_font_model(font_path("lora"), "mantel"))
    sheet = sheet_of(s)
    for letter, drawn in zip(sheet.letters, s.letters, strict=True):
        said = f"{letter.text} {letter.furthest or ''}"
        assert "of the x-height" in said, said
        assert any(f"{part} " in said for part, *_ in PARTS[drawn.name]) or " at the " in said
        rings = [i for i in walk(letter.figure.items) if isinstance(i, Shape) and i.title == "departs most here"]
        assert len(rings) == 1
    heads, rows, widths = sheet.figures
    assert len(heads) == len(widths)
    model = dict(zip("mantel", s.model.letters, strict=True))
    for row in rows:
        assert row[2].endswith(
            f"/ {100.0 * model[row[0]].anatomy.stem_ratio:.0f}" if model[row[0]].anatomy.stem_ratio else "–"
        )


def test_a_specimen_is_not_said_to_have_advances():
    s = study(Drawing("mantel", "lora"))
    assert "as it was printed" in sheet_of(replace(s, model=as_model("mantel", "lora"))).spacing
    font = sheet_of(replace(s, model=read_font_model(font_path("lora"), "mantel")))
    assert "advances and kerning" in font.spacing
