"""Two runs into one DIR, stopped or killed at every pair of their file system calls.

Not part of the test command, as it takes a minute; `.ci/run` runs it. `tests/write/test_folder.py`
sends real signals to one pair in forty.
"""

from __future__ import annotations

import collections
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

import genbg

TESTS = Path(__file__).parents[1]


def meet(way: str, system: str) -> collections.Counter:
    """What `every_pair.py` counts in a folder in memory, where the system has such."""
    paths = [Path(genbg.__file__).parents[1], TESTS, TESTS / "write"]
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as place:
        (Path(place) / "q").mkdir()
        command = [sys.executable, str(TESTS / "write" / "every_pair.py"), f"{place}/q/x"]
        done = subprocess.run(
            [*command, way, system],
            capture_output=True,
            text=True,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(map(str, paths))},
            timeout=600,
        )
    assert done.returncode == 0, done.stderr
    return collections.Counter(json.loads(done.stdout))


def check_found(found: collections.Counter, system: str) -> None:
    """DIR was a whole export whenever anybody looked, and the next run had no trouble."""
    assert found["broken"] == found["falsely refused"] == found["leftovers"] == 0
    assert (found["absent"] > 0) == (system == "rename"), "only there DIR is away for a moment"
    assert min(found["seed 1"], found["seed 2"], found["seed 3"]) > 100


@pytest.mark.skipif(os.name != "posix", reason="needs flock")
@pytest.mark.parametrize("system", ["exchange", "rename"])
def test_both_killed(system: str) -> None:
    """A is killed before each of its calls and B before each of its own: DIR is one whole export
    (where names can't be exchanged, the next run puts it back), and B is never refused."""
    found = meet("killed", system)
    check_found(found, system)
    assert found["B refused"] == 0
    assert found["A ended"] == 1
    assert found["A killed"] > 100
    assert found["B ended"] == found["trees"] > 15
    assert found["B killed"] > 100 * found["trees"]


@pytest.mark.skipif(os.name != "posix", reason="needs flock")
@pytest.mark.parametrize("way", ["goes-on", "dies"])
def test_one_stopped(way: str) -> None:
    """A stops before each of its calls, B comes to its end or is killed before each of its own, A
    goes on or dies: DIR is one whole export at each look, and A is never refused."""
    found = meet(way, "exchange")
    check_found(found, "exchange")
    assert found["B refused"] > 80, "while A has the lock"
    assert found["B ended"] > 5, "before A has it, and after"
    assert found["B killed"] > 2000
