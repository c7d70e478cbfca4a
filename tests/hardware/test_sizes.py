"""The machine's numbers stand once, in hardware/."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from genbg.hardware import mode, sizes

PACKAGE = Path(sizes.__file__).parents[1]
NAMES = {name for name in vars(sizes) if name.isupper()}
OTHER_NAMES = {
    "ROWS",
    "PALETTE_ROWS",
    "COLOURS",
    "FIXED_POINT",
    "CELL_PX",
    "TABLE_ENTRIES",
    "PAIRS",
}
"""What the machine's numbers have been called beside their names."""
NUMBERS = {65536, 2048, 0x7FF, 0x3FF}
"""Numbers that are the machine's wherever they stand."""
OWN = {
    ("live/serve.py", "MOST_BYTES"): "bytes of a request",
    ("batch/link.py", "LONGEST_GREETING"): "bytes of a message between processes",
    ("write/disk.py", "MOST_WAITING_KB"): "kilobytes that wait to reach the disk",
    ("reduce/choose.py", "AT_ONCE"): "cells worked on at a time",
    ("reduce/buckets.py", "BUCKET"): "items of a bucket",
    ("reduce/calm.py", "ENTRIES"): "entries of a table of masking",
    ("write/cycles.py", "COLUMN_PAIRS"): "cycles that offsets of columns take",
    ("scroll/waves.py", "TURN"): "parts of a wave's phase",
}
"""Names that hold such a number for a reason of their own."""
FILES = [
    path
    for path in sorted(PACKAGE.rglob("*.py"))
    if path.parent.name != "hardware" and "paint" not in path.relative_to(PACKAGE).parts
]


def value_of(node: ast.AST) -> object:
    """The number that an expression of literals alone comes to, None for others."""
    parts = {type(part) for part in ast.walk(node)} if isinstance(node, ast.expr) else {ast.expr}
    plain = {ast.Constant, ast.BinOp, ast.LShift, ast.Mult, ast.Sub, ast.Pow}
    return eval(ast.unparse(node)) if parts <= plain else None


def strays(text: str, path: str) -> list[str]:
    """Where a file has a number of the machine of its own."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            name, number = node.targets[0].id, value_of(node.value)
            again = name in NAMES | OTHER_NAMES and isinstance(number, int)
        else:
            name, number = "", value_of(node)
            again = isinstance(node, ast.Constant | ast.BinOp) and number in NUMBERS
        if again and not owned(path, text, node.lineno):
            found.append(f"{path}:{node.lineno}: {ast.unparse(node)}")
    return found


def owned(path: str, text: str, line: int) -> bool:
    """Whether a line gives one of the names of OWN its value."""
    begin = text.splitlines()[line - 1].split(" = ")[0]
    return (path, begin) in OWN


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_number_of_the_machine_stands_elsewhere(path: Path) -> None:
    """A file that is not in hardware/ takes the machine's numbers from there."""
    assert not strays(path.read_text("utf-8"), str(path.relative_to(PACKAGE)))


def test_painters_take_the_side_of_a_cell_from_there() -> None:
    """No painter and no part of one says anew how large a cell is."""
    for path in sorted((PACKAGE / "paint").rglob("*.py")):
        found = strays(path.read_text("utf-8"), str(path.relative_to(PACKAGE)))
        assert not [one for one in found if "CELL" in one]


def test_a_stray_number_is_found() -> None:
    """The rule sees a name given again and a bare number, however it is written."""
    text = "CELL = 8\nTOP = 1 << 16\nshown = words & 0x3FF\n"
    assert len(strays(text, "sample.py")) == 3


def test_names_of_their_own_are_there() -> None:
    """Every exception is one that is still in use."""
    for path, name in OWN:
        assert f"\n{name} = " in (PACKAGE / path).read_text("utf-8"), (path, name)


def test_modes_and_sizes_agree() -> None:
    """The mode's own numbers are those of the sizes, where both say one."""
    main = next(one for one in vars(mode).values() if isinstance(one, mode.Mode))
    assert main.palette_rows == sizes.PALETTES
    assert main.row_colours in (sizes.PALETTE_COLOURS, sizes.PALETTE_ENTRIES)
    assert 1 << main.number_bits == sizes.TILE_NUMBERS
    assert main.column_pairs == sizes.COLUMN_PAIRS
    assert max(width.sprites[0] for width in main.widths) == sizes.TABLE_SPRITES
    assert sizes.ENTRIES == 64
    assert 1 << 3 * main.channel_bits == sizes.SCREEN_COLOURS
