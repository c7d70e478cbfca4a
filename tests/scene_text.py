"""Presets of the tests, written as calls: TOML text of layers and tables."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any


def rows(keys: Mapping[str, Any], before: str = "") -> Iterator[str]:
    """`key = value` lines; keys of a table in a table have its name and a dot before theirs."""
    for name, value in keys.items():
        if isinstance(value, Mapping):
            yield from rows(value, f"{before}{name}.")
        else:
            yield f"{before}{name} = {json.dumps(value)}\n"


def table(name: str, /, **keys: Any) -> str:
    """A table with its head, such as "[machine]", or "[[split]]" for a name in brackets."""
    return f"[{name}]\n" + "".join(rows(keys))


def a_layer(paint: str, lines: list[int], /, **keys: Any) -> str:
    """One layer of a preset."""
    return table("[layer]", paint=paint, lines=lines, **keys)


def scene(*layers: str, **keys: Any) -> str:
    """A preset: single keys, tables, then layers."""
    single = {name: value for name, value in keys.items() if not isinstance(value, Mapping)}
    tables = [table(name, **value) for name, value in keys.items() if isinstance(value, Mapping)]
    return "".join([*rows(single), *tables, *layers])


SMALL = {"plane_cells": [32, 32], "screen": [256, 224], "tile_budget": 400}
"""The smallest planes and screen, and a budget that is never short for them."""
EBB = scene(
    a_layer("sky", [0, 120], body="none"),
    a_layer("water", [120, 224], distance=[8.0, 1.0]),
    title="Ebb",
    machine=SMALL,
    preview={"frames": 2},
)
"""A preset that is made in a moment."""
CAPE = {"name": "cape", "plane": "front", "distance": 6}
"""What stands before the sky in several scenes."""
