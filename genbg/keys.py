"""How one key of a preset is described.

A table of a preset is a frozen dataclass whose fields are made with `key(...)`. The checker in
`preset.py`, the JSON Schema, the starter preset and the live page's controls all read the same
metadata, so a key is described once, where it is used.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

MISSING = dataclasses.MISSING


@dataclass(frozen=True)
class Key:
    """Description of one key.

    kind: "int", "float", "bool", "str", "colour" (a "#rrggbb" string), "choice", "path",
        "ints" or "floats" (an array of `length` numbers, or of any length if `length` is None),
        "colours" (an array of "#rrggbb"), "distance" (a float, or an array of two: far, near)
    low, high: inclusive range of the number or of each number of an array
    choices: the allowed strings of a "choice"
    length: how many entries an array has; None: any
    unit: what the number counts, for people
    """

    kind: str
    about: str
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    length: int | None = None
    unit: str = ""
    optional: bool = False


def key(
    default: Any,
    kind: str,
    about: str,
    *,
    low: float | None = None,
    high: float | None = None,
    choices: tuple[str, ...] = (),
    length: int | None = None,
    unit: str = "",
) -> Any:
    """Return a dataclass field that carries a `Key` under metadata["key"].

    default: the value when the key is absent; `MISSING` makes the key required; None makes it
        optional with no value.
    """
    described = Key(kind, about, low, high, tuple(choices), length, unit, default is None)
    if default is MISSING:
        return dataclasses.field(metadata={"key": described})
    return dataclasses.field(default=default, metadata={"key": described})
