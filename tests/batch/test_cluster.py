"""The same work on a cluster of several processes of this computer, one of which is killed in the middle."""

from __future__ import annotations

import os
import signal
import warnings
from collections.abc import Iterator
from typing import Any

import pytest

from tests.batch import tasks
from vectorize.batch.cluster import Cluster
from vectorize.batch.crew import LOST
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


def _give_up_soon(dask_scheduler: Any) -> None:
    dask_scheduler.allowed_failures = 1


def test_no_scheduler_is_a_sentence() -> None:
    with pytest.raises(BriefError, match="No scheduler answers"):
        Cluster("tcp://127.0.0.1:9", tasks.double)
