"""The files of a comparison, and drafts as they are read back."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest
from lxml import etree, html

from tests.drafts.made import draft, files_of_study
from tests.specimens.study import font_study
from vectorize import compare
from vectorize.brief import Brief
from vectorize.curves import signed_area
from vectorize.drafts.draft import draft_from, path_contours
from vectorize.drafts.open import open_drafts
from vectorize.drafts.progress import progress_files
from vectorize.errors import BriefError, PictureError

SVG = {"s": "http://www.w3.org/2000/svg"}


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return progress_files([draft("first", {1: 150.0}), draft("second", {1: 80.0}), draft("third", {})])


def test_a_draft_is_read_back_as_it_was_drawn() -> None:
    study = font_study("mantel")
    read = draft_from("again", files_of_study(study))
    assert read.spelt == "mantel"
    left = study.letters[0].outline.box_u.x0
    for letter, again in zip(study.letters, read.letters, strict=True):
        own, other = letter.outline.box_u, again.box_u
        assert (own.x0 - left, own.y0, own.x1 - left, own.y1) == pytest.approx(
            (other.x0, other.y0, other.x1, other.y1), abs=0.1
        )
        assert [signed_area(c) > 0 for c in again.contours] == [signed_area(c) > 0 for c in letter.outline.contours]
    for pair, again in zip(study.setting.pairs, read.setting.pairs, strict=True):
        assert again.gap_ratio == pytest.approx(pair.gap_ratio, abs=2e-4)
        assert again.verdict is pair.verdict


def test_the_json_tells_every_step(files: dict[str, bytes]) -> None:
    said = json.loads(files["progress.json"])
    assert [d["name"] for d in said["drafts"]] == ["first", "second", "third"]
    assert [c["state"] for c in said["changes"]] == ["gone"]
    assert [[c["state"] for c in s["changes"]] for s in said["steps"]] == [["better"], ["gone"]]
    uneven = [d["uneven_ratio"] for d in said["drafts"]]
    assert uneven == sorted(uneven, reverse=True)


def test_the_light_box_lays_the_drafts_over_each_other(files: dict[str, bytes]) -> None:
    root = etree.fromstring(files["progress.svg"])
    shapes = root.findall(".//s:g[@id='light-box']/s:path", SVG)
    assert len(shapes) == 3 * 6
    assert {s.get("stroke-dasharray") is None for s in shapes} == {True, False}
    lines = root.findall(".//s:g[@id='light-box']/s:line", SVG)
    assert len(lines) == 2


def test_the_page_opens_offline_and_the_pdf_is_a_sheet(files: dict[str, bytes], tmp_path: Path) -> None:
    page = html.fromstring(files["progress.html"])
    assert not page.xpath("//@src | //link | //script")
    assert page.xpath("//h2/text()") == ["Gone", "In figures"]
    pdf = tmp_path / "progress.pdf"
    pdf.write_bytes(files["progress.pdf"])
    pages = pypdf.PdfReader(pdf).pages
    assert [float(v) for v in pages[0].mediabox[2:]] == pytest.approx([595.276, 841.89], abs=0.01)
    assert "Gone" in pages[-1].extract_text()


def test_the_same_drafts_give_the_same_bytes(files: dict[str, bytes]) -> None:
    again = progress_files([draft("first", {1: 150.0}), draft("second", {1: 80.0}), draft("third", {})])
    assert again == files


def test_folders_are_compared_without_reading_a_picture(tmp_path: Path) -> None:
    for name, by in (("one", 150.0), ("two", 0.0)):
        (tmp_path / name).mkdir()
        for file, data in files_of_study(font_study("mantel", changed_u={1: by})).items():
            (tmp_path / name / file).write_bytes(data)
    written = compare(tmp_path / "one", tmp_path / "two", out=tmp_path / "out")
    assert sorted(p.name for p in written) == ["progress.html", "progress.json", "progress.pdf", "progress.svg"]
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == sorted(p.name for p in written)


def test_what_cannot_be_compared_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(BriefError, match="nothing to be compared with"):
        open_drafts([tmp_path], Brief())
    with pytest.raises(PictureError, match="not written by rebuild"):
        open_drafts([tmp_path, tmp_path], Brief())
    with pytest.raises(PictureError, match="no such file"):
        open_drafts([tmp_path / "a.png", tmp_path / "b.png"], Brief())
    (tmp_path / "measures.json").write_text("[]")
    (tmp_path / "original.svg").write_text("<svg/>")
    with pytest.raises(PictureError, match="does not hold what rebuild writes"):
        open_drafts([tmp_path, tmp_path], Brief())


def test_paths_of_other_commands_are_refused() -> None:
    assert len(path_contours("M0 0L10 0L10 10ZM2 2C2 3 3 3 3 2Z")) == 2
    with pytest.raises(ValueError, match="path command"):
        path_contours("M0 0A5 5 0 0 1 10 0Z")


def without(measures: bytes, *keys: str) -> bytes:
    return json.dumps({k: v for k, v in json.loads(measures).items() if k not in keys}).encode()


@pytest.mark.parametrize(
    "damage",
    [
        lambda m, s: (m, s.replace(b'id="baseline"', b'id="another"')),
        lambda m, s: (re.sub(rb'"x_height_mm": [0-9.]+', b'"x_height_mm": 0', m), s),
        lambda m, s: (m, re.sub(rb' d="[^"]*"', b' d="M Z"', s)),
        lambda m, s: (m, re.sub(rb' d="[^"]*"', b' d=""', s)),
        lambda m, s: (m, s.replace(b'id="letters"', b'id="others"')),
        lambda m, s: (without(m, "pairs"), s),
        lambda m, s: (without(m, "made_from"), s),
        lambda m, s: (b"[" * 100_000, s),
        lambda m, s: (m, b"no drawing"),
    ],
)
def test_a_folder_that_another_hand_changed_is_told(damage: Callable[[bytes, bytes], tuple[bytes, bytes]]) -> None:
    files = files_of_study(font_study("mantel"))
    before = files["measures.json"], files["original.svg"]
    measures, drawing = damage(*before)
    assert (measures, drawing) != before
    with pytest.raises(PictureError, match="does not hold what rebuild writes"):
        draft_from("one", {"measures.json": measures, "original.svg": drawing})
