"""How much faster two jobs are than one, and what a cluster of two workers costs beside them.

    python tests/benchmarks/batch_rate.py [PRESET] [VARIANTS] [ROUNDS]

Runs the same batch with one process, with two, and (where `distributed` is installed) on a
scheduler with two single-threaded workers on this machine, one after the other, round after round.
Prints each round's ratios, and those of the best times, since what else the machine does only ever
adds; beside each round, the share of the processor that other guests of the machine took.
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
    """The same on a cluster as the README says, started before the clock and stopped after it."""
    from distributed import Client

    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address, quiet = f"tcp://127.0.0.1:{port}", {"stderr": subprocess.DEVNULL}
    program = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--no-dashboard"]
    hands = [subprocess.Popen([*program, "--host", "127.0.0.1", "--port", str(port)], **quiet)]
    program = [sys.executable, "-m", "distributed.cli.dask_worker", address, "--no-dashboard"]
    hands += [subprocess.Popen([*program, "--nworkers", "2", "--nthreads", "1"], **quiet)]
    try:
        time.sleep(3)
        with Client(address, timeout=30, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=60)
        return timed(plan, folder, cluster=address)
    finally:
        for process in reversed(hands):  # a worker's guardian, asked to end, ends its worker too
            process.terminate()
            process.wait(60)


def stolen() -> tuple[int, int]:
    """Ticks that went to other guests of the machine, and all ticks; proc(5), /proc/stat."""
    ticks = [int(word) for word in Path("/proc/stat").read_text().splitlines()[0].split()[1:9]]
    return ticks[7], sum(ticks)


def main(preset: str = "moon-arches", variants: str = "200", rounds: str = "2") -> None:
    plan = plan_batch([preset], f"1-{variants}", [])
    best: dict[str, float] = {}
    for number in range(int(rounds)):
        before = stolen()
        with tempfile.TemporaryDirectory() as drawer:
            times = {
                "one": timed(plan, Path(drawer, "one"), jobs=1),
                "two": timed(plan, Path(drawer, "two"), jobs=2),
                "far": on_cluster(plan, Path(drawer, "far")),
            }
        after = stolen()
        share = (after[0] - before[0]) / max(1, after[1] - before[1])
        best = {name: min(spent, best.get(name, spent)) for name, spent in times.items()}
        tell(f"round {number + 1}", times, f"; stolen {share:.1%}")
    tell(f"best, {variants} variants of {preset}", best, "")


def tell(what: str, times: dict[str, float], more: str) -> None:
    one, two, far = times["one"], times["two"], times["far"]
    print(
        f"{what}: one job {one:.1f} s, two jobs {one / two:.2f} times its rate; the cluster takes "
        f"{far / two:.3f} times as long as two jobs{more}",
        flush=True,
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
