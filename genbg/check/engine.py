"""The layers for game engines: their table against the speeds, their pictures against the table."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import numpy as np

from genbg.check.json_schema import find_faults
from genbg.check.listing import Export, no_constant, unique_keys
from genbg.errors import BytesError
from genbg.hardware.sizes import ONE
from genbg.images import NotAPictureError, read_animation
from genbg.model import BACK, FRONT, Backdrop

PATH = "engine/layers.json"
LARGEST = 1024
"""Pixels that a layer may repeat after: the widest plane."""
MOST_LAYERS = 1024

NUMBERS = {"type": "array", "items": {"type": "number"}}
LINE = {"type": "integer", "minimum": 0, "maximum": 1024}
"""A line of the tallest plane, or the one after its last."""
SCHEMA: dict[str, Any] = {
    "type": "object",
    "required": ["screen", "fps", "camera_step", "layers"],
    "properties": {
        "screen": {"type": "array", "items": {"type": "integer"}},
        "fps": {"type": "number"},
        "camera_step": {"type": "number"},
        "layers": {
            "type": "array",
            "maxItems": MOST_LAYERS,
            "items": {
                "type": "object",
                "required": ["file", "name", "plane", "lines", "period", "ratio", "drift"],
                "properties": {
                    "file": {"type": "string"},
                    "name": {"type": "string"},
                    "plane": {"enum": ["back", "front", "sprites"]},
                    "lines": {"type": "array", "minItems": 2, "maxItems": 2, "items": LINE},
                    "period": {"type": "integer", "minimum": 1, "maximum": LARGEST},
                    "ratio": NUMBERS,
                    "drift": NUMBERS,
                },
            },
        },
    },
}
"""What the check relies on; a layer may say more."""


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where layers.json, the layers' pictures, the manifest and speeds.bin disagree."""
    table = read_table(export)
    yield from head_faults(table, backdrop)
    names = sorted(layer["name"] for layer in table["layers"])
    if names != sorted(layer["name"] for layer in export.table["layers"]):
        yield f"{PATH}: its layers are not those of backdrop.json"
        return
    for layer in table["layers"]:
        yield from layer_faults(layer, export, backdrop)


def read_table(export: Export) -> dict[str, Any]:
    """Return layers.json; raises BytesError where it is none."""
    try:
        table = json.loads(
            export.data[PATH].decode("utf-8"),
            object_pairs_hook=unique_keys,
            parse_constant=no_constant,
        )
    except (ValueError, RecursionError) as error:
        raise BytesError(f"{PATH}: is not JSON: {error}") from error
    wrong = find_faults(table, SCHEMA)
    if wrong:
        raise BytesError(f"{PATH}: {wrong[0]}")
    return dict(table)


def head_faults(table: dict[str, Any], backdrop: Backdrop) -> Iterator[str]:
    """Yield where the figures of the whole are not the machine's."""
    preview = backdrop.preview
    right = {
        "screen": list(backdrop.machine.screen),
        "fps": float(preview.fps),
        "camera_step": float(preview.camera_step),
    }
    waves = [
        {
            "plane": "back" if wave.plane else "front",
            "lines": [wave.top, wave.bottom],
            "frames": wave.frames,
            "step": wave.step,
            "offsets": [int(offset) for offset in wave.offsets],
        }
        for wave in backdrop.moves.waves
    ]
    if table.get("waves", []) != waves:
        yield f"{PATH}: waves: are not those of waves.bin"
    for key, value in right.items():
        if table[key] != value:
            yield f"{PATH}: {key}: {table[key]}; the export says {value}"


def layer_faults(layer: dict[str, Any], export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where one layer leaves the screen, moves at another speed or has a wrong picture."""
    top, bottom = layer["lines"]
    where, lines = f'{PATH}: layer "{layer["name"]}"', len(backdrop.moves.all_speeds.ratio)
    if not 0 <= top < bottom <= lines:
        yield f"{where}: lines {top} to {bottom}; allowed are 0 to {lines}"
        return
    if layer["plane"] != "sprites":
        plane = FRONT if layer["plane"] == "front" else BACK
        for key in ("ratio", "drift"):
            speeds: np.ndarray = getattr(backdrop.moves.all_speeds, key)
            if layer[key] != [speed / ONE for speed in speeds[top:bottom, plane].tolist()]:
                yield f"{where}: {key}: is not that of its lines in speeds.bin"
    path = f"engine/{layer['file']}"
    if path not in export.data:
        yield f"{where}: its picture {path} is missing"
        return
    try:
        list(read_animation(export.data[path], (layer["period"], bottom - top), 1))
    except NotAPictureError as error:
        yield f"{path}: {error}"
