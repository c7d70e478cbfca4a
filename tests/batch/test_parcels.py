"""Variants travel to a cluster several at a time; one that ends workers is still found alone."""

from __future__ import annotations

import asyncio
import threading
from types import SimpleNamespace
from typing import Any, ClassVar

import pytest

from genbg.batch.cluster import IN_FLIGHT, LAST_PARCELS, PARCEL, Parcels, Stream
from genbg.batch.versions import versions
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
    """What was sent, done at once."""

    def __init__(self, parcel: tuple[Task, ...]):
        self.parcel = parcel

    def add_done_callback(self, call: Any) -> None:
        call(self)

    def release(self) -> None:
        """Nothing is held."""


LOOP = asyncio.new_event_loop()
threading.Thread(target=LOOP.run_forever, daemon=True).start()


class Cluster:
    """Stands in for a cluster: runs what it is sent at once; one variant ends every worker, and
    results of one are made with other versions for so many times."""

    def __init__(self, killer: int = -1, strange: int = -1, times: int = 0):
        self.killer, self.strange, self.times, self.sent = killer, strange, times, []

    @property
    def loop(self) -> Any:
        return SimpleNamespace(asyncio_loop=LOOP)

    def submit(self, _: Any, parcel: tuple[Task, ...], **__: Any) -> Any:
        self.sent.append([task.number for task in parcel])
        return Future(parcel)

    async def gather(self, future: Any, direct: bool, asynchronous: bool) -> list[Result]:
        assert asynchronous
        return [self.result(task.number) for task in future.parcel]

    def result(self, number: int) -> Result:
        if number == self.killer:
            raise KilledError
        if number == self.strange and self.times:
            self.times -= 1
            return Result(number, versions={**versions(), "numpy": "0.0"})
        return Result(number, versions=versions())


class Crew:
    """Workers that are all good; a second one joins after the first look."""

    good: ClassVar = {"here:1": 1}
    threads, shared, direct = 1, True, True

    def look(self) -> None:
        """Nobody comes."""

    send_art = look


LIBRARY = SimpleNamespace(KilledWorker=KilledError, CancelledError=KeyError)


def stream(client: Cluster, crew: Any, count: int) -> Stream:
    return Stream(LIBRARY, client, Parcels(iter(tasks(count)), count, 1), crew, "tcp://here:1")


def test_a_variant_that_ends_workers_is_named_and_its_fellows_are_made():
    """The parcel goes out again, each variant alone; every task has exactly one result."""
    cluster = Cluster(killer=5)
    results = list(stream(cluster, Crew(), 100).results())
    assert sorted(result.number for result in results) == list(range(100))
    failed = [result for result in results if result.error]
    assert [result.number for result in failed] == [5]
    assert failed[0].error == "it ended every worker that tried it"
    assert [4, 5, 6, 7] in cluster.sent
    assert all([number] in cluster.sent for number in (4, 5, 6, 7))


@pytest.mark.parametrize("times", [1, 2, 3])
def test_a_result_of_other_versions_is_refused_and_made_again(times):
    """It goes out again, and is a failure only where nobody makes it with ours."""
    results = list(stream(Cluster(strange=9, times=times), Crew(), 20).results())
    assert sorted(result.number for result in results) == list(range(20))
    failed = {result.number: result.error for result in results if result.error}
    assert set(failed) == (set() if times < 3 else {9})
    assert all("made with numpy 0.0 (here" in error for error in failed.values())


def test_work_under_way_follows_the_threads_there_are(monkeypatch):
    """Where a cluster grows, so does what is sent to it at once."""
    monkeypatch.setattr("genbg.batch.cluster.LOOK_EVERY_S", 0.0)

    class Growing(Crew):
        def look(self) -> None:
            self.threads, self.good = 8, {f"here:{n}": 1 for n in range(8)}

    flow = stream(Cluster(), Growing(), 400)
    most = [len(flow._under_way) for _ in flow.results()]
    assert most[0] <= IN_FLIGHT
    assert max(most) > 7 * IN_FLIGHT


def test_what_only_lost_workers_may_do_is_sent_again(monkeypatch):
    """A parcel whose workers are all gone goes to those there are now."""
    monkeypatch.setattr("genbg.batch.cluster.LOOK_EVERY_S", 0.01)

    class Silent(Cluster):
        def submit(self, call: Any, parcel: tuple[Task, ...], workers: list[str], **_: Any) -> Any:
            future = super().submit(call, parcel)
            if workers == ["here:1"]:
                future.add_done_callback = lambda _: None
            return future

    class Moving(Crew):
        def look(self) -> None:
            self.good = {"here:2": 1}

    results = list(stream(Silent(), Moving(), 30).results())
    assert sorted(result.number for result in results) == list(range(30))


def test_results_that_went_with_their_worker_are_made_again(monkeypatch):
    """A worker ends between being done and handing over: the library would wait for ever."""
    monkeypatch.setattr("genbg.batch.cluster.LOOK_EVERY_S", 0.01)

    class Vanishing(Cluster):
        def submit(self, call: Any, parcel: tuple[Task, ...], workers: list[str], **_: Any) -> Any:
            future = super().submit(call, parcel)
            future.held_by = workers
            return future

        async def gather(self, future: Any, direct: bool, asynchronous: bool) -> list[Result]:
            if future.held_by == ["here:1"]:
                await asyncio.Event().wait()
            return await super().gather(future, direct, asynchronous)

    class Moving(Crew):
        def look(self) -> None:
            self.good = {"here:2": 1}

    results = list(stream(Vanishing(), Moving(), 30).results())
    assert sorted(result.number for result in results) == list(range(30))
