"""The same work on a cluster of several processes of this computer, one of which is killed in the middle."""

from __future__ import annotations

import os
import signal
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.batch import tasks
from tests.batch.pictures import lay
from vectorize.batch.cluster import Cluster
from vectorize.batch.find import find
from vectorize.batch.run import crew_for, rebuild_all
from vectorize.batch.worker import LOST
from vectorize.brief import Brief
from vectorize.errors import BriefError

distributed = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        local = distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
        )
        yield local
        local.close()


def test_every_task_is_answered_once(cluster: Any) -> None:
    with Cluster(cluster.scheduler_address, tasks.odd_ones_fail) as there:
        found = {a.number: (a.value, a.error) for a in there.answers(range(20))}
    assert found == {i: (None, f"{i} is odd.") if i % 2 else (i, None) for i in range(20)}


def test_a_worker_killed_in_the_middle_costs_no_task(cluster: Any) -> None:
    with Cluster(cluster.scheduler_address, tasks.own_pid) as there:
        coming = there.answers(range(12))
        first = next(coming).value
        os.kill(first, signal.SIGKILL)
        pids = [a.value for a in coming]
    assert len(pids) == 11
    assert None not in pids


def test_a_task_that_takes_every_worker_along_is_given_up(cluster: Any) -> None:
    with distributed.Client(cluster.scheduler_address, set_as_default=False) as client:
        client.run_on_scheduler(_give_up_soon)
    with Cluster(cluster.scheduler_address, tasks.deadly) as there:
        found = {a.number: (a.value, a.error) for a in there.answers(range(6))}
    assert found.pop(3) == (None, LOST)
    assert found == {i: (i, None) for i in (0, 1, 2, 4, 5)}


def test_the_same_bytes_as_on_one_machine_with_a_worker_killed_in_the_middle(cluster: Any, tmp_path: Path) -> None:
    paths = lay(tmp_path / "in", 8)
    bad = tmp_path / "in" / "bad.png"
    bad.write_bytes(b"no picture")
    found = find([tmp_path / "in"], tmp_path / "out").pictures
    with crew_for(len(found), workers=1) as here:
        expected = list(rebuild_all(found, Brief(), tmp_path / "here", here))
    with crew_for(len(found), scheduler=cluster.scheduler_address) as there:
        coming = rebuild_all(found, Brief(), tmp_path / "there", there)
        done = [next(coming)]
        with distributed.Client(cluster.scheduler_address, set_as_default=False) as client:
            os.kill(next(iter(client.run(os.getpid).values())), signal.SIGKILL)
        done += coming
    assert {d.picture: d.error for d in done} == {d.picture: d.error for d in expected}
    assert sum(d.error is None for d in done) == len(paths)
    assert contents(tmp_path / "there") == contents(tmp_path / "here")


def test_pictures_may_travel_by_their_paths(cluster: Any, tmp_path: Path) -> None:
    lay(tmp_path / "in", 1)
    found = find([tmp_path / "in"], tmp_path / "out").pictures
    with crew_for(1, scheduler=cluster.scheduler_address) as there:
        (done,) = rebuild_all(found, Brief(), tmp_path / "out", there, shared=True)
    assert done.error is None


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def _give_up_soon(dask_scheduler: Any) -> None:
    dask_scheduler.allowed_failures = 1


def test_no_scheduler_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("vectorize.batch.cluster.SECONDS_TO_CONNECT", 1)
    with pytest.raises(BriefError, match="No scheduler answers"):
        Cluster("tcp://127.0.0.1:9", tasks.double)
