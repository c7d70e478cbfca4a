"""Turned values into a preset's text: comments, order and layout of the rest stay as they are.

tomlkit changes values that stand in the text, each with the comment beside it. A key that is not
there yet is put on a line of its own behind the last key of its table, so that comments before the
next table stay before it. The new text is believed only if it means exactly what was turned: it is
read again and compared.
"""

from __future__ import annotations

import dataclasses
import json
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from genbg.errors import GenbgError, PresetError
from genbg.live.controls import settings_of
from genbg.preset import Preset
from genbg.reading import parse_preset
from genbg.reading.places import Path as KeyPath
from genbg.reading.places import Spot, find_spots


class RewriteError(GenbgError):
    """The text could not be changed to mean what was turned; the file is as it was."""


def rewrite(text: str, turned: Mapping[str, Any], folder: Path) -> str:
    """Return a preset's text with the turned values in place.

    turned: {path as `--set` has it: plain value}; folder: where the preset lies
    Raises PresetError where text and values make no preset, RewriteError where the text can't say
    it without losing its layout.
    """
    wanted = parse_preset(text, folder=folder, settings=settings_of(turned))
    changed = text.replace("\r\n", "\n")
    for path, value in turned.items():
        changed = put_value(changed, key_path(path), value)
    try:
        same = meaning(parse_preset(changed, folder=folder)) == meaning(wanted)
    except PresetError:
        same = False
    if not same:
        raise RewriteError("the preset is written in a way that these values do not fit into")
    return changed.replace("\n", "\r\n") if "\r\n" in text else changed


def meaning(preset: Preset) -> Preset:
    """Return a preset without what only tells where it came from."""
    return dataclasses.replace(preset, text="", settings=(), path=None)


def key_path(path: str) -> KeyPath:
    """Return the parts of a dotted path, places of arrays as numbers."""
    return tuple(int(part) if part.isdigit() else part for part in path.split("."))


def put_value(text: str, path: KeyPath, value: Any) -> str:
    """Return the text with one value set."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError
    from tomlkit.items import InlineTable

    try:
        document = tomlkit.parse(text)
        node: Any = document
        for part in path[:-1]:
            node = node[part]
        inline = isinstance(node, InlineTable)
        if path[-1] in node or inline:
            node[path[-1]] = value
            return tomlkit.dumps(document)
    except (KeyError, IndexError, TypeError):
        pass
    except TOMLKitError as error:
        raise RewriteError(f"the preset can't be changed: {error}") from error
    return add_key(text, path, value)


def add_key(text: str, path: KeyPath, value: Any) -> str:
    """Return the text with a key that was not there, behind the last key of its table."""
    spots = find_spots(text)
    tables = [path[:length] for length in range(len(path) - 1, 0, -1) if path[:length] in spots]
    if not tables:
        return new_table(text, path, value)
    table = next((one for one in tables if has_header(text, spots[one].key)), ())
    rest = ".".join(str(part) for part in path[len(table) :])
    line = f"{rest} = {json.dumps(value, ensure_ascii=False)}\n"
    own = [spot.value for one, spot in spots.items() if stands_in(text, spots, one, table)]
    at = line_end(text, spots[table].key if table else 0) if not own else value_end(text, max(own))
    before = text[:at]
    if before and not before.endswith("\n"):
        before += "\n"
    return before + line + text[at:]


def has_header(text: str, offset: int) -> bool:
    """Return whether a table is opened by a header of its own."""
    return text.startswith("[", offset)


def stands_in(text: str, spots: Mapping[KeyPath, Spot], one: KeyPath, table: KeyPath) -> bool:
    """Return whether a path is a key, plain or dotted, on a line of its own below a table's header.

    Entries of arrays, keys of inline tables and of tables with headers of their own are none.
    """
    below = one[len(table) :]
    if not below or one[: len(table)] != table or any(isinstance(part, int) for part in below):
        return False
    if has_header(text, spots[one].key):
        return False
    above = [one[:length] for length in range(len(table) + 1, len(one))]
    return not any(
        part in spots and (has_header(text, spots[part].key) or text[spots[part].value] == "{")
        for part in above
    )


def new_table(text: str, path: KeyPath, value: Any) -> str:
    """Return the text with a key whose table is not there: at the top, or under a new header."""
    said = json.dumps(value, ensure_ascii=False)
    if len(path) == 1:
        spots = find_spots(text)
        own = [spot.value for one, spot in spots.items() if stands_in(text, spots, one, ())]
        at = value_end(text, max(own)) if own else 0
        return f"{text[:at]}{path[0]} = {said}\n{text[at:]}"
    names = [str(part) for part in path]
    end = "" if text.endswith("\n") or not text else "\n"
    return f"{text}{end}\n[{names[0]}]\n{'.'.join(names[1:])} = {said}\n"


def value_end(text: str, start: int) -> int:
    """Return where the line after the value that starts at `start` begins."""
    at = start
    while at < len(text):
        at = line_end(text, at)
        try:
            tomllib.loads("value = " + text[start:at])
        except ValueError:
            continue
        return at
    return len(text)


def line_end(text: str, at: int) -> int:
    """Return where the next line begins."""
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1
