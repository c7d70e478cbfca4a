"""How much faster two jobs are than one, and what a cluster of two workers costs beside them.

    python tests/benchmarks/batch_rate.py [PRESET] [VARIANTS]

Runs the same batch with one process, with two, and (where `distributed` is installed) on a
scheduler with two single-threaded workers on this machine, one after the other, and prints ratios.
"""

from __future__ import annotations

import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from genbg.batch import run_batch
from genbg.batch.plan import plan_batch


def timed(plan, folder: Path, **how) -> float:
    """Seconds that a batch takes; all its variants have to be made."""
    began = time.monotonic()
    report = run_batch(plan, folder, **how)
    assert report.made == len(plan)
    return time.monotonic() - began


def on_cluster(plan, folder: Path) -> float:
    """The same on a cluster, started before the clock and stopped after it."""
    from distributed import Client

    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address, quiet = f"tcp://127.0.0.1:{port}", {"stderr": subprocess.DEVNULL}
    program = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--no-dashboard"]
    hands = [subprocess.Popen([*program, "--host", "127.0.0.1", "--port", str(port)], **quiet)]
    program = [sys.executable, "-m", "distributed.cli.dask_worker", address, "--no-dashboard"]
    hands += [subprocess.Popen([*program, "--nthreads", "1", "--no-nanny"], **quiet) for _ in "12"]
    try:
        time.sleep(3)
        with Client(address, timeout=30, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=60)
        return timed(plan, folder, cluster=address)
    finally:
        for process in hands:
            process.kill()


def main(preset: str = "reed-dawn", variants: str = "200") -> None:
    plan = plan_batch([preset], f"1-{variants}", [])
    with tempfile.TemporaryDirectory() as drawer:
        one = timed(plan, Path(drawer, "one"), jobs=1)
        two = timed(plan, Path(drawer, "two"), jobs=2)
        print(
            f"{variants} variants of {preset}: two jobs reach {one / two:.2f} times one job's rate"
        )
        far = on_cluster(plan, Path(drawer, "far"))
        print(f"the cluster takes {far / two:.3f} times as long as two jobs")


if __name__ == "__main__":
    main(*sys.argv[1:])
