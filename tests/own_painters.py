"""Painters of the tests' own, in the program's table for a while."""

from __future__ import annotations

import contextlib
import sys
import types
from collections.abc import Iterator

from genbg.paint import table
from genbg.paint.contract import Painter


@contextlib.contextmanager
def in_the_table(*painters: Painter) -> Iterator[None]:
    """Presets may name the painters, as they name those of the program.

    Afterwards the table is as it was, in its order, whatever was taken out of it meanwhile.
    """
    before = dict(table.PAINTERS)
    for one in painters:
        module = types.ModuleType(f"genbg.paint.painters.{one.name}")
        module.PAINTER = one
        sys.modules[module.__name__] = module
        table.PAINTERS[one.name] = one.name
    table.painter.cache_clear()
    try:
        yield
    finally:
        for one in painters:
            del sys.modules[f"genbg.paint.painters.{one.name}"]
        table.PAINTERS.clear()
        table.PAINTERS.update(before)
        table.painter.cache_clear()
