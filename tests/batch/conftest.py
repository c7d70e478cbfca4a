"""A preset that is quick to make, and how the tests of batches run the program."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from scene_text import a_layer, scene

TEXT = scene(
    a_layer("sky", [0, 120], body="none"),
    a_layer("ridge", [72, 120], distance=8),
    a_layer("water", [120, 224], plane="front", distance=[8.0, 1.0]),
    title="Ebb",
    machine={"plane_cells": [32, 32], "screen": [256, 224], "tile_budget": 400},
    preview={"frames": 2},
)


@pytest.fixture
def ebb(tmp_path, monkeypatch):
    """The preset's file in an empty current folder."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "ebb.toml"
    path.write_text(TEXT)
    return path


def genbg(*arguments, **options):
    """Run the program in a process of its own."""
    command = [sys.executable, "-m", "genbg.cli", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, **options)


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder: {path: bytes}."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
