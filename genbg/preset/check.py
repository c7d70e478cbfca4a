"""From the plain data of a preset to its checked dataclasses, with every fault on the way."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from genbg.keys import (
    MISSING,
    Report,
    check_value,
    default_of,
    keys_of,
    listed,
    nearest_name,
)
from genbg.model import HOME
from genbg.paint.contract import Painter
from genbg.paint.table import PAINTERS, painter
from genbg.preset.places import Path
from genbg.preset.tables import MAX_LAYERS, MAX_MOODS, TABLES, Layer, Mood, Preset

TOP_TABLES = (*TABLES, "layer", "mood")


class Finding(NamedTuple):
    """A fault before its place in the file is looked up.

    at_key: the key is at fault (it is unknown), not its value
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

    def inside(self, path: Path) -> bool:
        """Whether a fault lies at `path` or below it."""
        return any(finding.path[: len(path)] == path for finding in self)


def check_preset(data: Mapping[str, Any], found: Findings) -> Preset:
    """Return the preset of plain data as `tomllib` gives it; faults go to `found`.

    What tells where the text is from (`name`, `folder`, `path`, `text`) is left for the reader to
    fill in. The preset returned is of use only if nothing was found.
    """
    own = list(keys_of(Preset))
    for name in data:
        if name not in own and name not in TOP_TABLES:
            found.unknown((name,), "key or table", [*own, *TOP_TABLES])
    values = _check_keys(Preset, data, (), found)
    tables = {
        name: _check_table(keys, data.get(name, {}), (name,), found)
        for name, keys in TABLES.items()
    }
    layers = _check_layers(data, found)
    if not found.inside(("machine",)):
        _check_lines(layers, tables["machine"].screen[1], found)
    mood, moods = _check_moods(data.get("mood", HOME), layers, found)
    known = tuple(layer for layer in layers if layer is not None)
    return Preset(**values, **tables, mood=mood, layers=known, moods=moods)


def _check_keys(
    table: type, data: Mapping[str, Any], path: Path, found: Findings
) -> dict[str, Any]:
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


def _check_table(table: type, data: Any, path: Path, found: Findings) -> Any:
    """The checked dataclass of one table of the file; a default one where it has faults."""
    if not isinstance(data, Mapping):
        found.add(path, "must be a table")
        return table()
    names = keys_of(table)
    for name in data:
        if name not in names:
            found.unknown((*path, name), "key", names)
    values = _check_keys(table, data, path, found)
    return table() if found.inside(path) else _made(table, values, path, found)


def _made(table: type, values: Mapping[str, Any], path: Path, found: Findings) -> Any:
    """The dataclass of clean values, after it was asked which of them do not go together."""
    made = table(**values)
    for name, says in getattr(made, "faults", lambda: ())():
        found.add((*path, name), says)
    return made


# --- layers ---------------------------------------------------------------------------------------


def _check_layers(data: Mapping[str, Any], found: Findings) -> list[Layer | None]:
    """The layers by place; None where one has faults."""
    raw = data.get("layer", [])
    if not isinstance(raw, list) or not all(isinstance(one, Mapping) for one in raw):
        found.add(("layer",), "must be tables, each begun with [[layer]]")
        return []
    if not 1 <= len(raw) <= MAX_LAYERS:
        says = f"{len(raw)} layers; allowed are 1 to {MAX_LAYERS}, each begun with [[layer]]"
        found.add(("layer",), says)
        return []
    layers = [_check_layer(number, one, found) for number, one in enumerate(raw)]
    return list(_named(layers, found))


def _check_layer(number: int, data: Mapping[str, Any], found: Findings) -> Layer | None:
    path: Path = ("layer", number)
    art = _find_painter(data.get("paint"), path, found)
    own, params = keys_of(Layer), keys_of(art.params) if art else {}
    if art:
        for name in data:
            if name not in own and name not in params:
                what = f'key of a layer painted by "{art.name}"'
                found.unknown((*path, name), what, [*own, *params])
    values = _check_keys(Layer, data, path, found)
    if art is None:
        return None
    _check_ramps(art, values.get("colours"), (*path, "colours"), found)
    _check_ramps(art, values.get("steps"), (*path, "steps"), found)
    chosen = _check_keys(art.params, data, path, found)
    if found.inside(path):
        return None
    made = _made(art.params, chosen, path, found)
    layer: Layer = _made(Layer, {**values, "number": number, "params": made}, path, found)
    return None if found.inside(path) else layer


