"""A hidden folder beside DIR that an export is written to before it takes DIR's place."""

from __future__ import annotations

import contextlib
import ctypes
import errno
import math
import os
import re
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from genbg.errors import FolderError
from genbg.write.target import check_content, check_target

try:
    import fcntl
except ImportError:  # not on every system; there, drafts of killed runs stay until removed by hand
    fcntl = None  # type: ignore[assignment]

AT_FDCWD = -100
RENAME_EXCHANGE = 2
"""Arguments of renameat2; Linux manual page rename(2)."""

FLUSHES_AT_ONCE = 16
"""Threads that wait for the disk: an export of 40 files took 12 ms so, 30 to 140 ms one by one."""

MOST_WAITING_KB = 65536
"""Up to which amount of waiting data the whole file system is flushed at once: 4 ms for an export
where file by file took 24 to 85 ms. With more, an export would wait for what others write."""


class Draft:
    """A folder that is being written; as a context it is removed unless it was put in place.

    target: absolute path of the folder that it is to become
    """

    def __init__(self, target: Path):
        self.target = target
        digits = os.urandom(8).hex()
        self.path = target.parent / f".{target.name}.genbg-{digits}"
        self.aside = target.parent / f".{target.name}.genbg-old-{digits}"
        self._made: list[Path] = []
        self._folders: set[Path] = set()
        self._lock = -1

    def __enter__(self) -> Draft:
        try:
            check_target(self.target, hashes=True)
            self._make_parents()
            restore_aside(self.target)
            remove_leftovers(self.target)
            os.mkdir(self.path)
            self._lock = lock_folder(self.path)
        except OSError as error:
            self._remove()
            raise self._fault(error) from error
        except BaseException:
            self._remove()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._lock >= 0:
            os.close(self._lock)
        if kind is not None:
            self._remove()

    def write(self, path: str, data: bytes) -> None:
        """Write one file and hand it to the disk. Raises FolderError where that fails."""
        place = self.path / path
        try:
            if place.parent not in self._folders:
                place.parent.mkdir(parents=True, exist_ok=True)
                self._folders.add(place.parent)
            with open(place, "xb") as file:
                file.write(data)
        except OSError as error:
            raise self._fault(error) from error

    def put_in_place(self) -> None:
        """Let the draft take the target's place, and remove what was there.

        Raises FolderError, with the target as it was, where something that genbg did not write
        has come to lie in it, or where the system refuses.
        """
        try:
            flush(self.path)
            if check_target(self.target):
                self._replace()
            else:
                os.rename(self.path, self.target)
            flush_folder(self.target.parent)
        except OSError as error:
            raise self._fault(error) from error

    def _replace(self) -> None:
        """Exchange draft and target; where the system can't, rename twice."""
        if exchange(self.path, self.target):
            try:
                check_content(self.path, hashes=False)
            except FolderError:
                exchange(self.path, self.target)
                raise
            remove_folder(self.path)
            return
        os.rename(self.target, self.aside)
        try:
            os.rename(self.path, self.target)
        except OSError:
            os.rename(self.aside, self.target)
            raise
        # under the draft's name again, so that what is called "old" is always whole
        os.rename(self.aside, self.path)
        remove_folder(self.path)

    def _make_parents(self) -> None:
        """Create the missing folders above the target, and note them."""
        missing = [self.target.parent, *self.target.parent.parents]
        for parent in reversed([folder for folder in missing if not folder.exists()]):
            os.mkdir(parent)
            self._made.append(parent)

    def _remove(self) -> None:
        """Remove the draft and those parents that were made for it."""
        remove_folder(self.path)
        for parent in reversed(self._made):
            with contextlib.suppress(OSError):
                os.rmdir(parent)

    def _fault(self, error: OSError) -> FolderError:
        """Return what a failed step means to the user."""
        reasons = {
            errno.ENOSPC: "the disk is full; make room or choose another --out",
            getattr(errno, "EDQUOT", -1): "the disk quota is used up; choose another --out",
            errno.EROFS: "the file system is read-only; choose another --out",
            errno.EACCES: "no permission to write there; choose another --out",
            errno.EPERM: "not allowed to write there; choose another --out",
            errno.ENOTDIR: "a part of the path is a file; choose another --out",
            errno.ENAMETOOLONG: "the name is too long; choose a shorter --out",
            errno.EXDEV: "the old export can't be moved (is it part of a container's image?); "
            "remove it or choose another --out",
            errno.EBUSY: "the folder is in use (a mount point?); choose another --out",
        }
        reason = reasons.get(error.errno or 0, error.strerror or str(error))
        return FolderError(f"{self.target}: can't be written: {reason}; nothing was changed")


