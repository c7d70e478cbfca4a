"""A small preset with comments, and a live server of it in a process of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from live_server import SMALL, live

__all__ = ["live"]


@pytest.fixture
def small(tmp_path) -> Path:
    """The small preset as a file."""
    path = tmp_path / "morning.toml"
    path.write_text(SMALL)
    return path
