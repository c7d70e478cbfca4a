"""The same work on a Dask cluster of this machine: same bytes, versions compared, losses told."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import socket
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from conftest import genbg, tree
from scene_text import a_layer, scene

from genbg.batch import run_batch
from genbg.batch.link import ClusterError
from genbg.batch.plan import plan_batch
from genbg.batch.run import store
from genbg.batch.workers import Workers, sees_token
from genbg.write.png import truecolour_png

pytest.importorskip("distributed")
pytestmark = pytest.mark.slow


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
    send files; a preset's pictures reach each worker once."""
    text = ebb.read_text() + LAYER
    ebb.write_text(text)
    ebb.with_name("hills.png").write_bytes(hills())
    plan = plan_batch(["ebb.toml"], "1-5", ["machine.tile_budget=0,400"])
    run_batch(plan, Path("here"), jobs=2)
    stored, sent = [], []
    monkeypatch.setattr(
        "genbg.batch.run.store",
        lambda *asked: (stored.append(bool(asked[0].files)), store(*asked)),
    )
    ask = Workers.ask_worker
    monkeypatch.setattr(
        Workers, "ask_worker", lambda *asked: (sent.append(asked[2].__name__), ask(*asked))[1]
    )
    with cluster(2) as (address, scheduler):
        for folder, sees in (("there", True), ("afar", False)):
            with monkeypatch.context() as patch:
                if not sees:
                    patch.setattr(Workers, "sees_folder", lambda *_: False)
                report = run_batch(plan, Path(folder), cluster=address)
            assert (report.made, report.failed) == (5, 5)
            assert tree(Path(folder)) == tree(Path("here"))
        assert stored == [False] * 5 + [True] * 5
        assert sent.count("keep_art") == 2 * 2
        with monkeypatch.context() as other:
            other.setattr("genbg.batch.workers.difference", lambda _: "genbg 99.0 (here 0.1.0)")
            with pytest.raises(
                ClusterError, match=r"has genbg 99\.0 \(here 0\.1\.0\); pictures could"
            ):
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


LAYER = scene(
    a_layer("picture", [216, 224], file="hills.png", plane="back", distance=8.0),
)


def hills() -> bytes:
    """A picture of one colour, as wide as the plane."""
    return truecolour_png(np.full((8, 256, 3), 72, dtype=np.uint8))


def test_a_cluster_without_workers_is_told(ebb) -> None:
    """A scheduler alone is no cluster."""
    with cluster(0) as (address, _), pytest.raises(ClusterError, match="has no workers"):
        run_batch(plan_batch(["ebb.toml"], "1", []), Path("none"), cluster=address)


def started(address: str, *more: str) -> subprocess.Popen:
    """One more worker; `more`: what Python runs instead of the library's own program."""
    command = [sys.executable, *(more or ("-m", "distributed.cli.dask_worker"))]
    asked = [address, "--nthreads", "1", "--no-dashboard", "--no-nanny", "--host", "127.0.0.1"]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    return subprocess.Popen([*command, *asked], **quiet)


STRANGE = """
import sys
import numpy
numpy.__version__ = "0.0"
from distributed.cli.dask_worker import main
main()
"""


@pytest.mark.filterwarnings("ignore")
def test_workers_that_come_and_go(ebb) -> None:
    """A worker that joins is used, one of another version gets no work, and one that is killed is
    told; where nobody is left, that is told, and a new one goes on."""
    Path("strange.py").write_text(STRANGE)
    told: list[str] = []
    hands: list[subprocess.Popen] = []
    made_with: set[str] = set()

    with cluster(0) as (address, _):
        hands.append(started(address))
        wait_for(int(address.rsplit(":", 1)[1]), address, 1)

        def tell(done: int, whole: int, found: int) -> None:
            if done == 2:
                hands.extend([started(address, "strange.py"), started(address)])
            known = any("gets no work" in text for text in told)
            if len(hands) == 3 and not known:
                time.sleep(0.25)  # so that work is left when the others have started
            if len(hands) == 3 and known:
                hands[0].kill()
                hands[2].kill()
                hands.append(hands[0])

        def say(text: str) -> None:
            told.append(text)
            if "no worker is left" in text:
                hands.append(started(address))

        plan = plan_batch(["ebb.toml"], "1-80", [], "none")
        try:
            report = run_batch(plan, Path("moved"), cluster=address, tell=tell, say=say)
        finally:
            for process in hands:
                process.kill()
                process.wait()
    assert (report.made, report.failed) == (80, 0)
    for line in Path("moved/variants.jsonl").read_bytes().splitlines():
        made_with.add(json.loads(line)["versions"]["numpy"])
    assert made_with == {np.__version__}
    assert sum("has numpy 0.0 (here" in text for text in told) == 1
    assert any("is gone; others take its work" in text for text in told)
    assert any("no worker is left that can work" in text for text in told)


