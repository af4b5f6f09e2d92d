"""Whole runs on the command line: many pictures, bad ones among them, resumed, killed, stopped; and the class's wall."""

from __future__ import annotations

import csv
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from lxml import html

from tests.batch.pictures import lay, picture
from vectorize import rebuild
from vectorize.errors import BriefError
from vectorize.write.folder import FILES

WALL = ["pin-up.csv", "pin-up.html", "pin-up.json", "pin-up.pdf"]


def command(*arguments: object) -> list[str]:
    return [sys.executable, "-m", "vectorize.cli", "rebuild", *map(str, arguments)]


def run(*arguments: object, expect: int = 0) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(command(*arguments), capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == expect, done.stderr
    assert "Traceback" not in done.stderr
    return done


def shown(out: Path) -> list[str]:
    return sorted(p.name for p in out.iterdir())


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture(scope="module")
def sixty(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, subprocess.CompletedProcess[str]]:
    """55 drawings and 5 files that are none, rebuilt by two workers."""
    root = tmp_path_factory.mktemp("sixty")
    paths = lay(root / "class", 55)
    bad = root / "class"
    (bad / "empty.png").write_bytes(b"")
    (bad / "cut.png").write_bytes(paths[0].read_bytes()[:500])
    (bad / "text.jpg").write_text("a letter from home")
    (bad / "white.png").write_bytes(_blank())
    (bad / "not.pdf").write_bytes(b"%PDF-1.7\nnothing\n%%EOF")
    out = root / "out"
    done = run(root / "class", "--out", out, "--workers", 2, expect=1)
    return root / "class", out, done


def _blank() -> bytes:
    import io

    from PIL import Image

    out = io.BytesIO()
    Image.new("L", (300, 200), 255).save(out, "PNG")
    return out.getvalue()


def test_sixty_pictures_of_which_five_are_bad(sixty: tuple[Path, Path, subprocess.CompletedProcess[str]]) -> None:
    _, out, done = sixty
    folders = [Path(line) for line in done.stdout.splitlines()]
    assert len(set(folders)) == 55
    assert all(sorted(p.name for p in f.iterdir()) == sorted(FILES) for f in folders)
    told = [line for line in done.stderr.splitlines() if line]
    assert sorted(line.split(":")[0] for line in told) == ["cut.png", "empty.png", "not.pdf", "text.jpg", "white.png"]
    assert shown(out) == sorted([f.name for f in folders] + WALL)


def test_progress_is_shown_on_a_terminal_only(sixty: tuple[Path, Path, subprocess.CompletedProcess[str]]) -> None:
    assert "\r" not in sixty[2].stderr
    assert "\x1b" not in sixty[2].stderr


def test_the_wall_shows_every_drawing_and_leads_to_its_proof(
    sixty: tuple[Path, Path, subprocess.CompletedProcess[str]],
) -> None:
    _, out, done = sixty
    page = html.fromstring((out / "pin-up.html").read_bytes())
    links = page.xpath("//section[last()]//article/h3/a/@href")
    assert len(links) == 55
    assert all((out / link.replace("%20", " ")).is_file() for link in links)
    assert not [a for a in page.xpath("//@href | //@src") if ":" in a]
    with (out / "pin-up.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    names = {Path(line).name for line in done.stdout.splitlines()}
    assert {r["folder"] for r in rows} == names
    said = json.loads((out / "pin-up.json").read_bytes())
    assert {d["folder"] for d in said["drawings"]} == names


def test_a_second_run_with_resume_writes_nothing_anew(
    sixty: tuple[Path, Path, subprocess.CompletedProcess[str]],
) -> None:
    folder, out, first = sixty
    before = {p: p.stat().st_mtime_ns for p in out.rglob("*") if p.is_file() and p.name not in WALL}
    start = time.monotonic()
    again = run(folder, "--out", out, "--workers", 2, "--resume", expect=1)
    assert sorted(again.stdout.splitlines()) == sorted(first.stdout.splitlines())
    assert {p: p.stat().st_mtime_ns for p in before} == before
    assert time.monotonic() - start < 60


def test_resume_sees_changed_bytes_and_changed_options(tmp_path: Path) -> None:
    paths = lay(tmp_path / "in", 2)
    out = tmp_path / "out"
    run(*paths, "--out", out)
    stamps = {p.parent.name: p.stat().st_mtime_ns for p in out.glob("*/measures.json")}
    paths[1].write_bytes(picture("l", seed=99))
    run(*paths, "--out", out, "--resume")
    after = {p.parent.name: p.stat().st_mtime_ns for p in out.glob("*/measures.json")}
    assert after["sheet 1"] == stamps["sheet 1"]
    assert after["sheet 2"] > stamps["sheet 2"]
    run(*paths, "--out", out, "--resume", "--word", "l")
    assert all(p.stat().st_mtime_ns > after[p.parent.name] for p in out.glob("*/measures.json"))


def test_one_worker_and_two_give_the_same_bytes(tmp_path: Path) -> None:
    paths = lay(tmp_path / "in", 3)
    run(*paths, "--out", tmp_path / "one", "--workers", 1)
    run(*paths, "--out", tmp_path / "two", "--workers", 2)
    assert contents(tmp_path / "one") == contents(tmp_path / "two")


def test_a_run_killed_in_the_middle_leaves_whole_folders_and_is_taken_up_again(tmp_path: Path) -> None:
    paths = lay(tmp_path / "in", 6)
    out = tmp_path / "out"
    going = subprocess.Popen(command(*paths, "--out", out, "--workers", 2), stdout=subprocess.PIPE, text=True)
    assert going.stdout is not None
    going.stdout.readline()
    going.send_signal(signal.SIGKILL)
    going.wait(30)
    going.stdout.close()
    for folder in (p for p in out.iterdir() if not p.name.startswith(".")):
        assert sorted(p.name for p in folder.iterdir()) == sorted(FILES)
    early = {p: p.stat().st_mtime_ns for p in out.glob("*/measures.json")}
    assert 0 < len(early) < 6
    done = run(*paths, "--out", out, "--resume")
    assert len(done.stdout.splitlines()) == 6
    assert {p: p.stat().st_mtime_ns for p in early} == early


@pytest.mark.skipif(os.name == "nt", reason="Windows sends Ctrl-C to a whole console, the test's own included")
def test_ctrl_c_ends_a_run_cleanly(tmp_path: Path) -> None:
    paths = lay(tmp_path / "in", 6)
    out = tmp_path / "out"
    going = subprocess.Popen(
        command(*paths, "--out", out, "--workers", 2),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert going.stdout is not None
    going.stdout.readline()
    os.killpg(going.pid, signal.SIGINT)
    _, err = going.communicate(timeout=30)
    assert going.returncode == 1
    assert "--resume" in err
    assert "Traceback" not in err
    assert not [p for p in out.iterdir() if p.name.startswith(".")]
    assert all(sorted(q.name for q in p.iterdir()) == sorted(FILES) for p in out.iterdir())


@pytest.mark.parametrize("number", [0, -1])
def test_somebody_has_to_do_the_work(tmp_path: Path, number: int) -> None:
    with pytest.raises(BriefError, match="one worker or more"):
        rebuild(lay(tmp_path, 2), out=tmp_path / "out", workers=number)


def test_no_wall_for_one_drawing(tmp_path: Path) -> None:
    (one,) = lay(tmp_path / "in", 1)
    twin = tmp_path / "in" / "twin.png"
    shutil.copy(one, twin)
    run(one, "--out", tmp_path / "single")
    run(one, twin, "--out", tmp_path / "twins")
    (tmp_path / "in" / "bad.png").write_bytes(b"nothing")
    run(one, tmp_path / "in" / "bad.png", "--out", tmp_path / "good-and-bad", expect=1)
    assert shown(tmp_path / "single") == shown(tmp_path / "good-and-bad") == ["sheet 1"]
    assert shown(tmp_path / "twins") == ["sheet 1", "twin"]


def test_folders_below_folders_are_asked_for(tmp_path: Path) -> None:
    lay(tmp_path / "in", 1)
    lay(tmp_path / "in" / "evening", 1)
    run(tmp_path / "in", "--out", tmp_path / "flat")
    run(tmp_path / "in", "--recursive", "--out", tmp_path / "deep")
    assert shown(tmp_path / "flat") == ["sheet 1"]
    assert "sheet 1-2" in shown(tmp_path / "deep")


def test_the_function_gives_what_the_command_writes(tmp_path: Path) -> None:
    (one,) = lay(tmp_path / "in", 1)
    missing = tmp_path / "in" / "missing.png"
    good, bad = rebuild([one, missing], out=tmp_path / "out", workers=1)
    assert good.folder == tmp_path / "out" / "sheet 1"
    assert good.error is None
    assert len(good.measures["letters"]) == 1
    assert bad.folder is None
    assert bad.error is not None
    assert "no such file" in bad.error
    with pytest.raises(ValueError, match="no such file"):
        _ = bad.measures


def test_a_plain_script_may_use_several_processes(tmp_path: Path) -> None:
    lay(tmp_path / "in", 2)
    script = tmp_path / "script.py"
    script.write_text(
        "from vectorize import rebuild\nfor r in rebuild('in', out='out', workers=2):\n    print(r.error)\n"
    )
    done = subprocess.run([sys.executable, script], capture_output=True, text=True, check=False, cwd=tmp_path)
    assert done.stdout.split() == ["None", "None"], done.stderr
    assert done.stderr == ""
