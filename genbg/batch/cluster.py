"""Spreads the work over a Dask cluster, whose workers need no disk in common.

Presets and pictures go out as bytes, exports come back as bytes and are written here as they come;
where all workers see the batch's folder, they write exports there themselves, which spares this
process two fifths of its work and the network nearly all. A bounded number is under way, so memory
does not grow with the batch. `distributed` is an extra (`genbg[cluster]`), imported here only.
"""

from __future__ import annotations

import dataclasses
import functools
import itertools
import os
import re
import secrets
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from genbg.batch.work import Result, Task, run_task
from genbg.errors import GenbgError
from genbg.write.disk import system_call

CONNECT_S = 10
IN_FLIGHT = 3
"""Parcels under way for each thread of the cluster."""

PARCEL = 4
"""Variants that travel together: the scheduler and this process work a few milliseconds on every
parcel, however much is in it."""

LAST_PARCELS = 8
"""Parcels become smaller toward the end of a batch, so that each thread still gets so many and
none waits long for the others."""

M_TRIM_THRESHOLD, M_MMAP_THRESHOLD = -1, -3
HELD_BYTES, ARRAY_BYTES = 128 << 20, 32 << 20
"""Options of mallopt, Linux manual page mallopt(3): free memory that a process keeps, and up to
which size an array is taken from it."""


class ClusterError(GenbgError):
    """The cluster can't be reached, does not fit this machine, or was lost."""


def versions() -> dict[str, str]:
    """What has to be the same here and on every worker."""
    import numpy

    from genbg import __version__

    return {"genbg": __version__, "numpy": numpy.__version__}


def run_far(tasks: tuple[Task, ...]) -> list[Result]:
    """Make some variants on a worker."""
    hold_memory()
    stop_sampling()
    return [run_task(task) for task in tasks]


@functools.cache
def hold_memory() -> None:
    """Let this process use again what its arrays have left.

    Workers are started with a setting that gives the memory of every array back to the system at
    once, with which a variant takes nearly twice the time. Where the C library knows no mallopt,
    nothing is done.
    """
    mallopt = system_call("mallopt")
    if mallopt is not None:
        mallopt(M_TRIM_THRESHOLD, HELD_BYTES)
        mallopt(M_MMAP_THRESHOLD, ARRAY_BYTES)


@functools.cache
def stop_sampling() -> None:
    """Let this worker work without being sampled.

    Workers look a hundred times a second at what their thread is doing, for a chart of the
    scheduler's; a variant took 5 % longer for it. Where there is no such sampling, nothing is done.
    """
    worker = _library().get_worker()
    sampling = worker.periodic_callbacks.get("profile")
    if sampling is not None:
        worker.loop.add_callback(sampling.stop)


