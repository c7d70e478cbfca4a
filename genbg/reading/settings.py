"""`--set KEY=VALUE`: changes to a preset's plain data before it is checked."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from genbg.model import HOME
from genbg.preset.effects import MANY_TABLES
from genbg.reading.check import MoodData
from genbg.reading.findings import Findings
from genbg.reading.places import Path

MAX_DEPTH = 12
"""Tables and arrays inside one another; the deepest key of a preset needs half of it."""


ARRAYS = ("layer", *MANY_TABLES)
"""Tables that may stand several times: without any there is no entry to set."""


class Setting(NamedTuple):
    """One change. text: as the user wrote it; path and value: what it means."""

    text: str
    path: Path
    value: Any


class SettingFault(NamedTuple):
    """A setting that is none: what is wrong with it."""

    text: str
    says: str


def parse_setting(text: str) -> Setting | SettingFault:
    """Read "KEY=VALUE". VALUE is TOML where it is that, and else a bare text."""
    name, equals, value = text.partition("=")
    path = _parse_path(name)
    if not equals or path is None:
        says = "must be KEY=VALUE, as machine.tile_budget=400 or layer.2.distance=6"
        return SettingFault(text, says)
    return Setting(text, path, _parse_value(value))


def _parse_path(name: str) -> Path | None:
    """The parts of a dotted TOML key, or None if it is not one."""
    try:
        node: Any = tomllib.loads(f"{name} = 0") if name.strip() and "\n" not in name else None
    except (ValueError, RecursionError):
        return None
    path: Path = ()
    while isinstance(node, dict) and len(node) == 1:
        part, node = next(iter(node.items()))
        path = (*path, part)
    return path if node == 0 else None


def _parse_value(text: str) -> Any:
    try:
        read = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    return read["value"] if list(read) == ["value"] and not is_deep(read) else text


def is_deep(data: Any) -> bool:
    """Whether tables and arrays are nested deeper than any key asks for. Needs no recursion."""
    level = [data]
    for _ in range(MAX_DEPTH):
        level = [
            entry
            for node in level
            if isinstance(node, (dict, list))
            for entry in (node.values() if isinstance(node, dict) else node)
        ]
    return any(isinstance(node, (dict, list)) for node in level)


def apply_settings(
    data: Mapping[str, Any], settings: Sequence[Setting], found: Findings
) -> dict[str, Any]:
    """Return the data of a preset with the settings applied in order; the last one wins.

    `mood=NAME` chooses a mood and leaves the tables of moods alone.
    """
    changed: dict[str, Any] = copy.deepcopy(dict(data))
    moods = changed.get("mood", {})
    if any(setting.path == ("mood",) for setting in settings) and isinstance(moods, dict):
        changed["mood"] = MoodData(HOME, moods)
    for setting in settings:
        if setting.path == ("mood",) and isinstance(changed.get("mood"), MoodData):
            changed["mood"] = changed["mood"]._replace(choice=setting.value)
        else:
            _apply(changed, setting, found)
    return changed


def _apply(data: dict[str, Any], setting: Setting, found: Findings) -> None:
    node: Any = data
    for depth, part in enumerate(setting.path):
        last = depth == len(setting.path) - 1
        path = setting.path[: depth + 1]
        if isinstance(node, MoodData):
            node = node.tables
        if isinstance(node, list):
            place = _place(node, str(part))
            if place is None:
                most = len(node) - 1
                says = f"no such entry; there are {len(node)}" + (
                    f", counted 0 to {most}" if node else ""
                )
                found.add(path, says)
                return
            part = place
        elif not isinstance(node, dict):
            found.add(path, f"{'.'.join(map(str, path[:-1]))} has no keys of its own")
            return
        if last:
            node[part] = setting.value
        elif isinstance(node, dict):
            node = node.setdefault(part, [] if not depth and part in ARRAYS else {})
        else:
            node = node[part]


def _place(entries: list[Any], part: str) -> int | None:
    """The place in an array that a part of a key names, or None."""
    if part.isascii() and part.isdigit() and len(part) < 6 and int(part) < len(entries):
        return int(part)
    return None
