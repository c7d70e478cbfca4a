"""What a batch has finished, kept so that a stopped run goes on where it was.

Each finished variant is one line of `variants.part.jsonl`, written and handed to the disk when its
folder is in place. At the end the lines, in the order of the plan, become `variants.jsonl`, and the
part file goes. A line counts only if its last character is a line feed and its variant is really
there: the manifest has the line's hash, and every file that it lists has its size.

In memory stand 16 bytes a finished variant: half of its key and where its line begins.
"""

from __future__ import annotations

import hashlib
import json
import os
from array import array
from collections.abc import Iterable, Iterator
from pathlib import Path
from types import TracebackType
from typing import Any, BinaryIO

from genbg.errors import FolderError

DONE = "variants.jsonl"
PART = "variants.part.jsonl"
STILLS = "stills"
KEYS = {"name", "made_from", "sha256"}


class Journal:
    """The finished variants of one folder; a context that closes its files."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.part = folder / PART
        self._places: dict[int, int] = {}
        self._reading: list[BinaryIO] = []
        self._writing: BinaryIO | None = None

    def __enter__(self) -> Journal:
        fold_done_into_part(self.folder)
        _end_with_whole_line(self.part)
        self._writing = open(self.part, "ab")
        self._reading.append(open(self.part, "rb"))
        for place, line in _lines(self._reading[0]):
            row = parse_row(line)
            if row is not None and "error" not in row:
                self._places[int(row["made_from"][:15], 16)] = place
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        for file in (*self._reading, self._writing):
            if file is not None:
                file.close()

    def finished(self, key: str) -> dict[str, Any] | None:
        """The row of a finished variant that is whole on the disk, or None."""
        row = self.row(key)
        return row if row is not None and is_whole(self.folder, row) else None

    def row(self, key: str) -> dict[str, Any] | None:
        """The last row written for a key, or None."""
        place = self._places.get(int(key[:15], 16))
        if place is None:
            return None
        file = self._reading[0]
        file.seek(place)
        row = parse_row(file.readline())
        return row if row is not None and row["made_from"] == key else None

    def add(self, row: dict[str, Any]) -> None:
        """Write a finished variant's row and hand it to the disk."""
        assert self._writing is not None
        self._writing.seek(0, os.SEEK_END)
        place = self._writing.tell()
        try:
            self._writing.write(row_bytes(row))
            self._writing.flush()
        except OSError as error:
            raise FolderError(f"{self.part}: can't be written: {error.strerror}") from error
        if "error" not in row:
            self._places[int(row["made_from"][:15], 16)] = place

    def close_with(self, rows: Iterable[dict[str, Any]]) -> None:
        """Write `variants.jsonl` whole from rows in their order, and remove the part file."""
        write_whole(self.folder / DONE, (row_bytes(row) for row in rows))
        for file in (*self._reading, self._writing):
            if file is not None:
                file.close()
        self._reading, self._writing = [], None
        self.part.unlink(missing_ok=True)


def fold_done_into_part(folder: Path) -> None:
    """Let a run that begins after a whole one find that one's variants in the part file."""
    done, part = folder / DONE, folder / PART
    if done.is_file() and not part.exists():
        with open(done, "rb") as file:
            write_whole(part, file)


def row_bytes(row: dict[str, Any]) -> bytes:
    return json.dumps(row, ensure_ascii=False).encode("utf-8") + b"\n"


def parse_row(line: bytes) -> dict[str, Any] | None:
    """A row, or None for what is none (a line cut short by a killed run, a stranger's)."""
    try:
        row = json.loads(line) if line.endswith(b"\n") else None
    except ValueError:
        return None
    if not isinstance(row, dict) or not set(row) >= KEYS:
        return None
    texts = all(isinstance(row[key], str) for key in KEYS)
    hexes = (
        texts
        and len(row["made_from"]) == 32
        and not set(row["made_from"]) - set("0123456789abcdef")
    )
    plain = texts and "/" not in row["name"] and row["name"] not in ("", ".", "..")
    return row if hexes and plain else None


def _lines(file: BinaryIO) -> Iterator[tuple[int, bytes]]:
    place = 0
    for line in file:
        yield place, line
        place += len(line)


def _end_with_whole_line(path: Path) -> None:
    """Cut off a last line that a killed run left without its end."""
    if not path.exists():
        return
    with open(path, "rb+") as file:
        size = file.seek(0, os.SEEK_END)
        reach = min(size, 1 << 20)
        file.seek(size - reach)
        tail = file.read(reach)
        if tail and not tail.endswith(b"\n"):
            file.truncate(size - reach + tail.rfind(b"\n") + 1)


def is_whole(folder: Path, row: dict[str, Any]) -> bool:
    """Whether a row's variant is on the disk as it was finished."""
    try:
        if row.get("folder") is None:
            still = (folder / STILLS / f"{row['name']}.png").read_bytes()
            return hashlib.sha256(still).hexdigest() == row["sha256"]
        place = folder / row["name"]
        manifest = (place / "backdrop.json").read_bytes()
        if hashlib.sha256(manifest).hexdigest() != row["sha256"]:
            return False
        files = json.loads(manifest)["files"]
        return all((place / one["path"]).stat().st_size == one["bytes"] for one in files)
    except (OSError, ValueError, KeyError, TypeError):
        return False


def write_whole(path: Path, parts: Iterable[bytes]) -> None:
    """Write a file whole or not at all: beside its place, then renamed."""
    draft = path.with_name(f".{path.name}.genbg-draft")
    try:
        with open(draft, "wb") as file:
            for part in parts:
                file.write(part)
            file.flush()
            os.fsync(file.fileno())
        os.replace(draft, path)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise FolderError(f"{path}: can't be written: {error.strerror}") from error
    except BaseException:
        draft.unlink(missing_ok=True)
        raise


def offsets_of(path: Path) -> array[int]:
    """Where each line of a file begins, 8 bytes a line."""
    with open(path, "rb") as file:
        return array("q", (place for place, _ in _lines(file)))


def rows_at(path: Path, places: Iterable[int]) -> Iterator[dict[str, Any]]:
    """The rows that begin at the given places of a file."""
    with open(path, "rb") as file:
        for place in places:
            file.seek(place)
            yield json.loads(file.readline())


def iter_rows(path: Path) -> Iterator[dict[str, Any]]:
    """All rows of a file, one by one."""
    with open(path, "rb") as file:
        for line in file:
            yield json.loads(line)
