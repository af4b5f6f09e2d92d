"""What others read from a result: layers, ids, paths and lines of the SVG files, and measures.json, by independent readers."""

from __future__ import annotations

import json
import re

import jsonschema
import pytest
from lxml import html as lxml_html

from tests.write.made import LAYERS, SVG, box, letters, line, made, points, root
from vectorize.write.folder import FILES
from vectorize.write.schema import schema

WORDS = [("mantel", "lato"), ("in two", "lora"), ("Ego", "source-serif-4"), ("LANT", "overpass")]
DRAWINGS = ["original.svg", "corrected.svg", "comparison.svg"]


def layers_of(tree, prefix=""):
    parent = tree if not prefix else next(g for g in tree.findall(f"{SVG}g") if g.get("id") == prefix[:-1])
    return {g.get("id").removeprefix(prefix): g for g in parent.findall(f"{SVG}g")}


def parts(files):
    """(tree, prefix) of the four words that are drawn in the three SVG files."""
    comparison = root(files["comparison.svg"])
    return [
        (root(files["original.svg"]), ""),
        (root(files["corrected.svg"]), ""),
        (comparison, "original-"),
        (comparison, "corrected-"),
    ]


@pytest.mark.parametrize("word", WORDS)
def test_all_files_are_there_and_are_not_empty(word):
    _, files = made(*word)
    assert set(files) == set(FILES)
    assert all(files.values())


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_page_is_in_mm_and_its_unit_is_one_mm(name):
    tree = root(made()[1][name])
    width, height = (float(re.fullmatch(r"([\d.]+)mm", tree.get(k)).group(1)) for k in ("width", "height"))
    assert tree.get("viewBox").split() == ["0", "0", *(f"{v:g}" if v == int(v) else str(v) for v in (width, height))]


