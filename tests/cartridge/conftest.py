"""Where the emulator is, and the folders that these tests share code with."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parent / "machine")]
APT = "apt-get install -y --no-install-recommends mednafen xvfb xauth"


@pytest.fixture(scope="session")
def emulator(need):
    """The distribution's emulator; without it the test is skipped, in CI it fails."""
    from recorder import find_emulator

    path = find_emulator() or need.tool("mednafen", APT)
    need.tool("xvfb-run", APT)
    return path
