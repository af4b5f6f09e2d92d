"""Every SVG, HTML and JSON file that is written, by the judgement of the W3C's own tools.

The Nu HTML checker (npm vnu-jar, fetched by `.ci/run` into .cache/vnu, run by Java) looks at SVG and HTML; the DTD of SVG 1.1
(Debian's w3c-sgml-lib) at SVG without what came after it (aria, data, role); jsonschema at JSON (Draft 2020-12).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest
from lxml import etree

import vectorize.desk
from tests.specimens.study import font_study, some_findings
from tests.specimens.typeset import font_path
from tests.write.made import made
from vectorize.api import compare, guidelines
from vectorize.batch.pin_up import write_pin_up
from vectorize.model.font import read_font_model
from vectorize.write.folder import files_of, write_folder
from vectorize.write.schema import schema

CHECKER = Path(__file__).parents[2] / ".cache/vnu/node_modules/vnu-jar/build/dist/vnu.jar"
DTD = Path("/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd")
PLANTED = {
    "planted.svg": b'<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm"><layer/></svg>',
    "planted.html": b'<!DOCTYPE html><html lang="en"><head><title>a</title></head><body><div id="a"></div><p id="a"></p></body></html>',
}


def needed(what: str, *, there: bool) -> None:
    """Skip where a tool is missing, but never in CI."""
    if not there and not os.environ.get("CI"):
        pytest.skip(what)


@pytest.fixture(scope="module")
def written(tmp_path_factory) -> Path:
    """A folder of everything: results of several words, one with a model, drafts compared, the wall, ruled paper, the desk."""
    out = tmp_path_factory.mktemp("all")
    for name, text in (("first", "mantel"), ("two words", "in two"), ("one letter", "a"), ("capitals", "HOLD")):
        write_folder(out, name, made(text)[1])
    study = replace(font_study("mantel", changed_u={}), model=read_font_model(font_path("lora"), "mantel"))
    study = replace(study, picture=replace(study.picture, digest="6" * 64))
    write_folder(out, 'with "model" & <signs>', files_of(study, some_findings(study)))
    compare(out / "first", out / 'with "model" & <signs>', out=out)
    write_pin_up(out, [p for p in out.iterdir() if p.is_dir()])
    guidelines(x_height_mm=18, slant_deg=10, tails=True, out=out)
    shutil.copytree(Path(vectorize.desk.__file__).parent / "static", out / "desk")
    return out


def checked(folder: Path) -> tuple[int, list[str]]:
    """The checker's exit status and what it found fault with."""
    java = shutil.which("java")
    needed("no Java is installed (apt-get install default-jre-headless)", there=java is not None)
    needed("the Nu checker is not there (npm install --prefix .cache/vnu vnu-jar)", there=CHECKER.exists())
    files = sorted(str(p) for p in folder.rglob("*") if p.suffix in {".svg", ".html"})
    assert files
    options = ["--also-check-svg", "--errors-only", "--format", "json"]
    done = subprocess.run(
        [str(java), "-Xss32m", "-XX:TieredStopAtLevel=1", "-jar", str(CHECKER), *options, *files],
        capture_output=True,
        check=False,
    )
    # A checker that fails says so in plain words.
    assert done.stderr.startswith(b"{"), done.stderr[:500]
    return done.returncode, [f"{m.get('url', '')}: {m['message']}" for m in json.loads(done.stderr)["messages"]]


def test_the_nu_checker_finds_no_fault_in_any_page_or_drawing(written):
    assert checked(written) == (0, [])


def test_the_nu_checker_finds_planted_faults(tmp_path):
    for name, data in PLANTED.items():
        (tmp_path / name).write_bytes(data)
    status, found = checked(tmp_path)
    assert status != 0
    assert all(any(name in said for said in found) for name in PLANTED)


@pytest.fixture(scope="module")
def svg11() -> etree.DTD:
    needed("the DTD of SVG 1.1 is not there (apt-get install w3c-sgml-lib)", there=DTD.exists())
    return etree.DTD(str(DTD))


def test_every_drawing_is_valid_svg_1_1_but_for_what_came_after_it(written, svg11):
    drawings = [p for p in written.rglob("*.svg") if p.parent.name != "desk"]
    assert len(drawings) > 15
    for path in drawings:
        tree = etree.parse(path).getroot()
        for element in tree.iter(etree.Element):
            for name in list(element.attrib):
                if name == "role" or name.startswith(("aria-", "data-")):
                    del element.attrib[name]
        assert svg11.validate(tree), (path, svg11.error_log.filter_from_errors())


def test_the_dtd_finds_a_planted_fault(svg11):
    svg = etree.fromstring(b'<svg xmlns="http://www.w3.org/2000/svg"><g><layer/></g></svg>')
    assert not svg11.validate(svg)


def test_every_measures_file_is_valid_under_its_schema(written):
    jsonschema.Draft202012Validator.check_schema(schema())
    files = list(written.rglob("measures.json"))
    assert len(files) == 5
    for path in files:
        jsonschema.Draft202012Validator(schema()).validate(json.loads(path.read_text(encoding="utf-8")))
