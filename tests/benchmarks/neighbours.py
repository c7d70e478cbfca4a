"""How long an export takes beside 200,000 neighbours, and beside none, side by side in one run.

    python tests/benchmarks/neighbours.py [NEIGHBOURS] [ROUNDS]

A small backdrop is written again and again into one folder that holds nothing else and into one
that holds so many folders, in turns. Prints processor time of the best turn of each, and their
ratio; ends with 1 where the ratio is over 1.2.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parents[1]
sys.path[:0] = [str(HERE), str(HERE / "write")]

from small_backdrops import random_backdrop  # noqa: E402

from genbg.write import folder  # noqa: E402

LIMIT = 1.2
EXPORTS = 10


def main(neighbours: str = "200000", rounds: str = "10") -> int:
    backdrop = random_backdrop(1, frames=1)
    files = [(path, data) for path, data in folder.export_files(backdrop, False, None, False)]
    folder.export_files = lambda *_: iter(files)
    with tempfile.TemporaryDirectory() as drawer:
        alone, among = Path(drawer, "alone"), Path(drawer, "among")
        for number in range(int(neighbours)):
            os.makedirs(among / f"lamp-{number}")
        best = dict.fromkeys((alone, among), float("inf"))
        for _ in range(int(rounds)):
            for place in best:
                best[place] = min(best[place], seconds(backdrop, place))
    ratio = best[among] / best[alone]
    print(
        f"an export: {best[alone] * 1000:.1f} ms alone, {best[among] * 1000:.1f} ms beside "
        f"{neighbours} others; ratio {ratio:.2f}"
    )
    return int(ratio > LIMIT)


def seconds(backdrop, place: Path) -> float:
    """Processor time of an export, new and replaced, in the mean."""
    began = time.process_time()
    for number in range(EXPORTS):
        folder.write_export(backdrop, place / f"export-{number}")
    return (time.process_time() - began) / EXPORTS


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
