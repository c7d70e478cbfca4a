"""First layer: the manifest, and the files that it lists against those that are there."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from genbg.check.json_schema import find_faults
from genbg.errors import BytesError
from genbg.write import manifest
from genbg.write.target import list_files
from genbg.write.unpacked import unpacked_sha256

MANIFEST_BYTES = 16 << 20
"""A manifest takes tens of kilobytes; past this size it is not read."""
ALL_BYTES = 1 << 30
"""An export takes some megabytes; past this size it is not read."""
MOST_FAULTS = 20
"""Faults of a manifest that are told one by one."""

NEEDED = (
    "still.png",
    "sheet.png",
    "player.html",
    "engine/layers.json",
    *(
        f"machine/{name}"
        for name in (
            "tiles.bin",
            "front.map",
            "back.map",
            "palette.bin",
            "speeds.bin",
            "preview/scroll.bin",
            "backdrop.s",
            "backdrop.c",
            "backdrop.h",
        )
    ),
)
"""What every export has; moving previews may be left out, the rest depends on the backdrop."""


@dataclass(frozen=True, eq=False)
class Export:
    """An export as it lies on the disk.

    table: the manifest, which keeps its schema; data: {path: bytes} of the files that are there
    """

    folder: Path
    table: dict[str, Any]
    data: dict[str, bytes]


def open_export(folder: Path) -> tuple[Export | None, list[str]]:
    """Return what a folder holds and what is wrong with it; no export where nothing can be said."""
    if not folder.is_dir():
        return None, [f"{folder}: is not a folder"]
    try:
        table, faults = read_manifest(folder)
        if table is None:
            return None, faults
        data, more = read_files(folder, table)
    except OSError as error:
        return None, [f"{error.filename or folder}: can't be read: {error.strerror}"]
    faults += more
    missing = [path for path in needed(table) if path not in data]
    return (None if missing else Export(folder, table, data)), faults


def needed(table: dict[str, Any]) -> list[str]:
    """Return the paths that an export with this manifest must have."""
    return [*NEEDED, *(f"machine/moods/{mood}.bin" for mood in table["moods"])]


def read_manifest(folder: Path) -> tuple[dict[str, Any] | None, list[str]]:
    """Return the manifest and what is wrong with it; None where it can't be relied on."""
    path, name = folder / manifest.NAME, manifest.NAME
    if path.is_symlink() or not path.is_file():
        return None, [f"{name}: is missing, so this is no export"]
    if path.stat().st_size > MANIFEST_BYTES:
        return None, [f"{name}: {path.stat().st_size} bytes are too many for a manifest"]
    data = path.read_bytes()
    try:
        table = json.loads(
            data.decode("utf-8"), object_pairs_hook=unique_keys, parse_constant=no_constant
        )
    except (ValueError, RecursionError) as error:
        return None, [f"{name}: is not JSON: {error}"]
    wrong = find_faults(table, manifest.schema())
    if wrong:
        rest = len(wrong) - MOST_FAULTS
        more = [f"{name}: and {rest} faults more"] if rest > 0 else []
        return None, [f"{name}: {text}" for text in wrong[:MOST_FAULTS]] + more
    return table, seal_faults(data, table["manifest_sha256"])


def seal_faults(data: bytes, digest: str) -> list[str]:
    """Return what is wrong with the hash that a manifest carries of itself."""
    try:
        plain = manifest.reseal(data, manifest.NO_SEAL)
    except BytesError as error:
        return [str(error)]
    if hashlib.sha256(plain).hexdigest() != digest:
        return [f"{manifest.NAME}: was changed since it was written: its own hash does not hold"]
    return []


def unique_keys(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object's pairs as a dict; a key that stands twice is an error."""
    table = dict(pairs)
    if len(table) != len(pairs):
        times = Counter(key for key, _ in pairs)
        twice = next(key for key in times if times[key] > 1)
        raise ValueError(f"the key {twice[:60]!r} stands twice")
    return table


def no_constant(name: str) -> None:
    """Refuse NaN and the infinities, which are not JSON."""
    raise ValueError(f"{name} is not a JSON number")


def read_files(folder: Path, table: dict[str, Any]) -> tuple[dict[str, bytes], list[str]]:
    """Return {path: bytes} of the listed files and what is wrong with the list or a file."""
    rows = table["files"]
    paths = [row["path"] for row in rows]
    count = Counter(paths)
    faults = [f"{path}: is listed twice" for path in count if count[path] > 1]
    faults += [
        f"{path}: is not listed in {manifest.NAME}" for path in needed(table) if path not in count
    ]
    faults += unlisted(folder, set(paths))
    if sum(row["bytes"] for row in rows) > ALL_BYTES:
        return {}, [*faults, f"{manifest.NAME}: lists more than {ALL_BYTES} bytes"]
    data: dict[str, bytes] = {}
    for row in rows:
        content, fault = read_file(folder, row)
        if content is not None:
            data[row["path"]] = content
        if fault:
            faults.append(f"{row['path']}: {fault}")
    return data, faults


def unlisted(folder: Path, paths: set[str]) -> list[str]:
    """Return a line for each file, link and folder that no path of the manifest accounts for."""
    folders = {f"{parent.as_posix()}/" for path in paths for parent in Path(path).parents}
    known = paths | folders | {manifest.NAME}
    return [
        f"{path}: is not part of the export" for path in list_files(folder) if path not in known
    ]


def read_file(folder: Path, row: dict[str, Any]) -> tuple[bytes | None, str]:
    """Return a listed file's bytes, None where they can't be trusted at all, and what is wrong."""
    path = folder / row["path"]
    inside = [part for part in path.parents if folder in part.parents]
    if any(part.is_symlink() for part in (path, *inside)):
        return None, "is a link or lies behind one"
    if not path.is_file():
        return None, "is missing"
    if path.stat().st_size != row["bytes"]:
        return None, f"has {path.stat().st_size} bytes; the manifest says {row['bytes']}"
    content = path.read_bytes()
    if hashlib.sha256(content).hexdigest() != row["sha256"]:
        return content, "was changed since it was written: its SHA-256 does not hold"
    return content, pixels_fault(content, row.get("pixels_sha256"))


def pixels_fault(content: bytes, digest: str | None) -> str:
    """Return what is wrong with the hash of pixels, which only PNGs have; "" for nothing."""
    try:
        found = unpacked_sha256(content)
    except BytesError as error:
        return str(error)
    return "" if found == digest else "its pixels_sha256 does not hold"
