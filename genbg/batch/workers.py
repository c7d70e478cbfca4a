"""The workers of a cluster: each is looked at before it gets work, and counted as they come and go.

What runs on a worker lies here too: it makes variants and keeps the pictures that it was sent.
"""

from __future__ import annotations

import functools
import os
import secrets
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from genbg.batch.link import ClusterError, is_reachable, library
from genbg.batch.versions import difference, versions
from genbg.batch.work import Result, Task, run_task
from genbg.write.disk import system_call

NOBODY_AFTER_S, NOBODY_EVERY_S = 5.0, 30.0
"""After how long, and how often from then on, it is told that no worker is left."""

ANSWER_S = 20
"""How long a worker may take to say which versions it has."""

M_TRIM_THRESHOLD, M_MMAP_THRESHOLD = -1, -3
HELD_BYTES, ARRAY_BYTES = 128 << 20, 32 << 20
"""Options of mallopt, Linux manual page mallopt(3): free memory that a process keeps, and up to
which size an array is taken from it."""

_ART: dict[str, bytes] = {}
"""On a worker: the pictures that it was sent, by digest."""


class Workers:
    """Who may be given work.

    good: {address: threads} of workers with our versions; shared: whether all of them see the
    batch's folder; direct: whether exports can be fetched from all of them past the scheduler
    """

    def __init__(
        self,
        client: Any,
        address: str,
        folder: Path,
        art: dict[str, bytes],
        say: Callable[[str], None],
    ):
        self.client, self.address, self.folder = client, address, folder
        self.art, self.say = art, say
        self.good: dict[str, int] = {}
        self.shared = self.direct = True
        self._bad: set[str] = set()
        self._sent: dict[str, set[str]] = {}
        self._alone_since: float | None = None
        self._told = 0.0

    @property
    def threads(self) -> int:
        """Threads of all good workers."""
        return sum(self.good.values())

    def begin(self) -> None:
        """Look at the workers that are there. Raises ClusterError where none of them fits."""
        there = self._there()
        if not there:
            raise ClusterError(
                f"--cluster {self.address}: the scheduler has no workers; start some with "
                f"`dask worker {self.address} --nthreads 1`"
            )
        refused = self._admit(there)
        if not self.good:
            raise ClusterError(f"--cluster {self.address}: {refused[0]}")
        for text in refused:
            self.say(f"--cluster {self.address}: {text}")

    def look(self) -> None:
        """Count again: new workers are looked at, and what the user should know is told."""
        there = self._there()
        lost = [worker for worker in self.good if worker not in there]
        for worker in lost:
            del self.good[worker]
            self._sent.pop(worker, None)
            self.say(f"--cluster {self.address}: worker {worker} is gone; others take its work")
        new = {w: n for w, n in there.items() if w not in self.good and w not in self._bad}
        for text in self._admit(new):
            self.say(f"--cluster {self.address}: {text}")
        self._tell_if_nobody()

    def send_art(self) -> None:
        """Send each worker the pictures that it has not had yet."""
        for worker in list(self.good):
            lacking = {d: data for d, data in self.art.items() if d not in self._sent[worker]}
            if lacking:
                self._sent[worker] |= lacking.keys()
                if self.ask_worker(worker, keep_art, lacking) is not None:
                    del self.good[worker]  # gone, or looked at anew in a moment

    def _there(self) -> dict[str, int]:
        """Return {address: threads} of all workers that the scheduler knows now."""
        found = self.client.sync(
            self.client.scheduler.identity, n_workers=-1, callback_timeout=ANSWER_S
        )["workers"]
        return {address: int(worker["nthreads"]) for address, worker in found.items()}

    def _admit(self, new: dict[str, int]) -> list[str]:
        """Look at new workers; return a sentence for each that does not fit."""
        refused = []
        for worker, threads in sorted(new.items()):
            theirs = self.ask_worker(worker, versions)
            if not isinstance(theirs, dict):
                why = f"can't run genbg ({theirs}); it gets no work"
            else:
                why = difference(theirs)
                why = why and f"has {why}; pictures could differ, so it gets no work"
            if why:
                self._bad.add(worker)
                refused.append(f"worker {worker} {why}; install one version of all on all machines")
                continue
            self.shared = self.shared and self.sees_folder(worker)
            self.direct = self.direct and is_reachable(worker)
            self._sent[worker] = set()
            self.good[worker] = threads
        return refused

    def ask_worker(self, worker: str, function: Callable[..., Any], *asked: Any) -> Any:
        """Return what a function returns on a worker, or the text of what goes wrong there."""
        try:
            found = self.client.run(
                function, *asked, workers=[worker], on_error="return", callback_timeout=ANSWER_S
            )
        except Exception as error:  # the worker is gone, or what it says can't be read
            return f"{type(error).__name__}: {error}".splitlines()[0]
        answer = found.get(worker)
        return str(answer) if isinstance(answer, Exception) else answer

    def sees_folder(self, worker: str) -> bool:
        """Whether a worker sees the batch's folder, and not only one of the same name, and may
        write there."""
        token = secrets.token_hex(16)
        probe = self.folder.resolve() / f"{token}.genbg-draft"
        try:
            probe.write_text(token)
            return self.ask_worker(worker, sees_token, str(probe), token) is True
        except OSError:
            return False
        finally:
            probe.unlink(missing_ok=True)

    def _tell_if_nobody(self) -> None:
        """Say that no worker is left, soon and then now and again."""
        now = time.monotonic()
        if self.good:
            self._alone_since = None
            return
        if self._alone_since is None:
            self._alone_since, self._told = now, now + NOBODY_AFTER_S - NOBODY_EVERY_S
        if now - self._told >= NOBODY_EVERY_S:
            self._told = now
            self.say(
                f"--cluster {self.address}: no worker is left that can work; waiting for one "
                f"(`dask worker {self.address} --nthreads 1`)"
            )


def run_far(tasks: tuple[Task, ...]) -> list[Result]:
    """On a worker: make some variants."""
    hold_memory()
    stop_sampling()
    return [run_task(task, _ART) for task in tasks]


def keep_art(art: dict[str, bytes]) -> None:
    """On a worker: keep pictures for the variants to come."""
    _ART.update(art)


def sees_token(probe: str, token: str) -> bool:
    """On a worker: whether a file holds a token, and its folder can be written to."""
    try:
        return Path(probe).read_text() == token and os.access(Path(probe).parent, os.W_OK)
    except (OSError, ValueError):
        return False


@functools.cache
def hold_memory() -> None:
    """On a worker: let this process use again what its arrays have left.

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
    """On a worker: let it work without being sampled.

    Workers look a hundred times a second at what their thread is doing, for a chart of the
    scheduler's; a variant took 5 % longer for it. Where there is no such sampling, nothing is done.
    """
    worker = library().get_worker()
    sampling = worker.periodic_callbacks.get("profile")
    if sampling is not None:
        worker.loop.add_callback(sampling.stop)
