"""What a user asks for: a TOML file, checked once and completely, as frozen dataclasses.

tables.py    every key, with default, limits and meaning; machine.py and effects.py hold some
read.py      file or bundled name -> text -> Preset
settings.py  --set KEY=VALUE
check.py     plain data -> dataclasses, with every fault
places.py    line and column of every key and value
bundled.py   the presets that come with the program
"""

from __future__ import annotations

from genbg.preset.bundled import bundled_names, list_bundled
from genbg.preset.locate import located
from genbg.preset.machine import MachineKeys
from genbg.preset.read import load_preset, parse_preset
from genbg.preset.tables import (
    CameraKeys,
    Layer,
    Mood,
    Preset,
    PreviewKeys,
    SceneKeys,
)

__all__ = [
    "CameraKeys",
    "Layer",
    "MachineKeys",
    "Mood",
    "Preset",
    "PreviewKeys",
    "SceneKeys",
    "bundled_names",
    "list_bundled",
    "load_preset",
    "located",
    "parse_preset",
]
