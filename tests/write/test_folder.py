"""A folder of results: whole or not at all, the tool's own files only."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest

from vectorize.errors import OutputError
from vectorize.write.folder import write_folder

OLD = {"a.svg": b"old a", "b.svg": b"old b", "measures.json": b"{}"}
NEW = {"a.svg": b"new a", "b.svg": b"new b", "measures.json": b"[]"}


def held(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir()}


def test_a_folder_is_written_with_the_folders_above_it(tmp_path):
    folder = write_folder(tmp_path / "here" / "there", "word", NEW)
    assert folder == tmp_path / "here" / "there" / "word"
    assert held(folder) == NEW
    assert [p.name for p in folder.parent.iterdir()] == ["word"]


def test_what_is_not_ours_stays(tmp_path):
    write_folder(tmp_path, "word", OLD)
    (tmp_path / "word" / "mine.txt").write_bytes(b"mine")
    write_folder(tmp_path, "word", NEW)
    assert held(tmp_path / "word") == {**NEW, "mine.txt": b"mine"}


@pytest.mark.parametrize("after", range(6))
@pytest.mark.parametrize("moved", [False, True])
@pytest.mark.parametrize("fault", [PermissionError(13, "Permission denied"), KeyboardInterrupt()])
def test_a_fault_in_the_middle_leaves_the_old_files_as_they_were(tmp_path, monkeypatch, after, moved, fault):
    """moved: Ctrl-C may also come just after a file was moved."""
    write_folder(tmp_path, "word", OLD)
    moves = {"left": after}
    rename = Path.rename

    def failing(self, target):
        if moves["left"] == 0:
            moves["left"] = -1
            if moved:
                rename(self, target)
            raise fault
        moves["left"] -= 1
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises((OutputError, KeyboardInterrupt), match=r"Permission denied|^$"):
        write_folder(tmp_path, "word", NEW)
    monkeypatch.undo()
    assert held(tmp_path / "word") == OLD
    assert [p.name for p in tmp_path.iterdir()] == ["word"]


@pytest.mark.parametrize("after", [0, 2, 4])
def test_a_fault_takes_away_files_that_were_not_there_before(tmp_path, monkeypatch, after):
    write_folder(tmp_path, "word", {"mine.txt": b"mine"})
    moves = {"left": after}
    rename = Path.rename

    def failing(self, target):
        if moves["left"] == 0:
            moves["left"] = -1
            raise OSError(28, "No space left on device")
        moves["left"] -= 1
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(OutputError, match="No space left") if after < 3 else contextlib.nullcontext():
        write_folder(tmp_path, "word", NEW)
    monkeypatch.undo()
    assert held(tmp_path / "word") == {"mine.txt": b"mine"} | (NEW if after >= 3 else {})


def test_a_full_disk_leaves_nothing_of_a_new_folder(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OutputError, match="No space left"):
        write_folder(tmp_path / "out", "word", NEW)
    assert not list(tmp_path.iterdir())


def test_a_file_in_the_way_is_left_alone(tmp_path):
    (tmp_path / "word").write_bytes(b"mine")
    with pytest.raises(OutputError, match="is no folder"):
        write_folder(tmp_path, "word", NEW)
    assert (tmp_path / "word").read_bytes() == b"mine"
    with pytest.raises(OutputError, match="could not be written"):
        write_folder(tmp_path / "word", "inside", NEW)


def test_nothing_is_written_through_a_link_that_leads_elsewhere(tmp_path):
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "word").symlink_to(elsewhere, target_is_directory=True)
    with pytest.raises(OutputError):
        write_folder(tmp_path / "out", "word", NEW)
    assert not list(elsewhere.iterdir())


def test_a_linked_file_is_replaced_and_not_written_through(tmp_path):
    mine = tmp_path / "mine.svg"
    mine.write_bytes(b"mine")
    write_folder(tmp_path / "out", "word", OLD)
    (tmp_path / "out" / "word" / "a.svg").unlink()
    (tmp_path / "out" / "word" / "a.svg").symlink_to(mine)
    write_folder(tmp_path / "out", "word", NEW)
    assert mine.read_bytes() == b"mine"
    assert held(tmp_path / "out" / "word") == NEW
