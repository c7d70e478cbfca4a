"""The records of a preset: what a user asks for, checked, and nothing of how it was written.

tables.py    every key, with default, limits and meaning; machine.py and effects.py hold some
"""

from __future__ import annotations

from genbg.preset.machine import MachineKeys
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
]
