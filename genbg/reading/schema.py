"""JSON Schema of presets (Draft 2020-12), made from the same keys that the checker reads.

It ships as `genbg/preset.schema.json`, so that an editor can complete and check a preset while it
is being written. What no schema can tell (a line that lies outside this screen, two layers at two
speeds, a missing picture) is left to `genbg`. `python -m genbg.reading.schema` writes it anew.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

from genbg.keys import MISSING, default_of, keys_of, value_schema
from genbg.model import HOME
from genbg.paint.contract import Painter
from genbg.paint.table import PAINTERS, painter
from genbg.preset.effects import MANY_TABLES, OPTIONAL_TABLES
from genbg.preset.tables import MAX_LAYERS, MAX_MOODS, TABLES, Layer, Mood, Preset
from genbg.reading.check import MOOD_NAME

SCHEMA_FILE = Path(__file__).resolve().parent.parent / "preset.schema.json"


def preset_schema() -> dict[str, Any]:
    """Return the schema of a preset file as plain JSON values."""
    properties = _properties(Preset)
    for name, table in TABLES.items():
        properties[name] = _table(table)
    properties["layer"] = {
        "type": "array",
        "description": "Bands of scenery, from back to front.",
        "items": _layer(),
        "minItems": 1,
        "maxItems": MAX_LAYERS,
    }
    properties["mood"] = _moods()
    for name, table in OPTIONAL_TABLES.items():
        properties[name] = _table(table)
    for name, (_, table, most) in MANY_TABLES.items():
        properties[name] = {"type": "array", "items": _table(table), "maxItems": most}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "genbg preset",
        "description": "What genbg paints, fits and exports.",
        "type": "object",
        "properties": properties,
        "required": ["layer"],
        "additionalProperties": False,
    }


def schema_text() -> str:
    """The schema as the shipped file holds it."""
    return json.dumps(preset_schema(), indent=1, ensure_ascii=False) + "\n"


def _properties(table: type) -> dict[str, Any]:
    """The schema of each key of a table, with what it is about and its default."""
    properties = {}
    for name, described in keys_of(table).items():
        unit = f" In {described.unit}." if described.unit else ""
        schema = {"description": described.about + unit, **value_schema(described)}
        default = default_of(table, name)
        if default is not MISSING and default is not None and default != {}:
            schema["default"] = list(default) if isinstance(default, tuple) else default
        properties[name] = schema
    return properties


def _required(table: type) -> list[str]:
    return [name for name in keys_of(table) if default_of(table, name) is MISSING]


def _table(table: type) -> dict[str, Any]:
    return {
        "type": "object",
        "description": (table.__doc__ or "").split("\n")[0],
        "properties": _properties(table),
        "required": _required(table),
        "additionalProperties": False,
    }


def _layer() -> dict[str, Any]:
    """A layer: the common keys, and for each painter its own."""
    properties = _properties(Layer)
    properties["paint"] = {
        "description": "The painter.",
        "oneOf": [{"const": name, "description": painter(name).about} for name in PAINTERS],
    }
    return {
        "type": "object",
        "properties": properties,
        "required": _required(Layer),
        "allOf": [_painted_by(painter(name)) for name in PAINTERS],
        "unevaluatedProperties": False,
    }


def _painted_by(art: Painter[Any]) -> dict[str, Any]:
    """If a layer is painted by `art`, then these are its own keys and ramps."""
    common = keys_of(Layer)
    own = _properties(art.params)
    for name in ("colours", "steps"):
        entry = value_schema(common[name])["additionalProperties"]
        ramps = {
            ramp.name: {"description": ramp.about, **copy.deepcopy(entry)} for ramp in art.ramps
        }
        own[name] = {"type": "object", "properties": ramps, "additionalProperties": False}
    then = {"properties": own, "required": _required(art.params)}
    condition = {"properties": {"paint": {"const": art.name}}, "required": ["paint"]}
    return {"if": condition, "then": then}


def _moods() -> dict[str, Any]:
    return {
        "description": "Other colours for the same patterns, each a table [mood.NAME].",
        "anyOf": [
            {"const": HOME},
            {
                "type": "object",
                "propertyNames": {**value_schema(MOOD_NAME), "not": {"const": HOME}},
                "additionalProperties": _table(Mood),
                "maxProperties": MAX_MOODS,
            },
        ],
    }


if __name__ == "__main__":
    SCHEMA_FILE.write_text(schema_text(), encoding="utf-8")
