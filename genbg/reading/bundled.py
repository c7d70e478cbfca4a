"""The presets that come with the program."""

from __future__ import annotations

import functools
import re
import tomllib
from pathlib import Path

import genbg

_NAME = re.compile(r"[a-z0-9][a-z0-9_-]*\Z")


@functools.cache
def bundled_folder() -> Path | None:
    """Folder of the bundled presets: in a checkout `presets/`, in an installed package its own."""
    package = Path(genbg.__file__).resolve().parent
    for folder in (package / "_presets", package.parent / "presets"):
        if folder.is_dir():
            return folder
    return None


def bundled_names() -> list[str]:
    """Names of the bundled presets, in order of the alphabet."""
    folder = bundled_folder()
    return sorted(path.stem for path in folder.glob("*.toml")) if folder else []


def find_bundled(name: str) -> Path | None:
    """File of a bundled preset, or None if there is none of that name."""
    folder = bundled_folder()
    if folder is None or not _NAME.match(name):
        return None
    path = folder / f"{name}.toml"
    return path if path.is_file() else None


def list_bundled() -> list[tuple[str, str]]:
    """Name and title of each bundled preset. A file without a title shows its name."""
    listed = []
    for name in bundled_names():
        path = find_bundled(name)
        if path is not None:
            title = tomllib.loads(path.read_text("utf-8")).get("title", name)
            listed.append((name, str(title)))
    return listed
