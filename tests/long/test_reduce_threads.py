"""Merging gives the same bytes with any number of threads and with other instructions.

Not part of the test command, as it takes long; `.ci/run` runs it.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

SAMPLES = Path(__file__).parents[1] / "reduce"

SCRIPT = """
import hashlib
import numpy as np
from reduce_samples import hilly_planes, no_guard
from genbg.reduce.tiles import reduce_tiles
for rows, columns, budget in ((8, 16, 60), (4, 8, 12)):
    judged = hilly_planes(rows, columns, 5, planes=2, see_through=True)
    guard = no_guard(judged)
    guard[0, 20:24, 40:43] = True
    for mode in ("balanced", "contours"):
        found = reduce_tiles(judged, budget, guard, mode, free=np.ones(4, dtype=bool))
        cells, order = found.cells, found.entry_order
        parts = [cells.tiles, cells.number, cells.hflip, cells.vflip, cells.row, found.curve]
        parts += [] if order is None else [order]
        print(hashlib.sha256(b"".join(p.tobytes() for p in parts)).hexdigest())
"""


def test_threads_and_processors_do_not_change_the_result():
    """One thread, two threads and a processor without wide registers give the same bytes."""
    plain = "AVX2 FMA3 AVX512F AVX512CD AVX512_SKX AVX512_CLX AVX512_CNL AVX512_ICL AVX512_SPR"
    settings_ = [
        {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
        {"OPENBLAS_NUM_THREADS": "2", "OMP_NUM_THREADS": "2"},
        {
            "OPENBLAS_NUM_THREADS": "1",
            "OPENBLAS_CORETYPE": "Nehalem",
            "NPY_DISABLE_CPU_FEATURES": plain,
        },
    ]
    found = set()
    for setting in settings_:
        path = os.pathsep.join([str(SAMPLES), str(SAMPLES.parents[1])])
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-c", SCRIPT],
            env={**os.environ, **setting, "PYTHONPATH": path},
            capture_output=True,
            text=True,
            check=True,
        )
        found.add(done.stdout)
    assert len(found) == 1
    assert len(next(iter(found)).split()) == 4
