"""Spreads the work over a Dask cluster, whose workers need no disk in common.

Presets go out as text and pictures as bytes, each picture once to each worker; exports come back as
bytes and are written here as they come. Where all workers see the batch's folder, they write
exports there themselves, which spares this process two fifths of its work and the network nearly
all. A bounded number is under way, so memory does not grow with the batch.

Workers may come and go: `workers.py` looks at each before it gets work. `distributed` is an extra
(`genbg[cluster]`), imported in `link.py` only.
"""

from __future__ import annotations

import asyncio
import concurrent.futures
import contextlib
import dataclasses
import itertools
import queue
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from genbg.batch.link import ClusterError, close, connect, library, quiet_library
from genbg.batch.versions import difference
from genbg.batch.work import Result, Task
from genbg.batch.workers import Workers, run_far

LOOK_EVERY_S = 1.0
"""How often the workers are counted."""

IN_FLIGHT = 3
"""Parcels under way for each thread of the cluster."""

PARCEL = 4
"""Variants that travel together: the scheduler and this process work a few milliseconds on every
parcel, however much is in it."""

LAST_PARCELS = 8
"""Parcels become smaller toward the end of a batch, so that each thread still gets so many and
none waits long for the others."""

RETRIES = 2
"""How often the scheduler sends a parcel again by itself."""

MOST_TRIES = 3
"""How often a variant is sent out that no worker brings back."""

Say = Callable[[str], None]


def run_cluster(
    tasks: Iterator[Task], most: int, address: str, folder: Path, art: dict[str, bytes], say: Say
) -> Iterator[Result]:
    """Yield the results of tasks, at most so many, as they come from the cluster at `address`.

    folder: in which the tasks' exports belong; workers that see it write there, others send files
    art: {digest: a picture}, of all pictures that tasks seen so far need
    say: told what the user should know of the workers

    Raises ClusterError where the cluster can't be reached or is lost, and where it has no worker
    that fits at the start.
    """
    distributed = library()
    with quiet_library():
        client = connect(distributed, address)
        try:
            workers = Workers(client, address, folder, art, say)
            workers.begin()
            yield from Stream(distributed, client, Parcels(tasks, most), workers, address).results()
        finally:
            close(client)


