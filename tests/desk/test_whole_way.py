"""The desk with the real reading: a sample handed in, set right, and repeated by the command line's own work."""

from __future__ import annotations

import io
import json
import time
import zipfile
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from tests.desk.serving import desk_in_process
from tests.specimens.typeset import font_path
from vectorize.batch.find import find
from vectorize.batch.run import InPlace, rebuild_all
from vectorize.brief import Brief
from vectorize.corrections import FILE_NAME
from vectorize.desk.bundle import FILES

SAMPLE = Path(__file__).parents[2] / "samples" / "scan-hinnel.jpg"
WORD = "hinnel"


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    with desk_in_process(tmp_path_factory.mktemp("class"), "real") as (desk, _):
        desk.ask("PATCH", "api/class", json={"word": WORD})
        desk.hand_in(SAMPLE.read_bytes(), SAMPLE.name)
        desk.settled(1, 60)
        yield desk


@pytest.fixture
def study(desk):
    """As read, without corrections."""
    answer = desk.ask("PUT", "api/drawings/1/corrections", json={})
    assert answer.status_code == 200
    return answer.json()["study"]


def correct(desk, corrections: dict) -> dict:
    answer = desk.ask("PUT", "api/drawings/1/corrections", json=corrections)
    assert answer.status_code == 200, answer.text
    return answer.json()["study"]


def in_picture(study: dict, x: float, y: float) -> list[float]:
    at = np.array(study["units_to_picture"]["flat"]).reshape(3, 3) @ (x, y, 1.0)
    return (at[:2] / at[2]).tolist()


def measures(desk) -> dict:
    """As written once the hand has rested."""
    desk.settled(1, 60)
    return json.loads((desk.folder / "scan-hinnel" / "measures.json").read_bytes())


def test_the_word_is_read_and_every_file_written(desk, study):
    assert "".join(x["name"] for x in study["letters"]) == WORD
    assert set(FILES) <= {p.name for p in (desk.folder / "scan-hinnel").iterdir()}
    for name in FILES:
        answer = desk.ask("GET", f"api/drawings/1/results/{name}")
        assert answer.status_code == 200
        assert answer.content


def test_joined_and_cut_again(desk, study):
    first, second = (study["letters"][i] for i in (2, 3))
    joined = {"kind": "join", "start": first["at"], "end": second["at"]}
    found = correct(desk, {"divisions": [joined]})
    assert len(found["letters"]) == 5
    middle = (first["box"][2] + second["box"][0]) / 2
    cut = {"kind": "cut", "start": in_picture(study, middle, 1200), "end": in_picture(study, middle, -200)}
    found = correct(desk, {"divisions": [joined, cut]})
    assert "".join(x["name"] for x in found["letters"]) == WORD
    np.testing.assert_allclose(found["letters"][3]["box"], second["box"], atol=2.0)


def test_a_baseline_given_by_hand_is_the_level(desk, study):
    (x0, y0), (x1, y1) = study["guides"]["baseline"]["ends"]
    given = {"name": "baseline", "start": in_picture(study, x0, y0), "end": in_picture(study, x1, y1 + 50)}
    found = correct(desk, {"guides": [given]})
    assert found["guides"]["baseline"]["source"] == "given"
    # The raised end is level now: the old mean line falls against it.
    np.testing.assert_allclose([y for _, y in found["guides"]["baseline"]["ends"]], 0.0, atol=1e-6)
    (_, a), (_, b) = found["guides"]["mean_line"]["ends"]
    assert b < a
    written = measures(desk)
    assert written["given"]["guides"][0]["name"] == "baseline"
    assert written["guides"]["baseline"]["by_hand"]


def test_true_size_and_names(desk, study):
    found = correct(desk, {"x_height_mm": 31.0, "names": [{"at": study["letters"][5]["at"], "name": "t"}]})
    assert found["x_height_mm"] == 31.0
    assert found["scale_source"] == "given"
    assert found["letters"][5]["name"] == "t"


def test_a_comment_is_on_the_proof(desk, study):
    text = "The second n wants the first one's shoulder."
    found = correct(desk, {"comments": [{"at": study["letters"][3]["at"], "text": text}]})
    assert all(f["text"] != text for f in found["findings"])
    said = [f for f in measures(desk)["findings"] if f["check"] == "comment"]
    assert [f["text"] for f in said] == [text]
    page = (desk.folder / "scan-hinnel" / "proof.html").read_text()
    assert text.replace("'", "&#x27;") in page or text in page
    printed = " ".join(p.extract_text() for p in PdfReader(desk.folder / "scan-hinnel" / "proof.pdf").pages)
    # Numbered first, at its place, under the instructor's name and not among the reading's doubts.
    assert text in " ".join(printed.split())
    assert "The instructor" in printed


