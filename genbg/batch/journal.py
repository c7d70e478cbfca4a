"""What a batch has finished, kept so that a stopped run goes on where it was.

Each finished variant is one line of `variants.part.jsonl`, written and handed to the disk when its
folder is in place. At the end the lines become `variants.jsonl`, and the part file goes. A line
counts only if it is a row and its variant is really there: the manifest has the line's hash, and
every file that it lists has the hash told there. No link is followed.

In memory stand some 100 bytes a line: half of a hash of its name, and where it begins.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import stat
from array import array
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, BinaryIO

from genbg.batch.rows import parse_row, row_bytes
from genbg.errors import FolderError

DONE = "variants.jsonl"
PART = "variants.part.jsonl"
STILLS = "stills"
NO_LINK = getattr(os, "O_NOFOLLOW", 0)


class Journal:
    """The lines of one folder; a context that closes its files.

    done: how many of the first lines an earlier batch ended with; bad: lines that are none
    """

    def __init__(self, folder: Path):
        self.folder = folder
        self.part = folder / PART
        self.done = self.bad = 0
        self._folded = False
        self._places: dict[int, int] = {}
        self._no_room: list[dict[str, Any]] = []
        self._reading: BinaryIO | None = None
        self._writing: BinaryIO | None = None

    def __enter__(self) -> Journal:
        self._folded = fold_done_into_part(self.folder)
        done = _count_rows(self.folder / DONE)
        self._writing = _open(self.part, os.O_RDWR | os.O_APPEND | os.O_CREAT)
        self._reading = _open(self.part, os.O_RDONLY)
        place = 0
        for number, line in enumerate(self._reading):
            row = parse_row(line)
            if row is None:
                self.bad += 1
            else:
                self._places[_short(row["name"])] = place
            place += len(line)
            if number + 1 == done:
                self.done = len(self._places)
        if place and not line.endswith(b"\n"):
            self._writing.truncate(place - len(line))
        return self

    def __exit__(self, *fault: object) -> None:
        for file in (self._reading, self._writing):
            if file is not None:
                file.close()
        self._reading = self._writing = None
        if self._folded:  # all that the part file says stands in the other
            self.part.unlink(missing_ok=True)

    def row(self, name: str) -> dict[str, Any] | None:
        """The last row written for a variant's name, or None."""
        place = self._places.get(_short(name))
        row = None if place is None else self._row_at(place)
        return row if row is not None and row["name"] == name else None

    def others(self, names: Iterable[str]) -> Iterator[dict[str, Any]]:
        """Yield the rows of all other names, in the order in which they were first written."""
        left = dict(self._places)
        for name in names:
            left.pop(_short(name), None)
        yield from self._rows(left.values())

    def in_order(self, names: Iterable[str]) -> Iterator[dict[str, Any]]:
        """Yield every row as it is now: those that an earlier batch ended with in its order, then
        others as they were written; but the rows of `names` among themselves as these come, after
        all others where the earlier batch had none of them."""
        first = list(self._places)[: self.done]
        planned = [short for name in names if (short := _short(name)) in self._places]
        others = dict.fromkeys(self._places)
        for short in planned:
            others.pop(short, None)
        slots = sum(short not in others for short in first)
        order: list[int] = []
        left = iter(planned)
        for short in first:
            if short in others:
                order.append(short)
                del others[short]
                continue
            order.append(next(left))
            slots -= 1
            order += left if slots == 0 else ()
        yield from self._rows(self._places[short] for short in (*order, *others, *left))

    def __len__(self) -> int:
        return len(self._places)

    def drop(self, names: Iterable[str]) -> None:
        """Forget names' rows; all others keep their places in the order."""
        gone = {_short(name) for name in names}
        self.done -= sum(short in gone for short in list(self._places)[: self.done])
        for short in gone:
            self._places.pop(short, None)

    def add(self, row: dict[str, Any]) -> None:
        """Write a row and hand it to the system.

        Raises FolderError where that fails; the row waits for `add_what_had_no_room` then.
        """
        assert self._writing is not None
        place = self._writing.seek(0, os.SEEK_END)
        self._folded = False
        try:
            line = row_bytes(row)
            if self._writing.write(line) != len(line):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        except OSError as error:
            with contextlib.suppress(OSError):
                self._writing.truncate(place)
            self._no_room.append(row)
            raise FolderError(f"{self.part}: can't be written: {error.strerror}") from error
        self._places[_short(row["name"])] = place

    def add_what_had_no_room(self) -> None:
        """Try once more to write the rows that could not be written."""
        waiting, self._no_room = self._no_room, []
        with contextlib.suppress(FolderError):
            for row in waiting:
                self.add(row)

    def close_with(self, rows: Iterable[dict[str, Any]]) -> None:
        """Write `variants.jsonl` whole from rows in their order, and remove the part file."""
        write_whole(self.folder / DONE, (row_bytes(row) for row in rows))
        self.__exit__(None, None, None)
        self.part.unlink(missing_ok=True)

    def _rows(self, places: Iterable[int]) -> Iterator[dict[str, Any]]:
        for place in places:
            row = self._row_at(place)
            if row is not None:
                yield row

    def _row_at(self, place: int) -> dict[str, Any] | None:
        assert self._reading is not None
        self._reading.seek(place)
        return parse_row(self._reading.readline())


