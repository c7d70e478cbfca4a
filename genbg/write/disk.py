"""Steps of the file system that Python does not have, and data handed to the disk."""

from __future__ import annotations

import ctypes
import errno
import math
import os
import re
from collections.abc import Callable
from pathlib import Path

AT_FDCWD = -100
RENAME_EXCHANGE = 2
"""Arguments of renameat2; Linux manual page rename(2)."""

FLUSHES_AT_ONCE = 16
"""Threads that wait for the disk: an export of 40 files took 12 ms so, 30 to 140 ms one by one."""

MOST_WAITING_KB = 65536
"""Up to which amount of waiting data the whole file system is flushed at once: 4 ms for an export
where file by file took 24 to 85 ms. With more, an export would wait for what others write."""


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
