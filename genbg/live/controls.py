"""What a person can turn on the live page: numbers, choices and colours of the preset.

The controls are read off the same keys that the checker reads, so a new key of a table or painter
has its control without a word here. Names, texts and files are left to the editor.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from genbg.keys import Key, keys_of
from genbg.paint.table import painter
from genbg.preset.effects import MANY_TABLES, OPTIONAL_TABLES
from genbg.preset.tables import TABLES, Layer, Preset

TURNED = ("int", "float", "bool", "choice", "colour", "ints", "floats", "distance", "colours")
"""Kinds of keys that have a control of their own."""

Control = dict[str, Any]
Group = dict[str, Any]


def control_groups(preset: Preset) -> list[Group]:
    """Return groups {name, about, controls}; a control is plain JSON values:

    path: as `--set` has it; name, about, unit, kind, low, high: of its key
    choices, length: where the key has them; value: what holds now, null where nothing is said
    """
    groups = [group("preset", Preset, preset, "")]
    for name, table in TABLES.items():
        groups.append(group(name, table, getattr(preset, name), f"{name}."))
    for layer in preset.layers:
        groups.append(layer_group(layer))
    for name, mood in preset.moods.items():
        groups.append(group(f"mood {name}", type(mood), mood, f"mood.{name}."))
    for name, table in OPTIONAL_TABLES.items():
        if getattr(preset, name) is not None:
            groups.append(group(name, table, getattr(preset, name), f"{name}."))
    for name, (attribute, table, _) in MANY_TABLES.items():
        for place, entry in enumerate(getattr(preset, attribute)):
            groups.append(group(f"{name} {place + 1}", table, entry, f"{name}.{place}."))
    return [one for one in groups if one["controls"]]


def group(name: str, table: type, values: Any, above: str) -> Group:
    """Return the controls of a table's keys; above: the path before a key, with its dot."""
    controls = [
        control(f"{above}{key_name}", key_name, described, getattr(values, key_name))
        for key_name, described in keys_of(table).items()
        if described.kind in TURNED
    ]
    return {"name": name, "about": (table.__doc__ or "").split("\n")[0], "controls": controls}


def layer_group(layer: Layer) -> Group:
    """Return the controls of a layer: its painter's own keys first, then colours, then the rest."""
    above = f"layer.{layer.number}."
    art = painter(layer.paint)
    own = group("", art.params, layer.params, above)["controls"]
    common = group("", Layer, layer, above)["controls"]
    return {
        "name": f"layer {layer.name}",
        "about": f"{art.about} ({layer.plane} plane)",
        "controls": [*own, *ramp_controls(layer, above), *common],
    }


def ramp_controls(layer: Layer, above: str) -> Iterator[Control]:
    """Yield a control for the colours and one for the steps of each ramp of the painter."""
    keys = keys_of(Layer)
    for ramp in painter(layer.paint).ramps:
        colours = Key("colours", f"{ramp.about} From dark to light.")
        shown = layer.colours.get(ramp.name, ramp.anchors)
        yield control(f"{above}colours.{ramp.name}", f"colours {ramp.name}", colours, shown)
        steps = keys["steps"]
        described = Key("int", f"Inks of {ramp.name}.", steps.low, steps.high)
        inks = layer.steps.get(ramp.name, ramp.steps)
        yield control(f"{above}steps.{ramp.name}", f"steps {ramp.name}", described, inks)


def control(path: str, name: str, described: Key, value: Any) -> Control:
    """Return one control as plain JSON values."""
    return {
        "path": path,
        "name": name.replace("_", " "),
        "about": described.about,
        "unit": described.unit,
        "kind": described.kind,
        "low": described.low,
        "high": described.high,
        "choices": plain(described.choices),
        "length": described.length,
        "value": plain(value),
    }


def plain(value: Any) -> Any:
    """Return tuples as lists, so that values compare equal to those that JSON brings back."""
    return [plain(one) for one in value] if isinstance(value, tuple | list) else value


def paths_of(groups: list[Group]) -> set[str]:
    """Return the paths of all controls."""
    return {one["path"] for each in groups for one in each["controls"]}


def settings_of(turned: Mapping[str, Any]) -> tuple[str, ...]:
    """Return turned values as `--set` texts; JSON's numbers, texts and arrays are TOML too."""
    return tuple(f"{path}={json.dumps(value)}" for path, value in turned.items())
