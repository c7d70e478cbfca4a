"""Lets two runs meet in one DIR at every pair of file system calls, and looks at DIR.

A program of its own, because it wraps the calls of its process; `tests/long/test_every_pair.py`
runs it:

    python every_pair.py DIR killed|goes-on|dies exchange|rename

killed: run A is killed before its n-th call, then run B before its m-th, for all n and all m
goes-on, dies: run A stops before its n-th call; B is killed before its m-th, or comes to its end;
    then A goes on to its end, or is killed
After each pair a further run has to come to its end, and nothing but DIR may be left.

No process is killed here: a killed run's calls change nothing any more and what it had open is
closed, which is all that others see of a kill, and takes a hundredth of the time. `killed_runs.py`
sends real signals, to one pair in many. It prints one line of JSON: how many pairs there were, and
how DIR was found.
"""

from __future__ import annotations

import collections
import contextlib
import functools
import json
import os
import re
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

from killed_runs import BACKDROPS, CALLS, DONE, REFUSED, state_of

from genbg.errors import FolderError
from genbg.write import disk, draft, folder, manifest

KILLED = -9
Tree = tuple[tuple[str, bytes | None], ...]
"""Paths below a folder with their bytes, folders as None; all that a run can see of a dead one."""


class Killed(BaseException):
    """What a run gets from each of its calls once it is dead."""


class Run:
    """One run into DIR.

    at: the number of the call before which it stops, 0 for none; then `stopped` is called: the run
    is dead where that returns True. count: of calls so far
    """

    current: Run | None = None

    def __init__(self, seed: int, at: int = 0, stopped: Callable[[], bool] = lambda: True):
        self.seed, self.at, self.stopped = seed, at, stopped
        self.count, self.dead = 0, False
        self.numbers: set[int] = set()

    def go(self, target: Path) -> int:
        """Write the export; DONE, REFUSED or KILLED."""
        Run.current, before = self, Run.current
        try:
            folder.write_export(BACKDROPS[self.seed], target)
            return DONE
        except Killed:
            return KILLED
        except FolderError as error:
            return REFUSED if re.search(r": (process \d+|another process) has", str(error)) else 1
        finally:
            Run.current = before
            for number in self.numbers:
                with contextlib.suppress(OSError):
                    os.close(number)

    def call(self, name: str, real: Callable, asked: tuple, named: dict):
        """One of its calls, or the stop before it."""
        if not self.dead:
            self.count += 1
            if self.count == self.at:
                Run.current = None
                self.dead = self.stopped()
                Run.current = self
        if self.dead and name != "close":
            raise Killed
        found = real(*asked, **named)
        if name == "close":
            self.numbers.discard(asked[0])
        elif type(found) is int and real is REAL_OPEN:
            self.numbers.add(found)
        return found


REAL_OPEN = os.open


def wrap_calls() -> None:
    """Let all calls of this process go through the run that makes them."""

    def wrap(name: str, real: Callable) -> Callable:
        @functools.wraps(real)
        def wrapped(*asked, **named):
            run = Run.current
            return run.call(name, real, asked, named) if run else real(*asked, **named)

        return wrapped

    for place, name in CALLS:
        setattr(place, name, wrap(name, getattr(place, name)))


def read_tree(place: Path) -> Tree:
    """All that a folder holds; a lock's text, which has the time in it, as no text."""
    paths = sorted(place.rglob("*"))
    return tuple(
        (
            path.relative_to(place).as_posix(),
            None if path.is_dir() else b"" if path.name.endswith("-lock") else path.read_bytes(),
        )
        for path in paths
    )


def make_tree(place: Path, tree: Tree) -> None:
    """Let a folder hold that and nothing else."""
    shutil.rmtree(place)
    place.mkdir()
    for path, data in tree:
        if data is None:
            (place / path).mkdir()
        else:
            (place / path).write_bytes(data)


class Pairs:
    """Pairs of runs into one DIR; counts what was found."""

    def __init__(self, target: Path):
        self.target, self.home = target, target.parent
        self.found: collections.Counter[str] = collections.Counter()
        folder.write_export(BACKDROPS[1], target)
        self.before = read_tree(self.home)
        self.known: dict[Tree, tuple[str, ...]] = {}

    def look(self) -> None:
        self.found[state_of(self.target)] += 1

    def last(self) -> None:
        """A further run comes to its end; on a tree that was there before it would do the same."""
        tree = read_tree(self.home)
        if tree not in self.known:
            ended = Run(4).go(self.target) == DONE
            whole = state_of(self.target) == "seed 4"
            alone = [path.name for path in self.home.iterdir()] == [self.target.name]
            faults = ("falsely refused", ended), ("broken", whole), ("leftovers", alone)
            self.known[tree] = tuple(name for name, right in faults if not right)
        self.found.update(self.known[tree])

    def second(self, at: int) -> int:
        """Run B until its call `at`; return how it ended."""
        how = Run(3, at).go(self.target)
        self.found["B " + {DONE: "ended", KILLED: "killed"}.get(how, "refused")] += 1
        self.found["falsely refused"] += how == 1
        self.look()
        return how

    def killed(self) -> None:
        """A is killed, then B; what A leaves is the same before calls that only read."""
        first, one, seen = 0, KILLED, set()
        while one == KILLED:
            first += 1
            make_tree(self.home, self.before)
            one = Run(2, first).go(self.target)
            self.look()
            tree, second, two = read_tree(self.home), 0, KILLED
            self.found["A ended" if one == DONE else "A killed"] += 1
            while two == KILLED and tree not in seen:
                second += 1
                make_tree(self.home, tree)
                two = self.second(second)
                self.found["falsely refused"] += two == REFUSED
                self.last()
            seen.add(tree)
        self.found["trees"] = len(seen)

    def stopped(self, goes_on: bool) -> None:
        """A stops, B comes to its end or is killed, A goes on or is killed."""
        first, two = 0, KILLED

        def meanwhile() -> bool:
            nonlocal two
            two = self.second(second)
            return not goes_on

        while two is not None:
            first, second, two = first + 1, 0, KILLED
            while two == KILLED:
                second, two = second + 1, None
                make_tree(self.home, self.before)
                one = Run(2, first, meanwhile).go(self.target)
                if two is None:
                    break
                self.found["falsely refused"] += one in (1, REFUSED)
                self.look()
                self.last()


def quick_manifests() -> None:
    """A seed's manifest is made once, as its files are always the same."""
    made: dict[int, bytes] = {}
    real = manifest.manifest_bytes

    def manifest_bytes(backdrop, rows) -> bytes:
        if backdrop.seed not in made:
            made[backdrop.seed] = real(backdrop, rows)
        return made[backdrop.seed]

    manifest.manifest_bytes = manifest_bytes


def main(target: Path, way: str, system: str) -> dict:
    if system == "rename":
        draft.exchange = lambda one, other: False
    disk.waiting_kb = lambda: 0.0  # else threads flush, when other programs write much
    quick_manifests()
    pairs = Pairs(target)
    wrap_calls()
    if way == "killed":
        pairs.killed()
    else:
        pairs.stopped(goes_on=way == "goes-on")
    return {**pairs.found}


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), *sys.argv[2:])))