def _short(name: str) -> int:
    """60 bits that stand for a name; of a million names, two meet in one of two million batches."""
    return int(hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:15], 16)


def _open(path: Path, flags: int) -> BinaryIO:
    """Open a file of the folder that is no link. Raises FolderError."""
    try:
        number = os.open(path, flags | NO_LINK, 0o666)
    except OSError as error:
        why = "is a link" if error.errno == errno.ELOOP else error.strerror
        raise FolderError(f"{path}: {why}; move it away or choose another --out") from error
    if flags & os.O_RDWR:  # without a buffer: what has no room does not wait to be written later
        return os.fdopen(number, "r+b", buffering=0)
    return os.fdopen(number, "rb")


def fold_done_into_part(folder: Path) -> bool:
    """Let a run that begins after a whole one find that one's variants in the part file.

    Returns whether that made the part file.
    """
    done, part = folder / DONE, folder / PART
    if os.path.lexists(done) and not os.path.lexists(part):
        with _open(done, os.O_RDONLY) as file:
            write_whole(part, file)
        return True
    return False


def _count_rows(done: Path) -> int:
    """How many lines of the part file an earlier batch ended with: as many as it left."""
    if not os.path.lexists(done):
        return 0
    with _open(done, os.O_RDONLY) as file:
        return sum(1 for _ in file)


def is_whole(folder: Path, row: dict[str, Any]) -> bool:
    """Whether a row's variant is on the disk as it was finished, every byte of it."""
    try:
        if row["folder"] is None:
            return digest_of(folder / STILLS, f"{row['name']}.png") == row["sha256"]
        place = folder / row["name"]
        manifest = read_plain(place, "backdrop.json")
        if hashlib.sha256(manifest).hexdigest() != row["sha256"]:
            return False
        files = json.loads(manifest)["files"]
        return all(digest_of(place, one["path"]) == one["sha256"] for one in files)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return False


def digest_of(folder: Path, path: str) -> str:
    """SHA-256 of a file below a folder."""
    return hashlib.sha256(read_plain(folder, path)).hexdigest()


def read_plain(folder: Path, path: str) -> bytes:
    """Read a file below a folder, none of whose parts, from the folder on, is a link.

    Raises OSError where it is missing, a link, or no file.
    """
    for parent in (folder, *((folder / path).parents[: path.count("/")])):
        if not stat.S_ISDIR(os.lstat(parent).st_mode):
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(parent))
    number = os.open(folder / path, os.O_RDONLY | NO_LINK | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(number, "rb") as file:
        if not stat.S_ISREG(os.fstat(number).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), str(folder / path))
        return file.read()


def write_whole(path: Path, parts: Iterable[bytes]) -> None:
    """Write a file whole or not at all: beside its place, then renamed. A link is replaced."""
    draft = path.with_name(f".{path.name}.genbg-draft")
    try:
        draft.unlink(missing_ok=True)
        with open(draft, "xb") as file:
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
    places, place = array("q"), 0
    with open(path, "rb") as file:
        for line in file:
            places.append(place)
            place += len(line)
    return places


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
