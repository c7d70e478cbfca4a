"""A small preset with comments, and a live server of it in a process of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from live_server import SMALL, Live


@pytest.fixture
def small(tmp_path) -> Path:
    """The small preset as a file."""
    path = tmp_path / "morning.toml"
    path.write_text(SMALL)
    return path


@pytest.fixture(scope="module")
def live(tmp_path_factory, need):
    """A server of the small preset."""
    for name in ("starlette", "uvicorn", "watchfiles", "tomlkit"):
        need.module(name)
    path = tmp_path_factory.mktemp("live") / "morning.toml"
    path.write_text(SMALL)
    server = Live(path, path)
    yield server
    server.end()
