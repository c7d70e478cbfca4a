"""Kills runs that write an export, at every step that they take, and looks at what is left.

A program of its own, because it forks and kills its children; `test_folder.py` runs it:

    python killed_runs.py DIR steps|moments exchange|rename

It prints one line of JSON: {"runs", "finished", "old", "new", "absent", "broken", "leftovers"}.
A child replaces the export of seed 1 in DIR by that of seed 2 and kills itself at its n-th file
system call (steps: n = 1, 2, 3 ... until a child comes to its end), or is killed by its parent
after a random time (moments). "rename" stands for systems that can't exchange two names.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sys
import time
import traceback
from pathlib import Path

from small_backdrops import random_backdrop

from genbg.write import draft, folder
from genbg.write.target import check_content, read_manifest

STEPS = ("open", "os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.listdir", "os.scandir")
FAILED = 3
BACKDROPS = {seed: random_backdrop(seed, frames=1) for seed in (1, 2)}
SMALL = {"still.png": b"still", "machine/tiles.bin": b"tiles", "engine/a/b.png": b"layer"}


def small_files(backdrop, *_):
    """A few small files, other ones for each seed, so that a run takes a millisecond."""
    for path, data in SMALL.items():
        yield path, data * backdrop.seed


folder.export_files = small_files


def run_child(target: Path, stop_at: int) -> int:
    """Fork a child that writes seed 2; it kills itself at call `stop_at` (0: never)."""
    child = os.fork()
    if child:
        return child
    count = 0

    def count_calls(event: str, _: tuple) -> None:
        nonlocal count
        if event in STEPS:
            count += 1
            if count == stop_at:
                os.kill(os.getpid(), signal.SIGKILL)

    try:
        sys.addaudithook(count_calls)
        folder.write_export(BACKDROPS[2], target)
    except BaseException:
        traceback.print_exc()
        os._exit(FAILED)
    os._exit(0)


def state_of(target: Path) -> str:
    """What DIR is: "old", "new", "absent" or "broken"."""
    if not target.exists():
        return "absent"
    try:
        check_content(target, hashes=True)
        found = sorted(p.relative_to(target).as_posix() for p in target.rglob("*") if p.is_file())
        if found != sorted([*SMALL, "backdrop.json"]) or read_manifest(target) is None:
            return "broken"
        seed = json.loads((target / "backdrop.json").read_bytes())["seed"]
        whole = all((target / path).read_bytes() == data * seed for path, data in SMALL.items())
        return {1: "old", 2: "new"}[seed] if whole else "broken"
    except Exception:
        return "broken"


def main(target: Path, way: str, system: str) -> dict:
    """Run children until all steps are done, or 25 random moments."""
    if system == "rename":
        draft.exchange = lambda one, other: False
    result = dict.fromkeys(("runs", "finished", "old", "new", "absent", "broken", "leftovers"), 0)
    dice = random.Random(0)
    while not result["finished"] and (way == "steps" or result["runs"] < 25):
        shutil.rmtree(target, ignore_errors=True)
        folder.write_export(BACKDROPS[1], target)
        left = [path.name for path in target.parent.iterdir() if path != target]
        result["leftovers"] += len(left)
        result["runs"] += 1
        child = run_child(target, result["runs"] if way == "steps" else 0)
        if way == "moments":
            time.sleep(dice.random() * 0.012)
            os.kill(child, signal.SIGKILL)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert status != FAILED
        result["finished"] += way == "steps" and status == 0
        if not target.exists() and system == "rename":
            result["absent"] += 1
            draft.restore_aside(target)
        result[state_of(target)] += 1
    return result


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), *sys.argv[2:])))
