"""How long `genbg --help` takes beside a bare click program, side by side in one run.

    python tests/benchmarks/start_up.py

Prints the medians and their ratio; ends with 1 where the ratio is over 1.5.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

RUNS = 25
LIMIT = 1.5

BARE = """
import sys
import click

@click.group()
def group():
    "A bare program."

for name in ("make", "check", "presets", "new"):
    @group.command(name)
    @click.argument("place")
    def command(place):
        "A command."

sys.exit(group(["--help"]))
"""
OURS = "import sys; sys.argv = ['genbg', '--help']; from genbg.cli import main; main()"


def seconds(code: str) -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - began


def main() -> int:
    for code in (BARE, OURS):  # fill the disk's cache first
        seconds(code)
    pairs = [(seconds(BARE), seconds(OURS)) for _ in range(RUNS)]
    bare, ours = (statistics.median(column) for column in zip(*pairs, strict=True))
    ratio = ours / bare
    print(f"bare click {bare * 1000:.0f} ms, genbg --help {ours * 1000:.0f} ms, ratio {ratio:.2f}")
    return int(ratio > LIMIT)


if __name__ == "__main__":
    sys.exit(main())
