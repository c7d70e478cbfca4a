"""A disk that fills in the middle of a batch: told, nothing lost, and the next run goes on."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import genbg, tree

SMALL = "700k"
"""Room for some of the variants, not for all."""
SPACE = ["unshare", "--map-root-user", "--mount", "sh", "-ec"]
"""A name space of its own, in which anybody may mount a small file system."""


def can_mount(folder: Path) -> bool:
    if shutil.which("unshare") is None:
        return False
    script = f"mount -t tmpfs -o size={SMALL} none {shlex.quote(str(folder))}"
    return subprocess.run([*SPACE, script], capture_output=True).returncode == 0


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
