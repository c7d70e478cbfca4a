"""The pictures that presets use: which they are, what they hold, and each of them only once."""

from __future__ import annotations

import hashlib
from pathlib import Path

from genbg.batch.plan import Variant

FILE_KEYS = ("file", "retouch")
"""Keys of a layer that name a picture beside the preset."""

MISSING = "missing"
"""Stands for the digest of a picture that is not there."""


def art_names(variant: Variant) -> list[str]:
    """Return the pictures that a variant's layers name, sorted, those of varied keys too."""
    found = set()
    for layer in variant.source.preset.layers:
        for place in (layer, layer.params):
            found |= {getattr(place, key, None) for key in FILE_KEYS}
    for key, value in variant.values.items():
        if key.rsplit(".", 1)[-1] in FILE_KEYS:
            found.add(value)
    return sorted(name for name in found if isinstance(name, str) and name)


class Art:
    """Pictures of variants, read once for each folder.

    bytes: {digest: a picture}, only where they are to be sent away
    """

    def __init__(self, keep: bool = False):
        self.keep = keep
        self.bytes: dict[str, bytes] = {}
        self._known: dict[tuple[Path, str], str] = {}

    def of(self, variant: Variant) -> dict[str, str]:
        """Return {name in the preset: digest} of a variant's pictures."""
        folder = variant.source.preset.folder.resolve()
        return {name: self._digest(folder, name) for name in art_names(variant)}

    def _digest(self, folder: Path, name: str) -> str:
        if (folder, name) not in self._known:
            self._known[folder, name] = self._read(folder, name)
        return self._known[folder, name]

    def _read(self, folder: Path, name: str) -> str:
        """Read a picture; one outside the folder counts as missing, as no preset may use it."""
        path = folder / name
        try:
            inside = path.resolve().is_relative_to(folder) and path.is_file()
            data = path.read_bytes() if inside else None
        except (OSError, ValueError):
            data = None
        if data is None:
            return MISSING
        digest = hashlib.sha256(data).hexdigest()
        if self.keep:
            self.bytes[digest] = data
        return digest