def system_call(name: str) -> Callable[..., int] | None:
    """Return a function of the C library; None where this system's has it not."""
    try:
        found: Callable[..., int] = getattr(ctypes.CDLL(None, use_errno=True), name)
    except (AttributeError, OSError, TypeError):
        return None
    return found


def exchange(one: Path, other: Path) -> bool:
    """Exchange two names in one step; False where the system or the file system can't."""
    rename = system_call("renameat2")
    if rename is None:
        return False
    names = os.fsencode(one), os.fsencode(other)
    if rename(AT_FDCWD, names[0], AT_FDCWD, names[1], RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in (errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP):
        return False
    raise OSError(number, os.strerror(number), str(other))


def leftovers(target: Path, kind: str = "") -> list[Path]:
    """Return the drafts of earlier runs beside a target, sorted; "old-": what they put aside."""
    name = re.compile(rf"\.{re.escape(target.name)}\.genbg-{kind}[0-9a-f]{{16}}")
    return sorted(path for path in target.parent.iterdir() if name.fullmatch(path.name))


def remove_leftovers(target: Path) -> None:
    """Remove what killed runs left beside a target: drafts that no running process holds."""
    for path in leftovers(target):
        lock = lock_folder(path)
        if lock >= 0:
            remove_folder(path)
            os.close(lock)


def restore_aside(target: Path) -> None:
    """Put back the export that a run killed between two renames had put aside."""
    for path in leftovers(target, "old-"):
        if target.exists():
            remove_folder(path)
        else:
            os.rename(path, target)


def lock_folder(path: Path) -> int:
    """Return a descriptor that locks a folder until it is closed; -1 where another holds it."""
    if fcntl is None:
        return -1
    try:
        number = os.open(path, os.O_RDONLY)
    except OSError:
        return -1
    try:
        fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(number)
        return -1
    return number


def remove_folder(path: Path) -> None:
    """Remove a folder and all in it, as far as the system lets it be removed."""
    import shutil  # loads every kind of archive: not for an export that replaces none

    shutil.rmtree(path, ignore_errors=True)


def flush(folder: Path) -> None:
    """Hand all files and folders of a tree to the disk, so that a power cut can't undo them.

    In one step for the whole file system where the system can and little else waits to be written;
    else file by file, many at once, because the disk takes waiting files together.
    """
    if waiting_kb() <= MOST_WAITING_KB and flush_system(folder):
        return
    from concurrent.futures import ThreadPoolExecutor  # slow to load, and seldom needed

    tree = [(Path(parent), names) for parent, _, names in os.walk(folder)]
    with ThreadPoolExecutor(FLUSHES_AT_ONCE) as pool:
        list(pool.map(flush_file, [parent / name for parent, names in tree for name in names]))
    for parent, _ in tree:
        flush_folder(parent)


def waiting_kb() -> float:
    """Return how many kB of all programs wait to be written; infinite where nobody tells."""
    try:
        text = Path("/proc/meminfo").read_text("ascii")
    except (OSError, ValueError):
        return math.inf
    found = re.findall(r"^(?:Dirty|Writeback): *([0-9]+) kB$", text, re.M)
    return sum(map(int, found)) if found else math.inf


def flush_system(folder: Path) -> bool:
    """Hand all that waits for a folder's file system to the disk; False where that can't be done.

    Raises OSError where the disk fails.
    """
    call = system_call("syncfs")
    if call is None:
        return False
    number = os.open(folder, os.O_RDONLY)
    try:
        if call(number) == 0:
            return True
        error = ctypes.get_errno()
    finally:
        os.close(number)
    if error == errno.ENOSYS:
        return False
    raise OSError(error, os.strerror(error), str(folder))


def flush_file(path: Path) -> None:
    """Hand a file's bytes to the disk."""
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)


def flush_folder(folder: Path) -> None:
    """Hand a folder's list of names to the disk, where the system lets a folder be opened."""
    try:
        number = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(number)
    finally:
        os.close(number)
