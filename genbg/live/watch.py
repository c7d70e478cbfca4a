"""Which of the files that a preset depends on were saved: the preset and the pictures it names.

Folders are watched rather than files, because editors save by putting another file in the old one's
place.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Callable, Iterable
from pathlib import Path

from genbg.keys import keys_of
from genbg.paint.table import painter
from genbg.preset import Preset

GROUP_MS = 60
"""Changes that come so close together are told as one."""
GONE_S = 0.5
"""How often a folder that is gone is looked for."""
QUIET_MS = 8
"""Quiet after which a group is told."""


def files_of(preset: Preset) -> frozenset[Path]:
    """Return the files that a backdrop is made from, as absolute paths."""
    found = set() if preset.path is None else {preset.path.absolute()}
    for layer in preset.layers:
        for name, described in keys_of(painter(layer.paint).params).items():
            if described.kind == "path":
                found.add((preset.folder / getattr(layer.params, name)).absolute())
    return frozenset(found)


async def saved(
    wanted: Callable[[], frozenset[Path]], stop: asyncio.Event
) -> AsyncIterator[frozenset[Path]]:
    """Yield the wanted files that were just saved, until `stop`.

    wanted: asked anew whenever something was told, as a preset may come to name other files
    """
    from watchfiles import awatch

    while not stop.is_set():
        folders = {path.parent for path in wanted()}
        with contextlib.suppress(OSError):
            async for changes in awatch(
                *(folder for folder in folders if folder.is_dir()),
                stop_event=stop,
                debounce=GROUP_MS,
                step=QUIET_MS,
                recursive=False,
            ):
                hit = frozenset(Path(path) for _, path in changes) & wanted()
                if hit:
                    yield hit
                if {path.parent for path in wanted()} != folders or not all_there(folders):
                    break
        if not all_there(folders):  # moved away; it may come back
            await asyncio.sleep(GONE_S)


def all_there(folders: Iterable[Path]) -> bool:
    """Return whether all folders exist."""
    return all(folder.is_dir() for folder in folders)
