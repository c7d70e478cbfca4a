"""Every painter has the one form: `Keys`, `RAMPS`, `paint(keys, job)`, `PAINTER`, in this order."""

from __future__ import annotations

import ast
import importlib
import inspect
from pathlib import Path

import pytest

from genbg.paint import table

FORM = ["Keys", "RAMPS", "paint", "PAINTER"]
COUNTS_OWN_INKS = {"picture"}
"""Its colours are those of a file. All others draw on a sheet or a picture in tones, or ask the job
for the ramps that they used."""


def bound(text: str) -> list[str]:
    """The names of the form that a module binds at its top level, in order."""
    found = []
    for node in ast.parse(text).body:
        if isinstance(node, ast.ImportFrom):
            found += [alias.asname or alias.name for alias in node.names]
        elif isinstance(node, ast.ClassDef | ast.FunctionDef):
            found.append(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            found += [target.id] if isinstance(target, ast.Name) else []
    return [name for name in found if name in FORM]


@pytest.mark.parametrize("name", list(table.PAINTERS))
def test_a_painter_has_the_one_form(name: str) -> None:
    """Its file binds the four names once, keys and ramps first. Its record holds them."""
    module = importlib.import_module(f"genbg.paint.painters.{table.PAINTERS[name]}")
    path = Path(inspect.getfile(module))
    names = bound(path.read_text("utf-8"))
    assert sorted(names) == sorted(FORM)
    assert names[-2:] == ["paint", "PAINTER"]
    painter = module.PAINTER
    assert painter.params is module.Keys
    assert painter.ramps is module.RAMPS
    assert painter.paint is module.paint
    assert list(inspect.signature(module.paint).parameters) == ["keys", "job"]


@pytest.mark.parametrize("name", list(table.PAINTERS))
def test_a_painter_does_not_count_inks_by_hand(name: str) -> None:
    """Only those that are listed build `RampUse`s; one that stops leaves the list."""
    module = importlib.import_module(f"genbg.paint.painters.{table.PAINTERS[name]}")
    path = Path(inspect.getfile(module))
    files = sorted(path.parent.rglob("*.py")) if path.name == "__init__.py" else [path]
    builds = any("RampUse(" in file.read_text("utf-8") for file in files)
    assert builds == (name in COUNTS_OWN_INKS)
