"""What comes while something else is being done: a drawing taken off, handed in anew or corrected while it is read."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from tests.desk.serving import desk_in_process


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    with desk_in_process(tmp_path_factory.mktemp("class"), "typeset", seconds=10.0) as (desk, _):
        yield desk


def being_read(desk) -> int:
    """A drawing that a helper is reading just now: two seconds of work."""
    desk.settled(desk.hand_in(b"good"))  # the helper is there
    number = desk.hand_in(b"slow")
    while desk.ask("GET", f"api/drawings/{number}?look").json()["drawing"]["state"] != "reading":
        time.sleep(0.02)
    time.sleep(0.7)  # its file is open and its first stage told
    return number


@contextmanager
def being_corrected(desk, number: int, height_mm: float) -> Iterator[list[int]]:
    """The drawing while a correction of it is worked on; the status of its answer, once it is there."""
    statuses = []

    def correct() -> None:
        answer = desk.ask("PUT", f"api/drawings/{number}/corrections", json={"x_height_mm": height_mm})
        statuses.append(answer.status_code)

    at_work = threading.Thread(target=correct)
    at_work.start()
    time.sleep(0.6)
    yield statuses
    at_work.join()


def read_word(desk, number: int) -> str:
    return "".join(letter["name"] for letter in desk.settled(number)["study"]["letters"])


def test_a_drawing_taken_off_while_it_is_read_does_not_stop_the_class(desk):
    number = being_read(desk)
    after = desk.hand_in(b"good")
    assert desk.ask("DELETE", f"api/drawings/{number}").status_code == 204
    assert desk.settled(after, 10)["drawing"]["state"] == "done"


def test_what_was_read_of_a_drawing_taken_off_is_not_taken_for_another(desk):
    number = being_read(desk)
    desk.ask("DELETE", f"api/drawings/{number}")
    refused = desk.hand_in(b"refuse")
    assert refused != number
    assert desk.settled(refused)["drawing"]["state"] == "failed"


def test_another_word_for_the_class_reaches_a_drawing_that_is_being_read(desk):
    number = being_read(desk)
    desk.ask("PATCH", "api/class", json={"word": "bang"})
    assert read_word(desk, number) == "bang"
    desk.ask("PATCH", "api/class", json={"word": None})
    assert desk.settled(number)["drawing"]["state"] == "done"


def test_another_word_and_a_correction_at_once_both_hold(desk):
    number = desk.hand_in(b"slow")
    desk.settled(number)
    with being_corrected(desk, number, 20.0) as statuses:
        assert desk.ask("PATCH", f"api/drawings/{number}", json={"word": "burg"}).status_code == 200
    assert statuses == [200]
    assert read_word(desk, number) == "burg"
    seen = desk.settled(number)
    assert seen["study"]["x_height_mm"] == 20.0
    assert seen["drawing"]["can_undo"]


def test_a_drawing_taken_off_while_it_is_corrected_does_not_come_back(desk):
    number = desk.hand_in(b"slow")
    desk.settled(number)
    with being_corrected(desk, number, 20.0) as statuses:
        desk.ask("DELETE", f"api/drawings/{number}")
    assert statuses == [422]
    assert number not in [d["number"] for d in desk.ask("GET", "api/class").json()["drawings"]]


def test_what_goes_home_is_what_a_correction_made_of_it_meanwhile(desk):
    number = desk.hand_in(b"slow")
    desk.settled(number)
    assert desk.ask("PUT", f"api/drawings/{number}/corrections", json={"x_height_mm": 21.0}).status_code == 200
    # The correction comes through while the results of the one before are being written.
    with being_corrected(desk, number, 22.0):
        assert desk.ask("GET", f"api/drawings/{number}/everything.zip").status_code == 200
        assert desk.ask("GET", f"api/drawings/{number}?look").json()["drawing"]["written"]


def test_files_that_no_gathering_has_are_not_found(desk):
    first, second = desk.hand_in(b"good"), desk.hand_in(b"good")
    desk.settled(second)
    for path in ("api/class/together/pin-up.svg", f"api/drawings/{second}/after/{first}/progress.csv"):
        assert desk.ask("GET", path).status_code == 404