def _find_painter(name: Any, path: Path, found: Findings) -> Painter | None:
    """The painter a layer asks for. A missing key is reported with the other keys."""
    if isinstance(name, str) and name in PAINTERS:
        return painter(name)
    if isinstance(name, str):
        says = f"unknown painter; allowed are {listed(PAINTERS)}"
        found.add((*path, "paint"), says, nearest_name(name, PAINTERS))
    return None


def _check_ramps(art: Painter, ramps: Any, path: Path, found: Findings) -> None:
    names = [ramp.name for ramp in art.ramps]
    for name in ramps or ():
        if name not in names:
            found.unknown((*path, name), f'ramp of the painter "{art.name}"', names)


def _named(layers: Iterable[Layer | None], found: Findings) -> Iterator[Layer | None]:
    """The layers with names of their own: given ones stand, others are numbered after painters."""
    listed_layers = list(layers)
    taken: set[str] = set()
    for layer in listed_layers:
        if layer is not None and layer.name is not None:
            if layer.name in taken:
                found.add(("layer", layer.number, "name"), "another layer has this name already")
            taken.add(layer.name)
    for layer in listed_layers:
        if layer is None or layer.name is not None:
            yield layer
            continue
        tries = (f"{layer.paint}-{count}" if count > 1 else layer.paint for count in range(1, 999))
        name = next(name for name in tries if name not in taken)
        taken.add(name)
        yield dataclasses.replace(layer, name=name)


def _check_lines(layers: Iterable[Layer | None], height: int, found: Findings) -> None:
    for layer in layers:
        if layer is not None and layer.lines[1] > height:
            says = f"must lie within 0 to {height}, the lines of the screen"
            found.add(("layer", layer.number, "lines"), says)


# --- moods ----------------------------------------------------------------------------------------


class MoodData(NamedTuple):
    """What `mood` holds once the command line has had its say: the choice and the tables."""

    choice: Any
    tables: Any


def _check_moods(
    raw: Any, layers: list[Layer | None], found: Findings
) -> tuple[str, dict[str, Mood]]:
    """The chosen mood and all moods by name.

    raw: a text chooses, a table describes; both at once come as `MoodData`
    """
    if not isinstance(raw, MoodData):
        raw = MoodData(HOME, raw) if isinstance(raw, Mapping) else MoodData(raw, {})
    moods = {}
    if not isinstance(raw.tables, Mapping) or len(raw.tables) > MAX_MOODS:
        found.add(("mood",), f"must be at most {MAX_MOODS} tables, each begun with [mood.NAME]")
    else:
        for name, table in raw.tables.items():
            moods[name] = _check_mood(name, table, layers, found)
    names = [HOME, *(name for name in moods if name != HOME)]
    if raw.choice not in names:
        nearest = nearest_name(raw.choice, names) if isinstance(raw.choice, str) else None
        found.add(("mood",), f"unknown mood; this preset has {listed(names)}", nearest)
    return raw.choice, moods


def _check_mood(name: str, data: Any, layers: list[Layer | None], found: Findings) -> Mood:
    path: Path = ("mood", name)
    if name == HOME:
        found.add(path, f'"{HOME}" are the preset\'s own colours; give the mood another name')
    mood: Mood = _check_table(Mood, data, path, found)
    if None in layers or found.inside(path):
        return mood
    by_name = {layer.name: layer for layer in layers if layer is not None}
    for layer_name, ramps in mood.colours.items():
        where = (*path, "colours", layer_name)
        if layer_name not in by_name:
            found.unknown(where, "layer", [str(known) for known in by_name])
        else:
            _check_ramps(painter(by_name[layer_name].paint), ramps, where, found)
    return mood
