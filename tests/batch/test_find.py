"""Which pictures are meant, and what their folders are called."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from vectorize.batch.find import find, folder_names, natural, safe_name
from vectorize.batch.run import InPlace, rebuild_all
from vectorize.brief import Brief


def lay(root: Path, *names: str) -> None:
    for name in names:
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(name.encode())


def test_a_folder_stands_for_the_pictures_in_it_in_a_persons_order(tmp_path: Path) -> None:
    lay(tmp_path, "sheet 10.jpg", "sheet 2.PNG", "notes.txt", ".hidden.png", "deeper/a.pdf")
    found = find([tmp_path], tmp_path / "out")
    assert [p.path.name for p in found.pictures] == ["sheet 2.PNG", "sheet 10.jpg"]
    assert found.left_out == 1
    deep = find([tmp_path], tmp_path / "out", recursive=True)
    assert [p.path.name for p in deep.pictures] == ["a.pdf", "sheet 2.PNG", "sheet 10.jpg"]


def test_results_of_earlier_runs_are_no_drawings(tmp_path: Path) -> None:
    lay(tmp_path, "a.jpg", "svg_out/a/measures.json", "svg_out/a/proof.pdf", "svg_out/pin-up.pdf")
    lay(tmp_path, "elsewhere/b/measures.json", "elsewhere/b/practice.pdf")
    found = find([tmp_path], tmp_path / "svg_out", recursive=True)
    assert [p.path.name for p in found.pictures] == ["a.jpg"]


def test_pictures_may_lie_where_the_results_go(tmp_path: Path) -> None:
    lay(
        tmp_path,
        "a.jpg",
        "a/measures.json",
        "a/proof.pdf",
        "pin-up.pdf",
        "progress.pdf",
        "guidelines.pdf",
        "pin-up.csv",
    )
    for recursive in (False, True):
        found = find([tmp_path], tmp_path, recursive=recursive)
        assert [p.path.name for p in found.pictures] == ["a.jpg"]
        assert found.empty == ()


def test_a_folder_that_cannot_be_looked_into_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay(tmp_path, "in/a.jpg", "in/closed/b.jpg")
    open_folder = Path.iterdir

    def iterdir(path: Path) -> Iterator[Path]:
        if path.name == "closed":
            raise PermissionError(13, "Permission denied")
        return open_folder(path)

    monkeypatch.setattr(Path, "iterdir", iterdir)
    for name, wanted in ((tmp_path / "in", ["a.jpg", "closed"]), (tmp_path / "in/closed", ["closed"])):
        found = find([name], tmp_path / "out", recursive=True)
        assert [p.path.name for p in found.pictures] == wanted
    (told,) = rebuild_all(found.pictures, Brief(), tmp_path / "out", InPlace())
    assert told.error is not None
    assert "cannot be looked into" in told.error


def test_one_file_named_twice_is_one_picture(tmp_path: Path) -> None:
    lay(tmp_path, "a.jpg")
    found = find([tmp_path / "a.jpg", tmp_path, tmp_path / "." / "a.jpg"], tmp_path / "out")
    assert len(found.pictures) == 1


def test_a_file_named_itself_may_have_any_ending_and_need_not_exist(tmp_path: Path) -> None:
    lay(tmp_path, "picture.dat")
    found = find([tmp_path / "picture.dat", tmp_path / "missing.png"], tmp_path / "out")
    assert [p.folder for p in found.pictures] == ["picture", "missing"]


def test_folders_without_pictures_are_told(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert find([tmp_path / "empty"], tmp_path / "out").empty == (tmp_path / "empty",)


def test_the_second_of_a_name_gets_a_number() -> None:
    assert folder_names(["a", "a", "A", "a-2", "b"]) == ["a", "a-2", "A-3", "a-2-2", "b"]


@pytest.mark.parametrize(
    ("stem", "name"),
    [
        ('a<b>:c"d/e\\f|g?h*i', "a-b--c-d-e-f-g-h-i"),
        ("tab\there\n", "tab-here-"),
        ("  . ", "picture"),
        ("con", "con-"),
        ("LPT1.scan", "LPT1.scan-"),
        ("Ångström é", "Ångström é"),
        ("\x1b[31mred", "-[31mred"),
    ],
)
def test_names_that_every_file_system_takes(stem: str, name: str) -> None:
    # Characters and device names that Windows refuses: Microsoft, Naming Files, Paths, and Namespaces.
    assert safe_name(stem) == name


def test_numbers_are_ordered_as_numbers() -> None:
    assert sorted(["b10", "b2", "a", "B1"], key=natural) == ["a", "B1", "b2", "b10"]
