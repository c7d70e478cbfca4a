"""Tests that send Ctrl-C hold where it is ignored, as for all that a script starts with "&".

Not part of the test command, as it runs tests once more; `.ci/run` runs it.
"""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
SENDS = re.compile(r"signal\.SIGINT|status, \w+ = server\.end\(\)")
"""What stands in a test that sends Ctrl-C and looks what comes of it."""


def senders() -> list[str]:
    """All tests of the test command in whose text Ctrl-C is sent, as pytest names them."""
    found = []
    for path in sorted(TESTS.rglob("test_*.py")):
        if {"long", "browser", "presets"} & {*path.relative_to(TESTS).parts}:
            continue
        for test in re.split(r"^(?=def |@)", path.read_text("utf-8"), flags=re.M):
            named = re.match(r"def (test_\w+)", test)
            if named and SENDS.search(test):
                found.append(f"{path.relative_to(TESTS.parent)}::{named[1]}")
    return found


def test_tests_are_found() -> None:
    """One of each program: `make`, `batch` and `live`."""
    folders = {Path(name.split("::")[0]).parent.name for name in senders()}
    assert folders == {"cli", "batch", "live"}


@pytest.mark.parametrize("name", senders())
def test_holds_where_ctrl_c_is_ignored(name: str) -> None:
    """POSIX, "Shell Command Language", 2.11: asynchronous lists ignore SIGINT."""
    options = ["-n", "0", "-q", "-p", "no:cacheprovider", "-p", "no:randomly"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *options, name],
        cwd=TESTS.parent,
        capture_output=True,
        text=True,
        timeout=600,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN),
    )
    assert done.returncode == 0, done.stdout
