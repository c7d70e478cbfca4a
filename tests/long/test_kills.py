"""A batch killed at fifty random moments leaves what an undisturbed one leaves, byte for byte.

Not part of the test command, as it takes a minute; `.ci/run` runs it.
"""

from __future__ import annotations

import contextlib
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from scene_text import EBB

from genbg.check import check_export

MOMENTS = 50
VARIANTS = 60


def command(out: str) -> list[str]:
    asked = ["batch", "ebb.toml", "--seeds", f"1-{VARIANTS}", "--jobs", "2", "--keep", "3"]
    return [sys.executable, "-m", "genbg.cli", *asked, "--out", out, "--quiet"]


def tree(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def children(parent: int) -> list[int]:
    """Processes whose parent is `parent`, from /proc."""
    found = []
    for entry in Path("/proc").iterdir():
        with contextlib.suppress(OSError, ValueError, IndexError):
            if int((entry / "stat").read_text().rsplit(")", 1)[1].split()[1]) == parent:
                found.append(int(entry.name))
    return found


def test_fifty_kills(tmp_path, monkeypatch) -> None:
    """Kill -9 of the parent or of a worker, at moments spread over the whole run."""
    monkeypatch.chdir(tmp_path)
    Path("ebb.toml").write_text(EBB)
    began = time.monotonic()
    subprocess.run(command("calm"), check=True, timeout=300)
    whole = time.monotonic() - began
    chance = random.Random(20)
    hit = 0
    for moment in range(MOMENTS):
        process = subprocess.Popen(command("stormy"), stderr=subprocess.DEVNULL)
        time.sleep(chance.uniform(0.2, min(2.0, whole)))
        victims = [process.pid]
        if moment % 3 == 0:
            victims = chance.sample(kids, 1) if (kids := children(process.pid)) else victims
        for victim in victims:
            with contextlib.suppress(ProcessLookupError):
                os.kill(victim, signal.SIGKILL)
                hit += 1
        if victims != [process.pid]:
            time.sleep(0.3)
            process.kill()
        process.wait(timeout=60)
        for folder in Path("stormy").glob("ebb-*"):
            if moment % 10 == 9:
                assert check_export(folder) == []
    assert hit >= MOMENTS // 2
    subprocess.run(command("stormy"), check=True, timeout=300)
    time.sleep(1.5)  # workers of killed parents look for them once a second, and then end
    assert tree(Path("stormy")) == tree(Path("calm"))
