"""The table of painters: name in a preset -> module in painters/.

Modules are imported when a preset asks for them.
"""

from __future__ import annotations

import functools
import importlib
from typing import Any

from genbg.paint.contract import Painter

PAINTERS: dict[str, str] = {
    "sky": "sky",
    "clouds": "clouds",
    "heaps": "heaps",
    "ridge": "ridge",
    "crags": "crags",
    "waterfront": "waterfront",
    "floes": "floes",
    "cloudsea": "cloudsea",
    "isles": "isles",
    "boats": "boats",
    "swell": "swell",
    "water": "water",
    "lanterns": "lanterns",
    "bridge": "bridge",
    "foliage": "foliage",
    "grotto": "grotto",
    "canyon": "canyon",
    "peaks": "peaks",
    "refuge": "refuge",
    "drifts": "drifts",
    "picture": "picture",
    "cliffs": "cliffs",
    "calm": "calm",
    "glade": "glade",
    "pool": "pool",
    "wood": "wood",
    "bank": "bank",
    "meadow": "meadow",
    "tea": "tea",
    "shore": "shore",
    "canal": "canal",
    "landing": "landing",
    "marsh": "marsh",
    "arcade": "arcade",
    "falls": "falls",
    "floats": "floats",
    "mere": "mere",
    "eaves": "eaves",
}


@functools.cache
def painter(name: str) -> Painter[Any]:
    """Return the painter that a preset calls `name`. Raises KeyError for an unknown name."""
    module = importlib.import_module(f"genbg.paint.painters.{PAINTERS[name]}")
    found: Painter[Any] = module.PAINTER
    return found
