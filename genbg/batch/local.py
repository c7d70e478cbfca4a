"""Spreads the work over processes of this machine.

Processes are spawned, which is safe beside threads and the same on all systems. The threads of the
numeric libraries are held to one a process, so that N processes use N cores.

A worker that dies (killed, out of memory) breaks the pool. Nobody can say which of the tasks then
under way was the cause, so each is tried again alone in a pool of its own, and the rest goes on in
a new pool: a task that kills its worker twice when alone is given up, and only that one.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import threading
import time
from collections.abc import Generator, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool

from genbg.batch.work import Result, Task, run_task

IN_FLIGHT = 3
"""Tasks handed to the pool for each process: one at work and two waiting."""
TRIES_ALONE = 2
WATCH_S = 1.0
"""How often a worker looks whether its parent is still there."""
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")


def run_local(tasks: Iterator[Task], jobs: int) -> Iterator[Result]:
    """Yield the results of tasks as they come, `jobs` at a time."""
    suspects: list[Task] = []
    tasks = iter(tasks)
    drained = False
    while not drained or suspects:
        for task in suspects:
            yield run_alone(task)
        suspects = []
        with one_thread_each(), open_pool(jobs) as pool:
            broken = yield from _run_pool(pool, tasks, jobs)
        drained = broken is None
        suspects = broken or []


def _run_pool(
    pool: ProcessPoolExecutor, tasks: Iterator[Task], jobs: int
) -> Generator[Result, None, list[Task] | None]:
    """Feed a pool until the tasks are done (returns None) or it breaks (returns those lost)."""
    flying: dict[Future[Result], Task] = {}
    more = True
    while True:
        try:
            while more and len(flying) < jobs * IN_FLIGHT:
                task = next(tasks, None)
                if task is None:
                    more = False
                    break
                flying[_submit(pool, task)] = task
        except _LostTaskError as lost:
            return [*flying.values(), lost.task]
        if not flying:
            return None
        done, _ = wait(flying, return_when=FIRST_COMPLETED)
        lost_tasks = []
        for future in sorted(done, key=lambda one: flying[one].number):
            task = flying.pop(future)
            try:
                result = future.result()
            except BrokenProcessPool:
                lost_tasks.append(task)
                continue
            yield result
        if lost_tasks:
            return [*lost_tasks, *flying.values()]


class _LostTaskError(Exception):
    def __init__(self, task: Task):
        super().__init__()
        self.task = task


def _submit(pool: ProcessPoolExecutor, task: Task) -> Future[Result]:
    try:
        return pool.submit(run_task, task)
    except BrokenProcessPool as error:
        raise _LostTaskError(task) from error


def run_alone(task: Task) -> Result:
    """The result of one task in a process of its own, which may die with it."""
    for _ in range(TRIES_ALONE):
        with one_thread_each(), open_pool(1) as pool, contextlib.suppress(BrokenProcessPool):
            return pool.submit(run_task, task).result()
    return Result(task.number, error=f"its process died {TRIES_ALONE} times when it ran alone")


@contextlib.contextmanager
def open_pool(jobs: int) -> Iterator[ProcessPoolExecutor]:
    """A pool that, when left early, drops what waits and does not wait for what is under way."""
    pool = ProcessPoolExecutor(
        jobs,
        mp_context=multiprocessing.get_context("spawn"),
        initializer=start_worker,
        initargs=(os.getpid(),),
    )
    try:
        yield pool
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        raise
    pool.shutdown(wait=True)


@contextlib.contextmanager
def one_thread_each() -> Iterator[None]:
    """Numeric libraries of processes started within use one thread each."""
    before = {name: os.environ.get(name) for name in THREADS}
    os.environ.update(dict.fromkeys(THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


def start_worker(parent: int) -> None:
    """Leave Ctrl-C to the parent, and end when the parent is gone (killed, too)."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(WATCH_S)
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
