"""Runs where the disk is full, the output closed, the name no text, another run at work, the picture changing, or Ctrl-C comes."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from tests.batch.pictures import lay, picture
from vectorize.batch.crew import Answer
from vectorize.batch.find import find
from vectorize.batch.run import rebuild_all
from vectorize.batch.work import Task, make
from vectorize.batch.worker import attempt
from vectorize.brief import Brief
from vectorize.write.folder import FILES

COMMAND = (sys.executable, "-m", "vectorize.cli")
POSIX = pytest.mark.skipif(os.name == "nt", reason="the system has no such limits, files or signals")
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="the system has no such names or files")


def run(*words: object, **options) -> subprocess.CompletedProcess[str]:
    done = subprocess.run([*COMMAND, *map(str, words)], capture_output=True, text=True, check=False, **options)
    assert "Traceback" not in done.stderr
    return done


def held(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir()}


@POSIX
def test_a_disk_that_fills_leaves_nothing_half_written(tmp_path):
    """A limit on the size of files (RLIMIT_FSIZE of POSIX) fails a write in its middle as a full disk does."""
    import resource

    (one,) = lay(tmp_path, 1)
    done = run(
        "rebuild", one, "--out", tmp_path / "out",
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (9000, 9000)),
    )  # fmt: skip
    assert done.returncode == 1
    assert "disk has room" in done.stderr
    assert done.stdout == ""
    assert not (tmp_path / "out").exists()


@LINUX
@pytest.mark.parametrize("words", [("rebuild", "sheet 1.png"), ("schema",)])
def test_a_standard_output_that_is_full_is_told(tmp_path, words):
    """/dev/full answers every write as a full disk does."""
    lay(tmp_path, 1)
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*COMMAND, *words], stdout=full, stderr=subprocess.PIPE, text=True, check=False, cwd=tmp_path
        )
    assert done.returncode == 1
    (line,) = done.stderr.splitlines()
    assert "standard output" in line
    if words[0] == "rebuild":
        assert set(held(tmp_path / "svg_out" / "sheet 1")) == set(FILES)


@LINUX
def test_a_name_that_is_no_text_is_worked_on(tmp_path):
    path = Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.png"))
    path.write_bytes(picture("l"))
    done = run("rebuild", path, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    measures = json.loads((tmp_path / "out" / "caf-" / "measures.json").read_bytes())
    assert measures["picture"]["file"] == "caf\ufffd.png"


@LINUX
def test_drafts_whose_names_are_no_text_are_compared(tmp_path):
    paths = [Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9%d.png" % k)) for k in (1, 2)]
    for k, path in enumerate(paths):
        path.write_bytes(picture("ll", seed=k))
    done = run("compare", *paths, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    said = json.loads((tmp_path / "out" / "progress.json").read_bytes())
    assert [d["name"] for d in said["drafts"]] == ["caf\ufffd1", "caf\ufffd2"]


def test_names_that_some_file_system_takes_for_one_get_two_folders(tmp_path):
    """An e with its accent in one character and in two (Unicode Standard Annex 15), and capitals."""
    paths = [tmp_path / n for n in ("\u00e9.png", "e\u0301.png", "\u00c9.png")]
    assert len({p.folder.casefold() for p in find(paths, tmp_path / "out").pictures}) == 3
    assert [p.folder[-2:] for p in find(paths, tmp_path / "out").pictures][1:] == ["-2", "-3"]


@POSIX
def test_a_pipe_in_a_folder_is_no_picture(tmp_path):
    (one,) = lay(tmp_path, 1)
    os.mkfifo(tmp_path / "pipe.png")
    found = find([tmp_path], tmp_path / "out")
    assert [p.path for p in found.pictures] == [one]
    assert found.left_out == 1


@LINUX
def test_a_file_without_end_is_refused():
    done = run("rebuild", "/dev/zero")
    assert done.returncode == 1
    assert "MB that can be read" in done.stderr


class Late:
    """Works only after every picture was changed behind its back."""

    def __init__(self, path: Path, data: bytes) -> None:
        self._path, self._data = path, data

    def answers(self, tasks: Iterable[Task]) -> Iterator[Answer]:
        """One answer a task."""
        for number, task in enumerate(tasks):
            self._path.write_bytes(self._data)
            done, value = attempt(make, task)
            yield Answer(number, value) if done else Answer(number, error=value)


@pytest.mark.parametrize("shared", [False, True])
def test_results_belong_to_one_state_of_a_picture_that_changes(tmp_path, shared):
    (one,) = lay(tmp_path, 1)
    before, after = one.read_bytes(), picture("l", seed=77)
    pictures = find([one], tmp_path / "out").pictures
    (done,) = rebuild_all(pictures, Brief(), tmp_path / "out", Late(one, after), shared=shared)
    measures = json.loads((done.folder / "measures.json").read_bytes())
    assert measures["made_from"]["picture_sha256"] == hashlib.sha256(after if shared else before).hexdigest()


def test_a_picture_cut_off_while_it_was_copied_is_refused(tmp_path):
    (one,) = lay(tmp_path, 1)
    pictures = find([one], tmp_path / "out").pictures
    (done,) = rebuild_all(pictures, Brief(), tmp_path / "out", Late(one, one.read_bytes()[:9000]), shared=True)
    assert done.folder is None
    assert "cut off" in done.error
    assert not (tmp_path / "out").exists()


WRITER = """
import sys
from pathlib import Path
from vectorize.write.folder import FILES, write_folder
for k in range(80):
    write_folder(Path(sys.argv[1]), f"word {k % 8}", {n: sys.argv[2].encode() * 5000 for n in FILES})
