"""Says who writes to a folder: one process at a time, known by its number.

The lock is a small file, held with flock(2), which the system lets go when the process ends,
however it ends. The file names the process, the time since when, and the machine, for the message
that another one gets. Only who holds the lock removes the file; so whoever gets a lock looks
whether the file still has its name, and else begins anew.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
import socket
import time
from pathlib import Path

from genbg.errors import FolderError

try:
    import fcntl
except ImportError:  # not on every system; there, nobody is kept from writing
    fcntl = None  # type: ignore[assignment]

WAIT_S = 5.0
"""How long a run waits for another one: a few times what an export takes to be written."""

LOOK_EVERY_S = 0.02

LONGEST = 400
"""Bytes of a lock's file that are read: a number, a time, a machine's name of at most 255."""

HOLDER = re.compile(r"(\d+) (\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ) (\S*)\n")


class Lock:
    """A lock on a name of the file system; a context that lets it go.

    path: the lock's file; place: what is locked; doing: what who holds it does, for the message
    held: whether nobody else can hold it now; False also where the file system knows no locks
    """

    def __init__(self, path: Path, place: Path, doing: str = "has been writing to it"):
        self.path, self.place, self.doing = path, place, doing
        self.held = False
        self._number = -1

    def take(self, wait_s: float = WAIT_S) -> Lock:
        """Take the lock; where another process holds it, wait so long.

        Raises FolderError, naming that process, and OSError where the file can't be made.
        """
        end = time.monotonic() + wait_s
        while True:
            number = os.open(self.path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0))
            try:
                state = try_lock(number)
                if state != errno.EWOULDBLOCK and has_name(number, self.path):
                    sign(number)
                    self.held = state == 0
                    self._number, number = number, -1
                    return self
                holder = read_holder(number)
            finally:
                if number >= 0:
                    os.close(number)
            if state != errno.EWOULDBLOCK:
                continue  # its owner has just removed it
            if time.monotonic() >= end:
                raise FolderError(
                    f"{self.place}: {holder.format(doing=self.doing)}; let it end or choose "
                    "another --out"
                )
            time.sleep(LOOK_EVERY_S)

    def release(self) -> None:
        """Remove the file and let the lock go; nothing where it was not taken."""
        if self._number < 0:
            return
        number, self._number, self.held = self._number, -1, False
        with contextlib.suppress(OSError):
            os.unlink(self.path)
        os.close(number)

    def __enter__(self) -> Lock:
        return self

    def __exit__(self, *fault: object) -> None:
        self.release()


def try_lock(number: int) -> int:
    """Lock an open file: 0, EWOULDBLOCK where another process has it, or why it can't be locked."""
    if fcntl is None:
        return errno.ENOSYS
    try:
        fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return errno.EWOULDBLOCK if error.errno == errno.EAGAIN else error.errno or errno.ENOSYS
    return 0


def has_name(number: int, path: Path) -> bool:
    """Whether an open file is the one of that name."""
    try:
        named = os.lstat(path)
    except OSError:
        return False
    return os.path.samestat(named, os.fstat(number))


def sign(number: int) -> None:
    """Write into a lock's file who holds it."""
    now = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
    os.ftruncate(number, 0)
    os.write(number, f"{os.getpid()} {now} {socket.gethostname()}\n".encode())


def read_holder(number: int) -> str:
    """Return who holds a lock, as a phrase with a place for what they do: {doing}."""
    os.lseek(number, 0, os.SEEK_SET)
    found = HOLDER.fullmatch(os.read(number, LONGEST).decode("utf-8", "replace"))
    if not found:
        return "another process {doing}"
    machine = "" if found[3] == socket.gethostname() else f" on {found[3]}"
    return f"process {found[1]}{machine} {{doing}} since {found[2]}"
