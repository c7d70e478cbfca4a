"""Backdrops and tools of the driver's tests."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent)]


@pytest.fixture
def unicorn(need):
    """The CPU emulator, with the m68k tools there, too."""
    for tool in ("as", "ld", "gcc", "objcopy", "nm", "objdump"):
        need.tool(f"m68k-linux-gnu-{tool}")
    need.module("unicorn.m68k_const")
    return need.module("unicorn")
