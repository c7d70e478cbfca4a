"""The same work on a Dask cluster of this machine: same bytes, versions compared, losses told."""

from __future__ import annotations

import contextlib
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from conftest import tree

from genbg.batch import run_batch
from genbg.batch.link import ClusterError
from genbg.batch.plan import plan_batch
from genbg.batch.run import store
from genbg.batch.workers import sees_token

pytest.importorskip("distributed")


@contextlib.contextmanager
def cluster(workers: int):
    """A scheduler and workers as the README starts them; yields the address and the scheduler."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"tcp://127.0.0.1:{port}"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    command = [sys.executable, "-m", "distributed.cli.dask_scheduler"]
    scheduler = subprocess.Popen(
        [*command, "--host", "127.0.0.1", "--port", str(port), "--no-dashboard"], **quiet
    )
    command = [sys.executable, "-m", "distributed.cli.dask_worker", address]
    hands = [
        subprocess.Popen(
            [*command, "--nthreads", "1", "--no-dashboard", "--no-nanny", "--host", "127.0.0.1"],
            **quiet,
        )
        for _ in range(workers)
    ]
    try:
        wait_for(port, address, workers)
        yield address, scheduler
    finally:
        for process in (*hands, scheduler):
            process.kill()
            process.wait()


def wait_for(port: int, address: str, workers: int) -> None:
    """Wait until the scheduler answers and has its workers."""
    from distributed import Client

    for _ in range(600):
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
            break
        time.sleep(0.05)
    with Client(address, timeout=30, set_as_default=False) as client:
        if workers:
            client.wait_for_workers(workers, timeout=60)


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_gives_the_same_bytes(ebb, monkeypatch) -> None:
    """Two workers make what local processes make, whether they see the folder, and write there, or
    send files; versions must match."""
    plan = plan_batch(["ebb.toml"], "1-5", ["machine.tile_budget=0,400"])
    run_batch(plan, Path("here"), jobs=2)
    stored = []
    monkeypatch.setattr(
        "genbg.batch.run._store",
        lambda *asked: (stored.append(bool(asked[0].files)), store(*asked)),
    )
    with cluster(2) as (address, scheduler):
        for folder, sees in (("there", True), ("afar", False)):
            with monkeypatch.context() as patch:
                if not sees:
                    patch.setattr("genbg.batch.cluster.shares_folder", lambda *_: False)
                report = run_batch(plan, Path(folder), cluster=address)
            assert (report.made, report.failed) == (5, 5)
            assert tree(Path(folder)) == tree(Path("here"))
        assert stored == [False] * 5 + [True] * 5
        with monkeypatch.context() as other:
            other.setattr("genbg.__version__", "99.0")
            with pytest.raises(ClusterError, match=r"has genbg .*, this machine has genbg 99\.0"):
                run_batch(plan, Path("other"), cluster=address)
        _lose(scheduler, address)


def _lose(scheduler: subprocess.Popen, address: str) -> None:
    """A scheduler that is lost half-way is told, and what is finished is kept."""

    def tell(done: int, whole: int, found: int) -> None:
        if done == 2:
            scheduler.kill()

    plan = plan_batch(["ebb.toml"], "1-40", [], "none")
    with pytest.raises(ClusterError, match="the scheduler was lost; what is finished is kept"):
        run_batch(plan, Path("lost"), cluster=address, tell=tell)
    part = Path("lost/variants.part.jsonl").read_bytes()
    assert part.count(b"\n") >= 2


def test_a_cluster_without_workers_is_told(ebb) -> None:
    """A scheduler alone is no cluster."""
    with cluster(0) as (address, _), pytest.raises(ClusterError, match="has no workers"):
        run_batch(plan_batch(["ebb.toml"], "1", []), Path("none"), cluster=address)


def test_a_worker_knows_the_folder_by_what_lies_in_it(tmp_path) -> None:
    """One of the same name on another disk does not hold the token; none, or one that is not text,
    is no fault."""
    probe = tmp_path / "probe"
    probe.write_text("a1b2")
    assert sees_token(str(probe), "a1b2")
    assert not sees_token(str(probe), "a1b3")
    assert not sees_token(str(tmp_path / "none"), "a1b2")
    probe.write_bytes(bytes([255, 254, 253]))
    assert not sees_token(str(probe), "a1b2")
