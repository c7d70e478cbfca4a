"""The player page: its program, and the bytes that it draws from, against the files beside it."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Iterator
from typing import Any

import numpy as np

from genbg import __version__
from genbg.check.listing import Export
from genbg.hardware.sizes import PLANE_NAMES
from genbg.model import Backdrop
from genbg.write import merging, player

PATH = player.NAME
MOST_TOLD, NAME_SHOWN = 20, 80
"""Strange files that are told one by one, and the characters of a name that are shown."""
VIEWS = {"owners": player.NO_LAYER, "changes": merging.CHANGE_LEVELS}
"""What helps to look, and the greatest byte that each may hold."""


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where the page carries other bytes than machine/, or is not the page of its version."""
    page = export.data[PATH]
    data = player.read_page(page)
    if data is None or set(data) != {"about", "bytes", "views"}:
        yield f"{PATH}: holds no data of a backdrop"
        return
    yield from byte_faults(export, data["bytes"])
    known = {key: value for key, value in export.table.items() if key not in player.LEFT_OUT}
    if data["about"] != known:
        yield f"{PATH}: about: is not what backdrop.json says"
    yield from view_faults(data["views"], backdrop)
    if export.table["version"] == __version__ and not is_own_page(page, data):
        yield f"{PATH}: its program is not the one that genbg {__version__} writes"


def is_own_page(page: bytes, data: dict[str, Any]) -> bool:
    """Return whether a page is, byte for byte, what this version makes of its data."""
    try:
        return page == player.page_bytes(data)
    except (KeyError, TypeError, ValueError):
        return False


def byte_faults(export: Export, carried: Any) -> Iterator[str]:
    """Yield files that the page carries wrongly, or not, or that are not there."""
    machine = {path for path in export.data if path.startswith("machine/")}
    expected = {path for path in machine if player.is_carried(path)}
    found = carried if isinstance(carried, dict) else {}
    for path in sorted(expected - found.keys()):
        yield f"{PATH}: does not carry {path}"
    strange = sorted(found.keys() - expected)
    for path in strange[:MOST_TOLD]:
        yield f"{PATH}: carries {path[:NAME_SHOWN]}, which is not a file it draws from"
    if len(strange) > MOST_TOLD:
        yield f"{PATH}: and carries {len(strange) - MOST_TOLD} more"
    for path in sorted(expected & found.keys()):
        if decoded(found[path]) != export.data[path]:
            yield f"{PATH}: does not carry the bytes of {path}"


def decoded(text: Any) -> bytes | None:
    """Return the bytes of a base64 text; None where it is none."""
    try:
        return base64.b64decode(text, validate=True) if isinstance(text, str) else None
    except (binascii.Error, ValueError):
        return None


def view_faults(views: Any, backdrop: Backdrop) -> Iterator[str]:
    """Yield what helps to look and does not cover both planes, or holds too great a byte."""
    width, height = backdrop.machine.plane_px
    found = views if isinstance(views, dict) else {}
    for name, most in VIEWS.items():
        planes = found.get(name)
        texts = planes if isinstance(planes, list) and len(planes) == 2 else ["", ""]
        for plane, text in zip(PLANE_NAMES, texts, strict=True):
            runs = np.frombuffer(decoded(text) or b"", dtype=np.uint8)
            lengths = runs[1::2].astype(np.int64) + 1
            if len(runs) % 2 or lengths.sum() != width * height:
                yield f"{PATH}: {name}: does not cover the {plane} plane"
            elif (runs[::2] > most).any():
                yield f"{PATH}: {name}: the {plane} plane holds more than {most}"
