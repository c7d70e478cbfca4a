"""Changes an export so that only its meaning is wrong: sizes, hashes and the seal are made right.

A plain change is caught by its hash. To see that the deeper checks can fail, these go past it.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from genbg.errors import BytesError
from genbg.write.unpacked import unpacked_sha256


def read_table(folder: Path) -> dict[str, Any]:
    return json.loads((folder / "backdrop.json").read_bytes())


def write_table(folder: Path, table: Any) -> None:
    """Write a manifest as genbg lays it out, with the right hash of itself."""
    if isinstance(table, dict):
        table = {**table, "manifest_sha256": "0" * 64}
    text = json.dumps(table, indent=2) + "\n"
    digest = hashlib.sha256(text.encode()).hexdigest()
    head, seal, tail = text.rpartition("0" * 64)
    (folder / "backdrop.json").write_text(head + digest + tail if seal else text)


def forge_table(folder: Path, change: Callable[[dict[str, Any]], Any]) -> None:
    """Let a function change the manifest in place."""
    table = read_table(folder)
    change(table)
    write_table(folder, table)


def forge_file(folder: Path, path: str, data: bytes) -> None:
    """Replace a file and say so in the manifest."""
    (folder / path).parent.mkdir(parents=True, exist_ok=True)
    (folder / path).write_bytes(data)
    table = read_table(folder)
    table["files"] = [row for row in table["files"] if row["path"] != path]
    digest = hashlib.sha256(data).hexdigest()
    row = {"path": path, "bytes": len(data), "sha256": digest}
    with contextlib.suppress(BytesError):  # of a damaged picture there is none
        pixels = unpacked_sha256(data)
        row |= {} if pixels is None else {"pixels_sha256": pixels}
    table["files"].append(row)
    write_table(folder, table)


def forge_byte(folder: Path, path: str, at: int, flip: int = 1) -> None:
    """Flip bits of one byte of a file and say so in the manifest."""
    data = bytearray((folder / path).read_bytes())
    data[at] ^= flip
    forge_file(folder, path, bytes(data))


def drop_file(folder: Path, path: str) -> None:
    """Remove a file and its row of the manifest."""
    (folder / path).unlink()
    forge_table(
        folder,
        lambda table: table.update(files=[r for r in table["files"] if r["path"] != path]),
    )
