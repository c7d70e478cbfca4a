"""How much memory a batch takes in the process that leads it, for few and for many variants.

    python tests/benchmarks/batch_memory.py [FEW] [MANY]

Workers are replaced by one ready-made result for every variant, handed over as fast as they are
asked for, so that only the leading process is measured: plan, journal, lines, contact sheets. Each
count runs in a process of its own; printed is its largest resident size, and the ratio.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

FEW, MANY = 1_000, 20_000


def lead(variants: int) -> None:
    """Run a batch of ready-made stills and print this process's largest resident size in kB."""
    import numpy as np

    from genbg.batch import run
    from genbg.batch.plan import plan_batch
    from genbg.batch.versions import versions
    from genbg.batch.work import Result, Task
    from genbg.write.png import indexed_png

    pixels = np.arange(320 * 224, dtype=np.uint32).reshape(224, 320).astype(np.uint8)
    still = indexed_png(pixels, np.repeat(np.arange(256, dtype=np.uint8)[:, None], 3, axis=1))
    figures = {"score": 0.5, "ssim": 0.99, "patterns": 500}

    def ready(tasks: Iterator[Task], jobs: int) -> Iterator[Result]:
        for task in tasks:
            files = (("still.png", still),)
            yield Result(task.number, figures, "0" * 64, files, versions=versions())

    run.run_local = ready
    os.fsync = lambda number: None
    plan = plan_batch(["reed-dawn"], f"1-{variants}", [], previews="none")
    with tempfile.TemporaryDirectory() as drawer:
        report = run.run_batch(plan, Path(drawer, "many"), jobs=2)
    assert report.made == variants
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)


def main() -> None:
    if sys.argv[1:2] == ["--lead"]:
        return lead(int(sys.argv[2]))
    counts = [int(text) for text in sys.argv[1:3]] or [FEW, MANY]
    sizes = []
    for count in counts:
        command = [sys.executable, __file__, "--lead", str(count)]
        sizes.append(int(subprocess.run(command, check=True, capture_output=True).stdout))
        print(f"{count} variants: {sizes[-1] / 1024:.1f} MB")
    more = (sizes[-1] - sizes[0]) * 1024 / (counts[-1] - counts[0])
    print(f"ratio {sizes[-1] / sizes[0]:.3f}; {more:.0f} bytes for each further variant")
    return None


if __name__ == "__main__":
    main()