@pytest.mark.parametrize("name", DRAWINGS)
def test_no_private_namespace_no_script_no_outside_address_and_every_id_once(name):
    tree = root(made()[1][name])
    spaces = {v for e in tree.iter() for v in e.nsmap.values()}
    assert spaces <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
    ids = [e.get("id") for e in tree.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert not tree.findall(f".//{SVG}script")
    links = [v for e in tree.iter() for k, v in e.attrib.items() if k.endswith("href")]
    assert all(v.startswith(("data:image/", "#")) for v in links)


@pytest.mark.parametrize("word", WORDS)
def test_the_five_layers_are_named_for_people(word):
    for tree, prefix in parts(made(*word)[1]):
        layers = layers_of(tree, prefix)
        assert tuple(layers) == LAYERS
        for layer in layers.values():
            assert layer.get("role") == "group"
            assert layer.find(f"{SVG}title").text == layer.get("aria-label")


@pytest.mark.parametrize("word", WORDS)
def test_letters_are_plain_absolute_paths_in_reading_order(word):
    names = word[0].replace(" ", "")
    for tree, prefix in parts(made(*word)[1]):
        paths = letters(tree, prefix)
        assert [p.get("id") for p in paths] == [f"{prefix}letter-{i:02d}" for i in range(1, len(names) + 1)]
        assert [p.get("data-letter") for p in paths] == list(names)
        for path in paths:
            assert re.fullmatch(r"(M-?[\d.]+ -?[\d.]+([LC]-?[\d.]+( -?[\d.]+)+)*Z ?)+", path.get("d"))
            assert all(e.get("transform") is None for e in (path, *path.iterancestors()))


def test_without_a_word_letters_have_no_names():
    study, files = made("mantel", named=False)
    assert all("data-letter" not in p.attrib for t, prefix in parts(files) for p in letters(t, prefix))
    assert [x["letter"] for x in json.loads(files["measures.json"])["letters"]] == [None] * len(study.letters)


@pytest.mark.parametrize("word", WORDS)
def test_a_corrected_letter_is_the_drawn_one_moved_along_the_line(word):
    study, files = made(*word)
    original, corrected = root(files["original.svg"]), root(files["corrected.svg"])
    for a, b, move in zip(letters(original), letters(corrected), study.setting.moves_u, strict=True):
        p, q = points(a), points(b)
        assert re.sub(r"[-\d. ]", "", a.get("d")) == re.sub(r"[-\d. ]", "", b.get("d"))
        dx = move * study.scale.mm_per_unit
        assert max(abs(v - u - dx) for u, v in zip(p[::2], q[::2], strict=True)) < 2e-4
        assert max(abs(v - u) for u, v in zip(p[1::2], q[1::2], strict=True)) < 2e-4


@pytest.mark.parametrize("word", WORDS)
def test_the_corrected_lines_are_level_and_the_x_height_apart(word):
    study, files = made(*word)
    for tree, prefix in parts(files)[1::2]:
        base, mean = line(tree, f"{prefix}baseline"), line(tree, f"{prefix}mean-line")
        assert base[1] == base[3]
        assert mean[1] == mean[3]
        assert base[1] - mean[1] == pytest.approx(study.scale.x_height_mm, abs=2e-4)


def test_a_line_that_is_unknown_has_no_element():
    tree = root(made()[1]["corrected.svg"])
    assert {e.get("id") for e in tree.iter(f"{SVG}line")} == {"baseline", "mean-line", "cap-line"}


def test_only_the_drawn_word_has_a_picture_and_it_is_in_the_sketch():
    files = made()[1]
    assert not root(files["corrected.svg"]).findall(f".//{SVG}image")
    for tree, prefix in (parts(files)[0], parts(files)[2]):
        (image,) = tree.findall(f".//{SVG}image")
        assert image.getparent().get("id") == f"{prefix}sketch"
    assert len(files["comparison.svg"]) < 1_000_000


def test_the_schema_is_one_and_the_measures_keep_it():
    jsonschema.Draft202012Validator.check_schema(schema())
    for word in WORDS:
        jsonschema.validate(json.loads(made(*word)[1]["measures.json"]), schema())


def test_the_schema_refuses_what_is_missing_or_misspelt():
    values = json.loads(made()[1]["measures.json"])
    for damage in (
        lambda v: v["pairs"][0].pop("verdict"),
        lambda v: v["level"].update(source="guessed"),
        lambda v: v["letters"][0].update(box_px=[1, 2, 3]),
        lambda v: v["findings"][0].update(severity="bad"),
    ):
        copy = json.loads(json.dumps(values))
        damage(copy)
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(copy, schema())


@pytest.mark.parametrize("word", WORDS)
def test_what_the_measures_say_is_what_is_drawn(word):
    study, files = made(*word)
    values = json.loads(files["measures.json"])
    mm = study.scale.x_height_mm
    for key, name in (("gap_ratio", "original.svg"), ("target_ratio", "corrected.svg")):
        boxes = [box(p) for p in letters(root(files[name]))]
        for pair in values["pairs"]:
            drawn = (boxes[pair["right"] - 1][0] - boxes[pair["left"] - 1][1]) / mm
            assert pair[key] == pytest.approx(drawn, abs=1e-4)
    for letter, outline, path in zip(
        values["letters"], study.letters, letters(root(files["original.svg"])), strict=True
    ):
        contours = re.findall(r"M[^Z]*", path.get("d"))
        assert letter["nodes"] == sum(len(set(_ends(c))) for c in contours)
        assert len(letter["counters"]) == len(outline.outline.counters)
        assert len(contours) >= 1 + len(letter["counters"])


def _ends(contour):
    """On-curve points of a contour: the last pair of numbers after each letter."""
    return [tuple(re.findall(r"-?[\d.]+", part)[-2:]) for part in re.findall(r"[MLC][^MLC]*", contour)]


def test_pairs_are_one_fewer_than_letters_and_a_word_space_is_left_alone():
    values = json.loads(made("in two", "lora")[1]["measures.json"])
    assert len(values["pairs"]) == len(values["letters"]) - 1
    (gap,) = [p for p in values["pairs"] if p["kind"] == "word-space"]
    assert gap["verdict"] is None
    assert gap["target_ratio"] == pytest.approx(gap["gap_ratio"], abs=1e-6)


def test_the_page_on_the_screen_reaches_for_nothing_and_its_links_lead_somewhere():
    data = made()[1]["proof.html"].decode()
    assert not re.search(r"""(src|href)\s*=\s*["']?(https?:)?//""", data)
    assert not re.search(r"@import|url\((?!data:)", data)
    tree = lxml_html.fromstring(data.encode())
    ids = [e.get("id") for e in tree.iter() if isinstance(e.tag, str) and e.get("id")]
    assert len(ids) == len(set(ids))
    links = [v for e in tree.iter("a") for k, v in e.attrib.items() if k.endswith("href")]
    assert links
    assert all(v[1:] in ids for v in links if not v.startswith("data:"))
