"""The plain second decoders share no code with the package, else they would prove nothing."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

READERS = sorted(
    path for path in Path(__file__).parent.glob("*.py") if not path.name.startswith("test_")
)


def test_the_readers_are_found() -> None:
    """There are readers for frames and for pictures."""
    assert {path.name for path in READERS} >= {"frame_reader.py", "picture_reader.py"}


@pytest.mark.parametrize("path", READERS, ids=lambda path: path.stem)
def test_readers_import_only_the_standard_library(path: Path) -> None:
    """No reader imports genbg, nor any library that genbg is built on; only other readers."""
    allowed = {*sys.stdlib_module_names, *(reader.stem for reader in READERS)}
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        names = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0
            names = [node.module]
        assert {name.split(".")[0] for name in names} <= allowed