def test_the_command_line_repeats_what_the_hand_did(desk, study, tmp_path):
    letters = study["letters"]
    corrections = {
        "placed": [{"at": letters[1]["at"], "move_u": 44.0, "by_hand": True}],
        "names": [{"at": letters[0]["at"], "name": "b"}],
        "comments": [{"at": letters[2]["at"], "text": "Steadier."}],
    }
    found = correct(desk, corrections)
    assert found["moves_u"][1] == 44.0
    written = measures(desk)
    assert [p["move_ratio"] for p in written["pairs"]] == pytest.approx(np.diff(found["moves_u"]) / 1000.0, abs=1e-5)
    kept = (desk.folder / "scan-hinnel" / FILE_NAME).read_bytes()
    out = tmp_path / "out"
    (out / "scan-hinnel").mkdir(parents=True)
    (out / "scan-hinnel" / FILE_NAME).write_bytes(kept)
    pictures = find([SAMPLE], out).pictures
    done = list(rebuild_all(pictures, Brief(word=WORD), out, InPlace()))
    assert [d.error for d in done] == [None]
    for name in ("corrected.svg", "original.svg", "measures.json", FILE_NAME):
        assert (out / "scan-hinnel" / name).read_bytes() == (desk.folder / "scan-hinnel" / name).read_bytes()


def test_what_was_taken_back_is_not_repeated(desk, study):
    correct(desk, {"x_height_mm": 20.0})
    measures(desk)
    assert (desk.folder / "scan-hinnel" / FILE_NAME).exists()
    desk.ask("POST", "api/drawings/1/step/undo")
    assert measures(desk)["given"] is None
    assert not (desk.folder / "scan-hinnel" / FILE_NAME).exists()


def test_lines_that_leave_no_letters_are_refused_and_nothing_changes(desk, study):
    ends = study["guides"]["baseline"]["ends"]
    lines = [
        {"name": name, "start": in_picture(study, *ends[0]), "end": in_picture(study, *ends[1])}
        for name in ("baseline", "mean_line")
    ]
    answer = desk.ask("PUT", "api/drawings/1/corrections", json={"guides": lines})
    assert answer.status_code == 422
    assert "mean line" in answer.json()["message"]
    assert desk.ask("GET", "api/drawings/1").json()["study"]["guides"] == study["guides"]


def test_a_correction_is_seen_soon(desk, study):
    """Far above the figures in DEVELOPERS.md: other tests run beside this one."""
    started = time.monotonic()
    correct(desk, {"x_height_mm": 25.0})
    assert time.monotonic() - started < 4.0


def test_two_drafts_are_told_of_and_all_goes_home(desk):
    second = desk.hand_in(SAMPLE.with_name("scan-hinnel-second.jpg").read_bytes(), "scan-hinnel-second.jpg")
    desk.settled(second, 60)
    told = desk.ask("GET", f"api/drawings/{second}/after/1/progress.json").json()
    assert told["summary"]
    for kind in ("pdf", "html", "csv", "json"):
        assert desk.ask("GET", f"api/class/together/pin-up.{kind}").status_code == 200
    home = desk.ask("GET", "api/class/everything.zip")
    with zipfile.ZipFile(io.BytesIO(home.content)) as archive:
        folders = {name.split("/")[0] for name in archive.namelist()}
    assert folders == {"scan-hinnel", "scan-hinnel-second"}


def test_two_drafts_of_one_picture_are_no_two(desk):
    again = desk.hand_in(SAMPLE.read_bytes(), SAMPLE.name)
    desk.settled(again, 60)
    answer = desk.ask("GET", f"api/drawings/{again}/after/1/progress.json")
    assert answer.status_code == 422
    assert "another" in answer.json()["message"]


def test_a_model_is_laid_over_and_taken_away(desk, study):
    font = font_path("source-sans-3")
    assert study["model"] is None
    desk.ask("PUT", "api/model", content=font.read_bytes(), headers={"x-file-name": "../model.TTF"})
    found = desk.settled(1, 60)["study"]
    assert all(path.startswith("M") for path in found["model"]["letters"])
    assert len(found["model"]["letters"]) == len(WORD)
    # A font without a word cannot be followed; the drawing is read all the same.
    desk.ask("PATCH", "api/class", json={"word": None})
    assert desk.settled(1, 60)["study"]["model"] is None
    desk.ask("DELETE", "api/model")
    desk.ask("PATCH", "api/class", json={"word": WORD})
    assert desk.settled(1, 60)["study"]["model"] is None
    assert desk.ask("PUT", "api/model", content=b"x", headers={"x-file-name": "model.exe"}).status_code == 415
