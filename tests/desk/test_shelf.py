"""The shelf: what is kept is there again, and what cannot be trusted any more is read anew."""

from __future__ import annotations

import errno
import json
import os
from dataclasses import replace

import pytest

from vectorize.corrections import Corrections
from vectorize.desk.shelf import MADE_BY, MOST_STEPS, Shelf
from vectorize.errors import OutputError


@pytest.fixture
def shelf(tmp_path):
    return Shelf.open(tmp_path)


def reopened(shelf: Shelf) -> Shelf:
    return Shelf.open(shelf.folder)


def test_everything_kept_is_there_again(shelf):
    first = shelf.add(b"one", "a.jpg", "word")
    shelf.put(replace(first.corrected(Corrections(x_height_mm=20.0)), state="done", written=True, made_by=MADE_BY))
    shelf.set_sheet(replace(shelf.sheet, word="class"))
    shelf.set_model(b"font", "typeface.otf", ".otf")
    again = reopened(shelf)
    assert again.drawings == shelf.drawings
    assert again.sheet == shelf.sheet
    assert again.model_path().read_bytes() == b"font"
    assert again.part(1, "picture").read_bytes() == b"one"


def test_what_another_program_read_is_read_anew(shelf):
    shelf.put(replace(shelf.add(b"one", "a.jpg", None), state="done", written=True, made_by="an older one"))
    drawing = reopened(shelf).drawings[1]
    assert (drawing.state, drawing.written) == ("waiting", False)


def test_what_was_being_read_is_read_anew(shelf):
    shelf.put(replace(shelf.add(b"one", "a.jpg", None), state="reading"))
    assert reopened(shelf).drawings[1].state == "waiting"


def test_a_new_step_forgets_what_was_undone(shelf):
    drawing = shelf.add(b"one", "a.jpg", None)
    for height in (10.0, 20.0):
        drawing = drawing.corrected(Corrections(x_height_mm=height))
    drawing = drawing.stepped(-1).corrected(Corrections(x_height_mm=30.0))
    assert [c.x_height_mm for c in drawing.steps] == [None, 10.0, 30.0]
    assert drawing.stepped(1) is drawing
    assert drawing.stepped(-9).corrections == Corrections()


def test_steps_do_not_grow_without_end(shelf):
    drawing = shelf.add(b"one", "a.jpg", None)
    for i in range(MOST_STEPS + 10):
        drawing = drawing.corrected(Corrections(x_height_mm=1.0 + i))
    assert len(drawing.steps) == MOST_STEPS
    assert drawing.corrections.x_height_mm == MOST_STEPS + 10


def test_a_damaged_record_is_left_out_and_its_number_not_given_again(shelf):
    shelf.add(b"one", "a.jpg", None)
    shelf.add(b"two", "a.jpg", None)
    (shelf.hidden / "0001" / "record.json").write_text("{")
    again = reopened(shelf)
    assert list(again.drawings) == [2]
    assert again.add(b"three", "b.jpg", None).number == 3
    assert (shelf.hidden / "0001" / "picture").read_bytes() == b"one"


def test_two_of_a_name_have_two_folders(shelf):
    assert [shelf.add(b"x", name, None).folder for name in ("a.jpg", "A.png", "a.jpg")] == ["a", "A-2", "a-3"]


def test_two_names_that_some_file_system_takes_for_one_have_two_folders(shelf):
    """An e with its accent in one character and in two: Unicode Standard Annex 15."""
    assert [shelf.add(b"x", name, None).folder[-2:] for name in ("\u00e9.jpg", "e\u0301.jpg")] == ["\u00e9", "-2"]


def test_a_full_disk_is_told_and_keeps_what_there_was(shelf, monkeypatch):
    drawing = shelf.add(b"one", "a.jpg", "word")

    def no_room(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", no_room)
    for write in (lambda: shelf.add(b"two", "b.jpg", None), lambda: shelf.put(replace(drawing, word="another"))):
        with pytest.raises(OutputError, match="disk has room"):
            write()
    assert list(reopened(shelf).drawings.values()) == [drawing]
    assert sorted(p.name for p in shelf.hidden.rglob("*")) == ["0001", "picture", "record.json"]


def test_nothing_half_written_is_left(shelf):
    shelf.add(b"one", "a.jpg", None)
    shelf.keep(1, "page.json", json.dumps({}).encode())
    assert not list(shelf.hidden.rglob("*.part"))


def test_a_drawing_taken_off_leaves_nothing_on_the_shelf(shelf):
    shelf.add(b"one", "a.jpg", None)
    shelf.take_off(1)
    assert not (shelf.hidden / "0001").exists()
    assert reopened(shelf).drawings == {}


def test_a_font_waits_for_the_word(shelf):
    drawing = shelf.add(b"one", "a.jpg", None)
    shelf.set_model(b"font", "typeface.otf", ".otf")
    assert shelf.brief(drawing).model is None
    assert shelf.brief(replace(drawing, word="on")).model == shelf.model_path()
    shelf.set_model(b"picture", "specimen.png", ".png")
    assert shelf.brief(drawing).model == shelf.model_path()
