"""Stops and kills runs that write an export, before every file system call, and looks at DIR.

A program of its own, because it forks and kills its children; `test_folder.py` runs it:

    python killed_runs.py DIR steps|moments|stopped|killed exchange|rename [EVERY]

steps: a run is killed before its n-th call, n = 1, 2, 3 ... until one comes to its end
moments: a run is killed after a random time
stopped: run A is stopped before its n-th call; run B goes to its end or is killed before its m-th;
    then A goes on to its end or is killed
killed: run A is killed before its n-th call, then run B before its m-th
After each, a further run has to come to its end, and nothing but DIR may be left. "rename" stands
for systems that can't exchange two names. EVERY: of the pairs (n, m), one in so many.

It prints one line of JSON: how many runs there were, and how DIR was found.
"""

from __future__ import annotations

import builtins
import collections
import fcntl
import functools
import io
import json
import os
import random
import re
import shutil
import signal
import sys
import time
import traceback
from pathlib import Path

from small_backdrops import random_backdrop

from genbg.errors import FolderError
from genbg.write import draft, folder
from genbg.write.target import check_content, read_manifest

CALLS = [
    *[
        (os, name)
        for name in (
            *("open", "stat", "lstat", "mkdir", "rename", "unlink", "remove", "rmdir"),
            *("scandir", "listdir", "ftruncate", "write", "fsync", "close"),
        )
    ],
    (builtins, "open"),
    (io, "open"),
    (fcntl, "flock"),
    (draft, "exchange"),
]
"""Where the program reaches the file system; stopping before a call is stopping after the last."""

DONE, FAILED, REFUSED = 0, 3, 4
BACKDROPS = {seed: random_backdrop(seed, frames=1) for seed in (1, 2, 3, 4)}
SMALL = {"still.png": b"still", "machine/tiles.bin": b"tiles", "engine/a/b.png": b"layer"}


def small_files(backdrop, *_):
    """A few small files, other ones for each seed, so that a run takes a millisecond."""
    for path, data in SMALL.items():
        yield path, data * backdrop.seed


folder.export_files = small_files
folder.Draft = functools.partial(draft.Draft, wait_s=0.0)


def start(target: Path, seed: int, stop_at: int, how: int = signal.SIGKILL) -> int:
    """Fork a run of a seed that gives itself a signal before call `stop_at` (0: never)."""
    child = os.fork()
    if child:
        return child
    try:
        count_calls(stop_at, how)
        folder.write_export(BACKDROPS[seed], target)
    except FolderError as error:
        target.with_name("refused.txt").write_text(str(error))
        os._exit(REFUSED)
    except BaseException:
        traceback.print_exc()
        os._exit(FAILED)
    os._exit(DONE)


def count_calls(stop_at: int, how: int) -> None:
    """Wrap the calls of this process, so that it gets a signal before one of them."""
    count = 0

    def wrap(call):
        @functools.wraps(call)
        def counted(*asked, **named):
            nonlocal count
            count += 1
            if count == stop_at:
                os.kill(os.getpid(), how)
            return call(*asked, **named)

        return counted

    for place, name in CALLS:
        setattr(place, name, wrap(getattr(place, name)))


def end(child: int) -> int:
    """Wait for a run's end: DONE, REFUSED, or below 0 where it was killed."""
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert status in (DONE, REFUSED, -signal.SIGKILL), status
    return status


def state_of(target: Path) -> str:
    """What DIR is: the seed of a whole export, "absent" or "broken"."""
    if not target.exists():
        return "absent"
    try:
        check_content(target, hashes=True)
        found = sorted(p.relative_to(target).as_posix() for p in target.rglob("*") if p.is_file())
        if found != sorted([*SMALL, "backdrop.json"]) or read_manifest(target) is None:
            return "broken"
        seed = json.loads((target / "backdrop.json").read_bytes())["seed"]
        whole = all((target / path).read_bytes() == data * seed for path, data in SMALL.items())
        return f"seed {seed}" if whole else "broken"
    except Exception:
        return "broken"


class Runs:
    """Runs into one DIR; counts what was found."""

    def __init__(self, target: Path):
        self.target = target
        self.found = collections.Counter()

    def afresh(self) -> None:
        """DIR is the export of seed 1 and nothing else is there."""
        shutil.rmtree(self.target.parent)
        self.target.parent.mkdir()
        folder.write_export(BACKDROPS[1], self.target)

    def look(self) -> None:
        self.found[state_of(self.target)] += 1

    def last(self) -> None:
        """A further run comes to its end and leaves nothing beside DIR."""
        try:
            folder.write_export(BACKDROPS[4], self.target)
        except FolderError:
            self.found["falsely refused"] += 1
        self.found["broken"] += state_of(self.target) != "seed 4"
        self.found["leftovers"] += [p.name for p in self.target.parent.iterdir()] != ["x"]

    def single(self, stop_at: int, moment: float) -> int:
        """One run killed before a call, or after some seconds."""
        self.afresh()
        child = start(self.target, 2, stop_at)
        if not stop_at:
            time.sleep(moment)
            os.kill(child, signal.SIGKILL)
        status = end(child)
        self.look()
        self.last()
        return status

    def second(self, number: int) -> int:
        """Run B killed before a call; refused rightly only where A has the lock."""
        status = end(start(self.target, 3, number))
        self.look()
        self.found["refused"] += status == REFUSED
        return status

    def killed_pair(self, first: int, second: int) -> tuple[int, int]:
        self.afresh()
        one = end(start(self.target, 2, first))
        self.look()
        two = self.second(second)
        self.found["falsely refused"] += two == REFUSED
        self.last()
        return one, two

    def stopped_pair(self, first: int, second: int, goes_on: bool) -> tuple[int, int]:
        self.afresh()
        child = start(self.target, 2, first, signal.SIGSTOP)
        stopped = os.WIFSTOPPED(os.waitpid(child, os.WUNTRACED)[1])
        if not stopped:
            return DONE, DONE
        two = self.second(second)
        if two == REFUSED:
            told = self.target.with_name("refused.txt").read_text()
            self.target.with_name("refused.txt").unlink()
            # between its lock and its signature, A is "another process"
            known = re.search(rf": (process {child}|another process) has been writing to it", told)
            self.found["falsely refused"] += known is None
            self.found["named"] += f"process {child} " in told
        os.kill(child, signal.SIGCONT if goes_on else signal.SIGKILL)
        self.found["falsely refused"] += end(child) == REFUSED
        self.look()
        self.last()
        return -1, two


def pairs(run, every: int) -> int:
    """Call run(n, m) for all n and m until neither is stopped; return how many there were."""
    first = count = 0
    one = -1
    while one != DONE:
        first, second, two = first + 1, 0, -1
        while two not in (DONE, REFUSED) or second <= 1:
            if second and (first + second) % every:
                second += 1
                continue
            one, two = run(first, second)
            count, second = count + 1, second + 1
            if one == DONE:
                break
    return count


def main(target: Path, way: str, system: str, every: str = "1") -> dict:
    if system == "rename":
        draft.exchange = lambda one, other: False
    runs = Runs(target)
    dice = random.Random(0)
    count = 0
    if way == "steps":
        while runs.single(count := count + 1, 0.0) != DONE:
            pass
    elif way == "moments":
        count = 25
        for _ in range(count):
            runs.single(0, dice.random() * 0.012)
    elif way == "killed":
        count = pairs(runs.killed_pair, int(every))
    else:
        for goes_on in (True, False):
            count += pairs(functools.partial(runs.stopped_pair, goes_on=goes_on), int(every))
    return {"runs": count, **runs.found}


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), *sys.argv[2:])))
