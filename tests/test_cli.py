"""The command line: what goes to stdout and stderr, the exit status, and names of every kind."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from vectorize import __version__
from vectorize.cli import main
from vectorize.write.folder import FILES

SAMPLE = Path(__file__).parents[1] / "samples" / "scan-hinnel.jpg"


def run(*words: object, cwd: Path | None = None):
    before = Path.cwd()
    os.chdir(cwd or before)
    try:
        return CliRunner().invoke(main, [str(w) for w in words])
    finally:
        os.chdir(before)


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """One picture rebuilt beside one that is none, the second under a name with control characters."""
    folder = tmp_path_factory.mktemp("run")
    picture = shutil.copy(SAMPLE, folder / "-dash.jpg")
    bad = folder / "two\nlines\x1b[31m.jpg"
    bad.write_text("milk, eggs")
    seen = Path(picture).read_bytes()
    result = run("rebuild", "--word", "hinnel", "--out", folder / "out", "--workers", "1", "--", picture, bad)
    assert Path(picture).read_bytes() == seen
    return folder, result


def test_the_good_picture_is_done_beside_a_bad_one(done):
    folder, result = done
    assert result.exit_code == 1
    assert result.stdout.splitlines() == [str(folder / "out" / "-dash")]
    assert {p.name for p in (folder / "out" / "-dash").iterdir()} == set(FILES)


def test_the_bad_one_is_told_in_one_line_without_control_characters(done):
    _, result = done
    (line,) = result.stderr.splitlines()
    assert line.startswith("two\\nlines\\x1b[31m.jpg: ")
    assert line.isprintable()
    assert "Traceback" not in result.output


def test_the_measures_keep_the_printed_schema(done):
    folder, _ = done
    printed = json.loads(run("schema").stdout)
    jsonschema.validate(json.loads((folder / "out" / "-dash" / "measures.json").read_bytes()), printed)


def test_the_same_picture_gives_the_same_bytes_in_the_same_folder(done):
    folder, _ = done
    first = {n: (folder / "out" / "-dash" / n).read_bytes() for n in FILES}
    result = run("rebuild", "--word", "hinnel", "--out", "out", "--", "-dash.jpg", cwd=folder)
    assert result.exit_code == 0, result.output
    assert {n: (folder / "out" / "-dash" / n).read_bytes() for n in FILES} == first


@pytest.mark.parametrize(
    "words",
    [
        ["rebuild"],
        ["rebuild", "sheet.jpg", "--colour", "red"],
        ["rebuild", "sheet.jpg", "--x-height", "-3"],
        ["rebuild", "sheet.jpg", "--x-height", "nan"],
        ["rebuild", "sheet.jpg", "--word", " "],
        ["rebuild", "sheet.jpg", "--page", "0"],
        ["rebuild", "sheet.jpg", "--model", "there is no such font.otf"],
        ["frobnicate"],
    ],
    ids=" ".join,
)
def test_wrong_use_is_status_2_and_said(words, tmp_path):
    result = run(*words, cwd=tmp_path)
    assert result.exit_code == 2
    assert result.stderr.strip()
    assert not result.stdout
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("name", ["missing.jpg", "folder.jpg", "empty.jpg"])
def test_a_picture_that_cannot_be_used_is_status_1_and_nothing_is_written(name, tmp_path):
    (tmp_path / "folder.jpg").mkdir()
    (tmp_path / "empty.jpg").touch()
    result = run("rebuild", tmp_path / name, "--out", tmp_path / "out")
    assert result.exit_code == 1
    (line,) = result.stderr.splitlines()
    assert len(line) > 30
    assert not (tmp_path / "out").exists()


def test_a_comparison_that_is_stopped_promises_no_more_than_it_keeps(monkeypatch):
    def stopped(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("vectorize.api.compare", stopped)
    result = run("compare", "first.jpg", "second.jpg")
    assert result.exit_code == 1
    assert result.stderr.startswith("Stopped.")
    assert "--resume" not in result.stderr  # it has no such option


def test_help_ends_with_examples_and_the_version_is_told():
    for words in (["-h"], ["rebuild", "-h"], ["rebuild", "--help"]):
        said = run(*words).stdout
        assert said.rstrip().splitlines()[-1].strip().startswith("vectorize ")
        assert "Examples:" in said
    assert __version__ in run("--version").stdout


def test_the_command_line_loads_no_heavy_library():
    heavy = ("numpy", "scipy", "skimage", "PIL", "reportlab", "lxml", "fontTools", "starlette", "uvicorn")
    code = f"import sys, vectorize.cli; print([m for m in {heavy!r} if m in sys.modules])"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.strip() == "[]"


def test_no_colour_codes_are_ever_written(done):
    _, result = done
    assert "\x1b" not in result.output


def test_sums_are_made_in_one_order_on_one_thread(monkeypatch):
    monkeypatch.delenv("OMP_NUM_THREADS", raising=False)
    monkeypatch.delenv("OPENBLAS_NUM_THREADS", raising=False)
    CliRunner().invoke(main, ["schema"])
    assert os.environ.pop("OMP_NUM_THREADS") == os.environ.pop("OPENBLAS_NUM_THREADS") == "1"
