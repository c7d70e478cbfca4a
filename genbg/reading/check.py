"""From the plain data of a preset to its checked dataclasses, with every fault on the way."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from genbg.keys import Key, check_value, keys_of, listed, nearest_name
from genbg.model import HOME
from genbg.paint.contract import Painter
from genbg.paint.table import PAINTERS, painter
from genbg.preset.effects import MANY_TABLES, OPTIONAL_TABLES
from genbg.preset.tables import MAX_LAYERS, MAX_MOODS, TABLES, Layer, Mood, Preset
from genbg.reading.check_effects import check_colours, check_effects, check_ramps, read_effects
from genbg.reading.check_sprites import check_sprites
from genbg.reading.findings import Findings, check_keys, check_table, make_table
from genbg.reading.places import Path

TOP_TABLES = (*TABLES, "layer", "mood", *OPTIONAL_TABLES, *MANY_TABLES)
MOOD_NAME = Key("name", "What a mood is called; files of the export are named after it.")


def check_preset(data: Mapping[str, Any], found: Findings) -> Preset:
    """Return the preset of plain data as `tomllib` gives it; faults go to `found`.

    What tells where the text is from (`name`, `folder`, `path`, `text`) is left for the reader to
    fill in. The preset returned is of use only if nothing was found.
    """
    own = list(keys_of(Preset))
    for name in data:
        if name not in own and name not in TOP_TABLES:
            found.unknown((name,), "key or table", [*own, *TOP_TABLES])
    values = check_keys(Preset, data, (), found)
    tables = {
        name: check_table(keys, data.get(name, {}), (name,), found) for name, keys in TABLES.items()
    }
    layers = _check_layers(data, found)
    named = _by_name(data, layers, found)
    effects = read_effects(data, found)
    if not found.inside(("machine",)):
        check_sprites(tables, effects, layers, found)
    mood, moods = _check_moods(data.get("mood", HOME), named, found)
    if not found.inside(("machine",)):
        check_effects(effects, layers, named, moods, tables["machine"].screen, found)
    known = tuple(layer for layer in layers if layer is not None)
    return Preset(**values, **tables, mood=mood, layers=known, moods=moods, **effects)


# --- layers ---------------------------------------------------------------------------------------


def _check_layers(data: Mapping[str, Any], found: Findings) -> list[Layer | None]:
    """The layers by place; None where one has faults, or for all of them."""
    raw = data.get("layer", [])
    if not isinstance(raw, list) or not all(isinstance(one, Mapping) for one in raw):
        found.add(("layer",), "must be tables, each begun with [[layer]]")
        return [None]
    if not 1 <= len(raw) <= MAX_LAYERS:
        says = f"{len(raw)} layers; allowed are 1 to {MAX_LAYERS}, each begun with [[layer]]"
        found.add(("layer",), says)
        return [None]
    checked = [_check_layer(number, one, found) for number, one in enumerate(raw)]
    layers = list(_named(checked, found))
    if None not in layers:
        _check_sees({str(layer.name): layer for layer in layers if layer is not None}, found)
    return layers


def _by_name(
    data: Mapping[str, Any], layers: list[Layer | None], found: Findings
) -> dict[str, Layer] | None:
    """The layers by which other tables look up names; None where not all names can be known.

    For a layer with faults stands what is known of it: its name, its painter and its steps.
    """
    raw = data.get("layer", [])
    if not isinstance(raw, list) or len(raw) != len(layers):
        return None
    known = [
        layer or _stand_in(number, one, found)
        for number, (layer, one) in enumerate(zip(layers, raw, strict=True))
    ]
    if None in known:
        return None
    return {str(layer.name): layer for layer in _named(known, Findings()) if layer is not None}


def _stand_in(number: int, data: Any, found: Findings) -> Layer | None:
    """What is known of a layer with faults; None where its painter, name or steps are wrong."""
    path: Path = ("layer", number)
    paint = data.get("paint") if isinstance(data, Mapping) else None
    unsure = any(found.inside((*path, key)) for key in ("paint", "name", "steps"))
    if unsure or not isinstance(paint, str) or paint not in PAINTERS:
        return None
    steps = data.get("steps", {})
    return Layer(paint=paint, name=data.get("name"), number=number, steps=steps, lines=(0, 1))


def _check_sees(layers: Mapping[str, Layer], found: Findings) -> None:
    """A layer sees layers that exist, and none that sees it in turn."""
    for layer in layers.values():
        for place, name in enumerate(layer.sees):
            path: Path = ("layer", layer.number, "sees", place)
            if name not in layers:
                says = f"unknown layer; this preset has {listed(layers)}"
                found.add(path, says, nearest_name(name, layers))
            elif name == layer.name:
                found.add(path, "a layer can't see itself")
            elif layer.name in _seen_from(name, layers):
                found.add(path, "that layer sees this one in turn, so neither can be painted first")


def _seen_from(name: str, layers: Mapping[str, Layer]) -> set[str]:
    """The layer and all that it sees, directly or through others."""
    reached, left = set(), [name]
    while left:
        one = left.pop()
        if one not in reached and one in layers:
            reached.add(one)
            left += layers[one].sees
    return reached


def _check_layer(number: int, data: Mapping[str, Any], found: Findings) -> Layer | None:
    path: Path = ("layer", number)
    art = _find_painter(data.get("paint"), path, found)
    own, params = keys_of(Layer), keys_of(art.params) if art else {}
    if art:
        for name in data:
            if name not in own and name not in params:
                what = f'key of a layer painted by "{art.name}"'
                found.unknown((*path, name), what, [*own, *params])
    values = check_keys(Layer, data, path, found)
    if art is None:
        _tell_misspelt_paint(data, path, found)
        return None
    check_ramps(art, values.get("colours"), (*path, "colours"), found)
    check_ramps(art, values.get("steps"), (*path, "steps"), found)
    chosen = check_keys(art.params, data, path, found)
    if found.inside(path):
        return None
    made = make_table(art.params, chosen, path, found)
    layer: Layer = make_table(Layer, {**values, "number": number, "params": made}, path, found)
    return None if found.inside(path) else layer


def _find_painter(name: Any, path: Path, found: Findings) -> Painter[Any] | None:
    """The painter a layer asks for. A missing key is reported with the other keys."""
    if isinstance(name, str) and name in PAINTERS:
        return painter(name)
    if isinstance(name, str):
        says = f"unknown painter; allowed are {listed(PAINTERS)}"
        found.add((*path, "paint"), says, nearest_name(name, PAINTERS))
    return None


def _tell_misspelt_paint(data: Mapping[str, Any], path: Path, found: Findings) -> None:
    """Name the key of a layer that was meant for `paint`, if that is missing."""
    own = keys_of(Layer)
    for name in data if "paint" not in data else ():
        if name not in own and nearest_name(name, own) == "paint":
            found.unknown((*path, name), "key", own)


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


# --- moods ----------------------------------------------------------------------------------------


class MoodData(NamedTuple):
    """What `mood` holds once the command line has had its say: the choice and the tables."""

    choice: Any
    tables: Any


def _check_moods(
    raw: Any, layers: Mapping[str, Layer] | None, found: Findings
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


def _check_mood(name: str, data: Any, layers: Mapping[str, Layer] | None, found: Findings) -> Mood:
    path: Path = ("mood", name)
    if name == HOME:
        found.add(path, f'"{HOME}" are the preset\'s own colours; give the mood another name')
    check_value(MOOD_NAME, name, lambda at, says, nearest: found.wrong_name(path, says))
    mood: Mood = check_table(Mood, data, path, found)
    if layers is None or found.inside(path):
        return mood
    check_colours(mood.colours, layers, (*path, "colours"), found)
    return mood
