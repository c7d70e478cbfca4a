"""A disk that fills in the middle of a batch: told, nothing lost, and the next run goes on."""

from __future__ import annotations

import json
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import genbg, tree

from genbg.batch import run_batch
from genbg.batch.journal import PART
from genbg.batch.plan import plan_batch
from genbg.batch.work import Result, run_task
from genbg.errors import FolderError

SMALL = "700k"
"""Room for some of the variants, not for all."""
SPACE = ["unshare", "--map-root-user", "--mount", "sh", "-ec"]
"""A name space of its own, in which anybody may mount a small file system."""


def can_mount(folder: Path) -> bool:
    if shutil.which("unshare") is None:
        return False
    script = f"mount -t tmpfs -o size={SMALL} none {shlex.quote(str(folder))}"
    return subprocess.run([*SPACE, script], capture_output=True).returncode == 0


@pytest.mark.slow
def test_a_full_disk_keeps_what_is_finished(ebb) -> None:
    """The error says so, status 1; with room made, only the rest is made, to the same bytes."""
    small = Path("small")
    small.mkdir()
    if not can_mount(small):
        assert not os.environ.get("CI"), "CI has to be able to mount a small file system"
        pytest.skip("no small file system can be mounted here")
    asked = ["batch", "ebb.toml", "--seeds", "1-12", "--jobs", "2", "--keep", "2"]
    assert genbg(*asked, "--out", "calm").returncode == 0
    batch = shlex.join([sys.executable, "-m", "genbg.cli", *asked, "--out", "small/many"])
    script = f"""
        mount -t tmpfs -o size={SMALL} none small
        if {batch} >first.out 2>first.err; then echo 0 >first.rc; else echo $? >first.rc; fi
        ls -A small/many >first.ls
        mount -o remount,size=64m small
        {batch} >second.out
        cp -r small/many stormy
    """
    run = subprocess.run([*SPACE, script], capture_output=True, text=True, timeout=240)
    assert run.returncode == 0, run.stderr
    assert Path("first.rc").read_text().strip() == "1"
    told = Path("first.err").read_text()
    assert "the disk is full" in told
    assert "Traceback" not in told
    names = Path("first.ls").read_text().split()
    made = [name for name in names if not name.startswith((".", "variants"))]
    assert 0 < len(made) < 12
    found = int(Path("second.out").read_text().split(" found finished")[0].rsplit(" ", 1)[1])
    assert 0 < found <= len(made)
    assert tree(Path("stormy")) == tree(Path("calm"))


def test_what_is_under_way_when_the_disk_fills_is_waited_for(ebb, monkeypatch) -> None:
    """The failure is told at the end; what ended well after it is kept, and nothing new begins."""

    def first_fails(tasks, jobs):
        under_way = [next(tasks), next(tasks)]
        yield Result(under_way[0].number, error="the disk is full", fatal=True)
        yield run_task(under_way[1])
        assert list(tasks) == []

    monkeypatch.setattr("genbg.batch.run.run_local", first_fails)
    plan = plan_batch(["ebb.toml"], "1-4", [], "none")
    with pytest.raises(FolderError, match=r"the disk is full \(while making ebb-1\)"):
        run_batch(plan, Path("many"), jobs=1)
    rows = (Path("many") / PART).read_bytes().splitlines()
    assert [json.loads(row)["name"] for row in rows] == ["ebb-2"]


LIMITED = """
import resource, sys
from pathlib import Path
from genbg.batch.journal import Journal
from genbg.batch.plan import plan_batch
from genbg.batch.rows import failed_row
from genbg.errors import FolderError

one, two = (failed_row(each, "none", "why") for each in plan_batch(["ebb.toml"], "1-2", [], "none"))
with Journal(Path(".")) as kept:
    kept.add(one)
    was = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (kept.part.stat().st_size + 5, was[1]))
    try:
        kept.add(two)
        sys.exit("the limit let it pass")
    except FolderError:
        assert kept.row("ebb-2") is None
    assert kept.part.read_bytes().count(b"\\n") == 1 and kept.part.read_bytes().endswith(b"\\n")
    resource.setrlimit(resource.RLIMIT_FSIZE, was)
    kept.add_what_had_no_room()
    assert kept.row("ebb-2")["name"] == "ebb-2"
"""


def test_a_line_that_found_no_room_is_written_whole_later(ebb) -> None:
    """Room for five bytes of the second line: none of it stays; with room made, all of it does."""
    pytest.importorskip("resource", reason="limits of a process are set otherwise here")
    run = subprocess.run([sys.executable, "-c", LIMITED], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert len(Path(PART).read_bytes().splitlines()) == 2
