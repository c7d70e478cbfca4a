"""Layered level backdrops for 16-bit tile consoles, painted and fitted from one preset file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from genbg.errors import BytesError, FolderError, GenbgError, LimitError, PresetError
    from genbg.model import Backdrop
    from genbg.pipeline import build
    from genbg.reading import load_preset

__all__ = [
    "Backdrop",
    "BytesError",
    "FolderError",
    "GenbgError",
    "LimitError",
    "PresetError",
    "build",
    "load_preset",
]

_HOMES = {
    "Backdrop": "model",
    "build": "pipeline",
    "load_preset": "reading",
    **{name: "errors" for name in __all__ if name.endswith("Error")},
}


def __getattr__(name: str) -> Any:
    """Load a public name when it is first asked for, so that `import genbg` stays quick."""
    if name not in _HOMES:
        raise AttributeError(f"module 'genbg' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module(f"genbg.{_HOMES[name]}"), name)