class Parcels:
    """Tasks, several to a parcel. Iterates over tuples of them, none empty.

    threads: of the cluster as it is now
    """

    def __init__(self, tasks: Iterator[Task], most: int, threads: int = 1):
        """tasks: at most so many"""
        self._tasks, self._left, self.threads = tasks, most, threads
        self._again: list[tuple[Task, ...]] = []

    def __iter__(self) -> Iterator[tuple[Task, ...]]:
        return self

    def __next__(self) -> tuple[Task, ...]:
        if self._again:
            return self._again.pop()
        size = max(1, min(PARCEL, self._left // (self.threads * LAST_PARCELS)))
        parcel = tuple(itertools.islice(self._tasks, size))
        if not parcel:
            raise StopIteration
        self._left = max(0, self._left - len(parcel))
        return parcel

    def send_again(self, parcel: tuple[Task, ...]) -> None:
        """Hand out the tasks of a parcel once more, before all others and each alone."""
        self._again.extend((task,) for task in reversed(parcel))

    def send_whole(self, parcel: tuple[Task, ...]) -> None:
        """Hand out a parcel once more as it is, before all others."""
        self._again.append(parcel)


class Stream:
    """Parcels under way, as many as the cluster has use for, and what becomes of them."""

    def __init__(
        self, distributed: Any, client: Any, parcels: Parcels, workers: Workers, address: str
    ):
        self.library, self.client, self.address = distributed, client, address
        self.parcels, self.workers = parcels, workers
        self._under_way: dict[Any, tuple[tuple[Task, ...], frozenset[str]]] = {}
        self._done: queue.SimpleQueue[Any] = queue.SimpleQueue()
        self._tries: dict[int, int] = {}

    def results(self) -> Iterator[Result]:
        """Yield all results. Raises ClusterError where the scheduler is lost."""
        looked = time.monotonic()
        self._fill()
        while self._under_way or self._fill():
            try:
                future = self._done.get(timeout=LOOK_EVERY_S)
            except queue.Empty:
                future = None
            if future in self._under_way:
                yield from self._take(future)
            if time.monotonic() - looked >= LOOK_EVERY_S:
                looked = time.monotonic()
                self._look()
            self._fill()

    def _look(self) -> None:
        """Count the workers; what only lost ones may do is sent out again."""
        self._guarded(self.workers.look)
        good = self.workers.good
        self.parcels.threads = max(1, self.workers.threads)
        for future, (parcel, sent) in list(self._under_way.items()):
            if good and not sent & good.keys():
                self._drop(future)
                self.parcels.send_whole(parcel)

    def _fill(self) -> bool:
        """Send parcels until enough are under way; return whether any is."""
        while self.workers.good and len(self._under_way) < self.workers.threads * IN_FLIGHT:
            parcel = next(self.parcels, None)
            if parcel is None:
                break
            self._guarded(self.workers.send_art)
            if not self.workers.shared:
                parcel = tuple(dataclasses.replace(task, out=None) for task in parcel)
            good = frozenset(self.workers.good)
            if not good:
                self.parcels.send_whole(parcel)
                break
            self._send(parcel, good)
        return bool(self._under_way)

    def _send(self, parcel: tuple[Task, ...], good: frozenset[str]) -> None:
        future = self._guarded(
            lambda: self.client.submit(
                run_far, parcel, pure=False, retries=RETRIES, workers=list(good)
            )
        )
        self._under_way[future] = parcel, good
        future.add_done_callback(self._done.put)

    def _take(self, future: Any) -> Iterator[Result]:
        """Yield the results of a parcel that is done; of what it lacks, send it again."""
        parcel, _ = self._under_way[future]
        try:
            made = self._fetch(future, parcel)
        except ClusterError:
            raise
        except self.library.KilledWorker:
            if len(parcel) > 1:  # one of them did it: alone, it will be known
                self.parcels.send_again(parcel)
            else:
                yield Result(parcel[0].number, error="it ended every worker that tried it")
        except (self.library.CancelledError, OSError, TimeoutError) as error:
            raise self._lost() from error
        except Exception as error:  # whatever a strange worker raises
            yield from self._refused(parcel, f"{type(error).__name__}: {error}")
        else:
            for task, result in made:
                why = difference(result.versions)
                yield from self._refused((task,), f"made with {why}") if why else (result,)
        if self._under_way.pop(future, None):
            future.release()

    def _fetch(self, future: Any, parcel: tuple[Task, ...]) -> list[tuple[Task, Result]]:
        """Return each task of a parcel with its result; none where all was sent out again.

        The worker that holds the results may end just now. Then the library waits for one that
        makes them anew, for ever where none comes; so the workers are counted while it waits.
        """
        fetching = asyncio.run_coroutine_threadsafe(
            self.client.gather(future, direct=self.workers.direct, asynchronous=True),
            self.client.loop.asyncio_loop,
        )
        while not concurrent.futures.wait([fetching], LOOK_EVERY_S).done:
            self._look()
            if future not in self._under_way:
                fetching.cancel()
                return []
        return list(zip(parcel, fetching.result(), strict=True))

    def _refused(self, parcel: tuple[Task, ...], why: str) -> Iterator[Result]:
        """Send tasks out again; yield a failure for those that were sent often enough."""
        for task in reversed(parcel):
            self._tries[task.number] = self._tries.get(task.number, 0) + 1
            if self._tries[task.number] < MOST_TRIES:
                self.parcels.send_again((task,))
            else:
                yield Result(task.number, error=f"no worker could make it ({why})")

    def _drop(self, future: Any) -> None:
        del self._under_way[future]
        with contextlib.suppress(Exception):
            future.cancel()

    def _guarded(self, call: Callable[[], Any]) -> Any:
        """Call the scheduler; raise ClusterError where it is gone."""
        try:
            return call()
        except ClusterError:
            raise
        except Exception as error:
            raise self._lost() from error

    def _lost(self) -> ClusterError:
        return ClusterError(
            f"--cluster {self.address}: the scheduler was lost; what is finished is kept, and the "
            "same command goes on from there"
        )
