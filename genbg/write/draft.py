"""A hidden folder beside DIR that an export is written to before it takes DIR's place."""

from __future__ import annotations

import contextlib
import errno
import os
import re
from pathlib import Path

from genbg.errors import FolderError
from genbg.write.disk import exchange, flush, flush_folder, remove_folder
from genbg.write.lock import WAIT_S, Lock
from genbg.write.target import check_content, check_target, read_manifest

MOST_PARENTS_LOST = 100
"""How often the folders above DIR are made anew while other runs remove those that they made."""


class Draft:
    """A folder that is being written; as a context it is removed unless it was put in place.

    target: absolute path of the folder that it is to become; while the context lasts, no other run
    writes to it. wait_s: how long another run that does is waited for
    damaged: the target is known to be a damaged export; files with the names of new ones go with it
    """

    def __init__(self, target: Path, wait_s: float = WAIT_S, damaged: bool = False):
        self.target = target
        self.damaged = damaged
        self._names: set[str] = set()
        self.path = beside(target, "new")
        self.aside = beside(target, "old")
        self.wait_s = wait_s
        self._lock = target_lock(target)
        self._mine = False
        self._made: list[Path] = []
        self._folders: set[Path] = set()

    def __enter__(self) -> Draft:
        try:
            self._lock_target()
            if not self._lock.held:  # another run's draft can't be told from a killed one's
                self.path = beside(self.target, os.urandom(8).hex())
            recover(self.target, self._lock.held)
            check_target(self.target, hashes=True, damaged=self.damaged)
            os.mkdir(self.path)
            self._mine = True
        except OSError as error:
            self._end()
            raise self._fault(error) from error
        except BaseException:
            self._end()
            raise
        return self

    def __exit__(self, *fault: object) -> None:
        self._end()

    def write(self, path: str, data: bytes) -> None:
        """Write one file and hand it to the disk. Raises FolderError where that fails."""
        place = self.path / path
        try:
            if place.parent not in self._folders:
                place.parent.mkdir(parents=True, exist_ok=True)
                self._folders.add(place.parent)
            with open(place, "xb") as file:
                file.write(data)
            self._names.add(path)
        except OSError as error:
            raise self._fault(error) from error

    def put_in_place(self) -> None:
        """Let the draft take the target's place, and remove what was there.

        Raises FolderError, with the target as it was, where something that genbg did not write
        has come to lie in it, or where the system refuses.
        """
        try:
            flush(self.path)
            if check_target(self.target, names=self._known()):
                self._replace()
            else:
                os.rename(self.path, self.target)
            self._mine = False
            flush_folder(self.target.parent)
        except OSError as error:
            raise self._fault(error) from error

    def _replace(self) -> None:
        """Exchange draft and target; where the system can't, rename twice."""
        if exchange(self.path, self.target):
            try:
                check_content(self.path, hashes=False, names=self._known())
            except FolderError:
                exchange(self.path, self.target)
                raise
            remove_folder(self.path)
            return
        os.rename(self.target, self.aside)
        try:
            check_content(self.aside, hashes=False, names=self._known())
            os.rename(self.path, self.target)
        except (FolderError, OSError):
            os.rename(self.aside, self.target)
            raise
        # under the draft's name again, so that what is called "old" is always whole
        os.rename(self.aside, self.path)
        remove_folder(self.path)

    def _known(self) -> set[str]:
        """Names of files that may be lost with a damaged export."""
        return self._names if self.damaged else set()

    def _lock_target(self) -> None:
        """Take the target's lock; the folders above it are made for that."""
        for _ in range(MOST_PARENTS_LOST):
            with contextlib.suppress(FileNotFoundError):  # a failed run took its folders away
                self._make_parents()
                self._lock.take(self.wait_s)
                return
        raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(self.target.parent))

    def _make_parents(self) -> None:
        """Create the missing folders above the target, and note them."""
        missing = [self.target.parent, *self.target.parent.parents]
        for parent in reversed([folder for folder in missing if not folder.exists()]):
            with contextlib.suppress(FileExistsError):  # another run was faster
                os.mkdir(parent)
                self._made.append(parent)

    def _end(self) -> None:
        """Let the target go; of a draft that was not put in place nothing stays."""
        if self._mine:
            remove_folder(self.path)
        self._lock.release()
        for parent in reversed(self._made):
            with contextlib.suppress(OSError):  # what holds something stays
                os.rmdir(parent)

    def _fault(self, error: OSError) -> FolderError:
        return FolderError(
            f"{self.target}: can't be written: {reason_of(error)}; nothing was changed"
        )


def beside(target: Path, what: str) -> Path:
    """Return the hidden name beside a target for its draft ("new"), for what a draft replaces where
    names can't be exchanged ("old"), or for its lock ("lock")."""
    return target.parent / f".{target.name}.genbg-{what}"


def target_lock(target: Path) -> Lock:
    """Return the lock, not taken yet, of who writes to a target."""
    return Lock(beside(target, "lock"), target)


def check_free(target: Path, wait_s: float = WAIT_S) -> None:
    """Raise FolderError where a target can't be replaced; another run is waited for first.

    Without its lock a target could be looked at while another run puts a new one in its place.
    """
    if not target.is_dir() or target.is_symlink():
        check_target(target)
        return
    try:
        lock = target_lock(target).take(wait_s)
    except OSError as error:
        raise FolderError(f"{target}: can't be written: {reason_of(error)}") from error
    with lock:
        check_target(target)


def recover(target: Path, alone: bool) -> None:
    """Put back or remove what killed runs left beside a target.

    alone: whether the target's lock is held, so that a draft there is no running one's
    Raises FolderError where a file that genbg did not write has come to lie in it.
    """
    old, new = beside(target, "old"), beside(target, "new")
    if old.exists():
        if target.exists():
            remove_left(old)
        else:
            os.rename(old, target)
    if alone and new.exists():
        remove_left(new)


def remove_left(path: Path) -> None:
    """Remove a draft, or an export that was being replaced, with all that genbg wrote in it."""
    if read_manifest(path) is not None:
        check_content(path, hashes=False)
    remove_folder(path)


def recover_all(folder: Path) -> None:
    """Do so for all exports of a folder, listing it once; those that a run writes to are left."""
    names = {re.fullmatch(r"\.(.+)\.genbg-(?:new|old|lock)", name) for name in os.listdir(folder)}
    for name in sorted({found[1] for found in names if found}):
        with (
            contextlib.suppress(FolderError, OSError),
            target_lock(folder / name).take(0.0) as lock,
        ):
            recover(folder / name, lock.held)


def reason_of(error: OSError) -> str:
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
        errno.EEXIST: f"{error.filename} is in the way; remove it or choose another --out",
    }
    return reasons.get(error.errno or 0, error.strerror or str(error))
