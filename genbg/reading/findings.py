"""What is wrong with a preset, before its place in the file is looked up, and tables of keys."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from genbg.keys import MISSING, Report, check_value, default_of, keys_of, nearest_name
from genbg.reading.places import Path


class Finding(NamedTuple):
    """A fault before its place in the file is looked up.

    at_key: the key is at fault (it is unknown, or no name at all), not its value
    """

    path: Path
    says: str
    nearest: str | None = None
    at_key: bool = False


class Findings(list[Finding]):
    """All faults found so far."""

    def add(self, path: Path, says: str, nearest: str | None = None) -> None:
        self.append(Finding(path, says, nearest))

    def unknown(self, path: Path, what: str, allowed: Iterable[str]) -> None:
        """A name that nobody knows; `allowed` is what may stand in its place."""
        names = list(allowed)
        nearest = nearest_name(str(path[-1]), names)
        says = f"unknown {what}; allowed here: {', '.join(names) or 'none'}"
        self.append(Finding(path, says, nearest, at_key=True))

    def wrong_name(self, path: Path, says: str) -> None:
        """A name that is free, but not as free as that."""
        self.append(Finding(path, says, at_key=True))

    def inside(self, path: Path) -> bool:
        """Whether a fault lies at `path` or below it."""
        return any(finding.path[: len(path)] == path for finding in self)


def check_keys(table: type, data: Mapping[str, Any], path: Path, found: Findings) -> dict[str, Any]:
    """Clean values of the keys of one table, with defaults; keys it does not know are ignored."""
    values = {}
    for name, described in keys_of(table).items():
        where = (*path, name)
        if name in data:
            values[name] = check_value(described, data[name], _reporter(where, found))
        elif (default := default_of(table, name)) is MISSING:
            found.add(where, f"is required and missing ({described.about.rstrip('.')})")
        else:
            values[name] = default
    return values


def _reporter(path: Path, found: Findings) -> Report:
    return lambda at, says, nearest: found.add((*path, *at), says, nearest)


def check_table(table: type, data: Any, path: Path, found: Findings) -> Any:
    """The checked dataclass of one table of the file.

    Where it has faults: a default one, or None where a key of it is required.
    """
    if not isinstance(data, Mapping):
        found.add(path, "must be a table")
        return _default_table(table)
    names = keys_of(table)
    for name in data:
        if name not in names:
            found.unknown((*path, name), "key", names)
    values = check_keys(table, data, path, found)
    if found.inside(path):
        return _default_table(table)
    made = make_table(table, values, path, found)
    return _default_table(table) if found.inside(path) else made


def _default_table(table: type) -> Any:
    needed = any(default_of(table, name) is MISSING for name in keys_of(table))
    return None if needed else table()


def make_table(table: type, values: Mapping[str, Any], path: Path, found: Findings) -> Any:
    """The dataclass of clean values, after it was asked which of them do not go together."""
    made = table(**values)
    for name, says in getattr(made, "faults", lambda: ())():
        found.add((*path, name), says)
    return made