def test_a_port_of_something_else_is_told(ebb) -> None:
    """Whoever listens there and says nothing, or says something else, is no scheduler."""
    with socket.socket() as dumb:
        dumb.bind(("127.0.0.1", 0))
        dumb.listen(8)
        address = f"tcp://127.0.0.1:{dumb.getsockname()[1]}"
        run = genbg("batch", "ebb.toml", "--seeds", "1", "--cluster", address)
    assert run.returncode == 1
    assert run.stderr.startswith(f"Error: --cluster {address}: no scheduler speaks there")
    assert run.stderr.count("\n") == 1


def test_losses_are_one_message(ebb) -> None:
    """A whole command whose scheduler is killed ends with one message of ours and status 1."""
    with cluster(1) as (address, scheduler):
        command = [sys.executable, "-m", "genbg.cli", "batch", "ebb.toml", "--seeds", "1-500"]
        command += ["--previews", "none", "--cluster", address, "--out", "lost"]
        run = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
        part = Path("lost/variants.part.jsonl")
        while not (part.exists() and part.read_bytes().count(b"\n") >= 2):
            assert run.poll() is None
            time.sleep(0.05)
        scheduler.kill()
        _, said = run.communicate(timeout=60)
    assert run.returncode == 1
    lines = [line for line in said.splitlines() if "is gone; others" not in line]
    assert len(lines) == 1
    assert "the scheduler was lost; what is finished is kept" in lines[0]


def test_a_cluster_with_certificates(ebb, monkeypatch) -> None:
    """tls:// works as the README says: certificates in the environment, on both sides."""
    if shutil.which("openssl") is None:
        assert not os.environ.get("CI"), "CI has openssl"
        pytest.skip("no openssl to make certificates with")
    make = "openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=lamps -keyout key.pem -out"
    subprocess.run([*make.split(), "cert.pem"], check=True, capture_output=True)
    monkeypatch.setenv("DASK_DISTRIBUTED__COMM__TLS__CA_FILE", str(Path("cert.pem").resolve()))
    for role in ("CLIENT", "SCHEDULER", "WORKER"):
        for kind in ("CERT", "KEY"):
            name = f"DASK_DISTRIBUTED__COMM__TLS__{role}__{kind}"
            monkeypatch.setenv(name, str(Path(f"{kind.lower()}.pem").resolve()))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"tls://127.0.0.1:{free.getsockname()[1]}"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    program = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--no-dashboard"]
    hands = [
        subprocess.Popen(
            [*program, "--host", address.rsplit(":", 1)[0], "--port", address.rsplit(":", 1)[1]],
            **quiet,
        )
    ]
    try:
        program = [sys.executable, "-m", "distributed.cli.dask_worker", address, "--no-dashboard"]
        hands.append(subprocess.Popen([*program, "--nthreads", "1", "--no-nanny"], **quiet))
        for _ in range(60):
            run = genbg(
                "batch",
                "ebb.toml",
                "--seeds",
                "1-2",
                "--previews",
                "none",
                "--out",
                "t",
                "--cluster",
                address,
            )
            if run.returncode == 0:
                break
            assert "no scheduler answers" in run.stderr or "has no workers" in run.stderr, (
                run.stderr
            )
            time.sleep(0.5)
        assert "2 made" in run.stdout
    finally:
        for process in hands:
            process.kill()
            process.wait()


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