"""


def test_runs_into_one_folder_at_once_leave_whole_folders(tmp_path):
    """Four processes write the same eight folders over and over; each folder is in the end one writer's."""
    out = tmp_path / "out"
    going = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(out), mark], stderr=subprocess.PIPE, text=True)
        for mark in "abcd"
    ]
    told = [g.communicate(timeout=300)[1] for g in going]
    assert told == [""] * 4
    assert sorted(p.name for p in out.iterdir()) == [f"word {k}" for k in range(8)]
    for folder in out.iterdir():
        files = held(folder)
        assert set(files) == set(FILES)
        assert len(set(files.values())) == 1


def test_two_commands_into_one_folder_at_once(tmp_path):
    (one,) = lay(tmp_path, 1)
    words = [*COMMAND, "rebuild", str(one), "--out", str(tmp_path / "out")]
    going = [subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(3)]
    told = [g.communicate(timeout=300) for g in going]
    assert told == [(f"{tmp_path / 'out' / 'sheet 1'}\n", "")] * 3
    assert set(held(tmp_path / "out" / "sheet 1")) == set(FILES)
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["sheet 1"]


@POSIX
def test_ctrl_c_at_any_moment_leaves_the_old_results_or_the_new_ones(tmp_path):
    """One run is timed, others are broken off at five moments of that time."""
    (one,) = lay(tmp_path, 1)
    out = tmp_path / "out"
    words = ("rebuild", one, "--out", out)
    begun = time.monotonic()
    assert run(*words).returncode == 0
    whole_seconds = time.monotonic() - begun
    old = held(out / "sheet 1")
    assert run(*words, "--x-height", 9).returncode == 0
    new = held(out / "sheet 1")
    assert old["measures.json"] != new["measures.json"]
    for moment in range(5):
        if held(out / "sheet 1") != old:
            assert run(*words).returncode == 0
        going = subprocess.Popen(
            [*COMMAND, *map(str, words), "--x-height", "9"], stderr=subprocess.PIPE, text=True, start_new_session=True
        )
        time.sleep(whole_seconds * (0.4 + 0.15 * moment))
        os.killpg(going.pid, signal.SIGINT)
        told = going.communicate(timeout=60)[1]
        assert "Traceback" not in told, (moment, told)
        assert [p.name for p in out.iterdir()] == ["sheet 1"]
        assert held(out / "sheet 1") in (old, new)
