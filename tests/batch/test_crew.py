"""A crew of real processes: all tasks answered, whatever happens to a worker."""

from __future__ import annotations

import os
import time
from pathlib import Path

from tests.batch import tasks
from vectorize.batch.crew import ENDLESS, Crew
from vectorize.batch.worker import LOST


def answers(
    work: object, values: list[object], size: int = 2, seconds: float = 60.0
) -> dict[int, tuple[object, object]]:
    with Crew(work, size, seconds=seconds) as crew:  # type: ignore[arg-type]
        return {a.number: (a.value, a.error) for a in crew.answers(values)}


def test_every_task_is_answered_once() -> None:
    assert answers(tasks.double, list(range(7))) == {i: (2 * i, None) for i in range(7)}


def test_errors_are_sentences_and_stop_nobody() -> None:
    found = answers(tasks.odd_ones_fail, [0, 1, 2, 3])
    assert found == {0: (0, None), 1: (None, "1 is odd."), 2: (2, None), 3: (None, "3 is odd.")}


def test_a_fault_of_the_program_is_told_and_stops_nobody() -> None:
    found = answers(tasks.faulty, [0, 1])
    assert found[1] == (1.0, None)
    assert "ZeroDivisionError" in str(found[0][1])


def test_a_task_that_kills_its_worker_twice_is_given_up() -> None:
    found = answers(tasks.deadly, [0, 1, 2, 3, 4, 5])
    assert found.pop(3) == (None, LOST)
    assert found == {i: (i, None) for i in (0, 1, 2, 4, 5)}


def test_a_lost_workers_task_is_done_by_another(tmp_path: Path) -> None:
    found = answers(tasks.deadly_once, [(i, str(tmp_path)) for i in range(5)])
    assert found == {i: (i, None) for i in range(5)}


def test_a_task_without_end_is_given_up() -> None:
    found = answers(tasks.endless, [0, 1, 2], seconds=1.5)
    assert found == {0: (0, None), 1: (None, ENDLESS.format(1.5)), 2: (2, None)}


def test_real_processes_work_side_by_side() -> None:
    found = answers(tasks.own_pid, list(range(6)))
    assert len({value for value, _ in found.values()}) == 2
    assert os.getpid() not in {value for value, _ in found.values()}


def test_leaving_a_crew_ends_its_workers() -> None:
    with Crew(tasks.endless, 2) as crew:
        coming = crew.answers([0, 1])
        assert next(coming).value == 0
        pids = crew.pids
        assert len(pids) == 2
    start = time.monotonic()
    while any(_lives(p) for p in pids) and time.monotonic() - start < 5:
        time.sleep(0.05)
    assert not any(_lives(p) for p in pids)


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True