def run_cluster(tasks: Iterator[Task], most: int, address: str, folder: Path) -> Iterator[Result]:
    """Yield the results of tasks, at most so many, as they come from the cluster at `address`.

    folder: in which the tasks' exports belong; workers that see it write there, others send files

    Raises ClusterError where the cluster can't be reached or is lost, where it has no worker, and
    where a worker's version of genbg or numpy is not ours.
    """
    distributed = _library()
    knock(address)
    try:
        client = distributed.Client(address, timeout=CONNECT_S, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise ClusterError(f"--cluster {address}: no scheduler speaks there ({error})") from error
    with client:
        threads = check_workers(client, address)
        direct = all(map(is_reachable, client.scheduler_info()["workers"]))
        if not shares_folder(client, folder):
            tasks = (dataclasses.replace(task, out=None) for task in tasks)
        parcels = Parcels(tasks, most, threads)
        yield from _stream(distributed, client, parcels, threads * IN_FLIGHT, address, direct)


def knock(address: str) -> None:
    """Raise ClusterError where the address is none or nobody listens there.

    The library would try on for a while, and tell of it in many lines.
    """
    found = re.fullmatch(r"(?:tcp|tls)://(\[[0-9a-fA-F:.]+\]|[^\s:/]+):(\d{1,5})", address)
    if not found or int(found[2]) > 65535:
        raise ClusterError(f"--cluster {address}: is no address; tcp://HOST:PORT is meant")
    try:
        socket.create_connection((found[1].strip("[]"), int(found[2])), CONNECT_S).close()
    except OSError as error:
        raise ClusterError(
            f"--cluster {address}: no scheduler answers there ({error}); start one with `dask "
            "scheduler`, and workers with `dask worker ADDRESS --nthreads 1`"
        ) from error


def shares_folder(client: Any, folder: Path) -> bool:
    """Whether every worker sees this folder, and not only one of the same name, and may write."""
    token = secrets.token_hex(16)
    probe = folder.resolve() / f"{token}.genbg-draft"
    try:
        probe.write_text(token)
        found = client.run(sees_token, str(probe), token)
    except OSError:
        return False
    finally:
        probe.unlink(missing_ok=True)
    return all(found.values())


def sees_token(probe: str, token: str) -> bool:
    """Whether a file holds a token, and its folder can be written to."""
    try:
        return Path(probe).read_text() == token and os.access(Path(probe).parent, os.W_OK)
    except (OSError, ValueError):
        return False


def is_reachable(worker: str) -> bool:
    """Whether exports can be fetched from a worker itself, past the scheduler."""
    try:
        knock(worker)
    except ClusterError:
        return False
    return True


def _library() -> Any:
    try:
        import distributed  # type: ignore[import-not-found, unused-ignore]
    except ImportError as error:
        raise ClusterError(
            "--cluster needs the extra `cluster`: pip install 'genbg[cluster]'"
        ) from error
    return distributed


def check_workers(client: Any, address: str) -> int:
    """Compare versions on every worker; return how many threads the cluster has."""
    try:
        found = client.run(versions)
    except Exception as error:
        raise ClusterError(
            f"--cluster {address}: a worker can't import genbg ({error}); install the same version "
            "of genbg there"
        ) from error
    if not found:
        raise ClusterError(
            f"--cluster {address}: the scheduler has no workers; start some with "
            f"`dask worker {address} --nthreads 1`"
        )
    ours = versions()
    for worker, theirs in sorted(found.items()):
        for name, version in ours.items():
            if theirs[name] != version:
                raise ClusterError(
                    f"--cluster {address}: worker {worker} has {name} {theirs[name]}, this machine "
                    f"has {name} {version}; pictures could differ, so install one version on all"
                )
    return max(1, sum(client.nthreads().values()))


class Parcels:
    """Tasks, several to a parcel. Iterates over tuples of them, none empty."""

    def __init__(self, tasks: Iterator[Task], most: int, threads: int):
        """tasks: at most so many; threads: of the cluster"""
        self._tasks, self._left, self._threads = tasks, most, threads
        self._alone: list[Task] = []

    def __iter__(self) -> Iterator[tuple[Task, ...]]:
        return self

    def __next__(self) -> tuple[Task, ...]:
        if self._alone:
            return (self._alone.pop(),)
        size = max(1, min(PARCEL, self._left // (self._threads * LAST_PARCELS)))
        parcel = tuple(itertools.islice(self._tasks, size))
        if not parcel:
            raise StopIteration
        self._left = max(0, self._left - len(parcel))
        return parcel

    def send_again(self, parcel: tuple[Task, ...]) -> None:
        """Hand out the tasks of a parcel once more, before all others and each alone."""
        self._alone.extend(reversed(parcel))


def _stream(
    distributed: Any, client: Any, parcels: Parcels, room: int, address: str, direct: bool
) -> Iterator[Result]:
    """Keep `room` parcels under way; hand on each result and forget it.

    direct: whether results come from the workers themselves
    """
    under_way: dict[Any, tuple[Task, ...]] = {}
    done = distributed.as_completed(loop=client.loop)

    def send() -> bool:
        parcel = next(parcels, None)
        if parcel is None:
            return False
        future = client.submit(run_far, parcel, pure=False, retries=2)
        under_way[future] = parcel
        done.add(future)
        return True

    while len(under_way) < room and send():
        pass
    while under_way:
        future = next(done)
        parcel = under_way.pop(future)
        try:
            yield from client.gather(future, direct=direct)
        except distributed.KilledWorker:
            if len(parcel) > 1:  # one of them did it: alone, it will be known
                parcels.send_again(parcel)
            else:
                yield Result(parcel[0].number, error="it ended every worker that tried it")
        except (distributed.CancelledError, OSError, TimeoutError) as error:
            raise ClusterError(
                f"--cluster {address}: the scheduler was lost; what is finished is kept, and the "
                "same command goes on from there"
            ) from error
        future.release()
        send()
