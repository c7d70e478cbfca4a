"""Variants travel to a cluster several at a time; one that ends workers is still found alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from genbg.batch.cluster import LAST_PARCELS, PARCEL, Parcels, _stream
from genbg.batch.work import Result, Task


def tasks(count: int) -> list[Task]:
    return [Task(number, "here", f"n{number}", "", (), number, "none") for number in range(count)]


@pytest.mark.parametrize("threads", [1, 2, 64])
@pytest.mark.parametrize("count", [0, 1, 7, 100, 1000])
def test_every_task_travels_once_and_in_order(threads, count):
    """Parcels are full at first and small at the end, so that no thread waits long."""
    parcels = list(Parcels(iter(tasks(count)), count, threads))
    assert [task.number for parcel in parcels for task in parcel] == list(range(count))
    sizes = [len(parcel) for parcel in parcels]
    assert sizes == sorted(sizes, reverse=True)
    assert max(sizes, default=1) <= PARCEL
    assert sum(size == 1 for size in sizes) >= min(count, threads * LAST_PARCELS)
    if count > 2 * threads * LAST_PARCELS * PARCEL:
        assert sizes.count(PARCEL) >= count // PARCEL // 2


def test_fewer_tasks_than_were_told_are_no_fault():
    """What is finished already is left out of a batch, and nobody knows beforehand how much."""
    parcels = list(Parcels(iter(tasks(5)), 100, 1))
    assert [task.number for parcel in parcels for task in parcel] == [0, 1, 2, 3, 4]


class KilledError(Exception):
    """As the library's own."""


class Future:
    """What was sent."""

    def __init__(self, parcel: tuple[Task, ...]):
        self.parcel = parcel

    def release(self) -> None:
        """Nothing is held."""


class Cluster:
    """Stands in for a cluster: runs what it is sent at once; one variant ends every worker."""

    loop = None

    def __init__(self, killer: int):
        self.killer, self.sent = killer, []

    def submit(self, _: Any, parcel: tuple[Task, ...], **__: Any) -> Any:
        self.sent.append([task.number for task in parcel])
        return Future(parcel)

    def gather(self, future: Any, direct: bool) -> list[Result]:
        if any(task.number == self.killer for task in future.parcel):
            raise KilledError
        return [Result(task.number) for task in future.parcel]


class Done:
    """Futures in the order in which they were added."""

    def __init__(self, loop: Any):
        self.futures: list[Any] = []

    def add(self, future: Any) -> None:
        self.futures.append(future)

    def __next__(self) -> Any:
        return self.futures.pop(0)


def test_a_variant_that_ends_workers_is_named_and_its_fellows_are_made():
    """The parcel goes out again, each variant alone; every task has exactly one result."""
    library = SimpleNamespace(as_completed=Done, KilledWorker=KilledError, CancelledError=KeyError)
    cluster = Cluster(killer=5)
    parcels = Parcels(iter(tasks(100)), 100, 1)
    results = list(_stream(library, cluster, parcels, 3, "tcp://here:1", True))
    assert sorted(result.number for result in results) == list(range(100))
    failed = [result for result in results if result.error]
    assert [result.number for result in failed] == [5]
    assert failed[0].error == "it ended every worker that tried it"
    assert [4, 5, 6, 7] in cluster.sent
    assert all([number] in cluster.sent for number in (4, 5, 6, 7))
