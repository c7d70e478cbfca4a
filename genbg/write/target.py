"""Says whether a folder may be replaced by an export: only where genbg wrote all that is in it."""

from __future__ import annotations

import hashlib
import json
import os
import stat
from collections.abc import Set
from pathlib import Path

from genbg.errors import BytesError, FolderError
from genbg.write.manifest import NAME, NO_SEAL, reseal

MOST_NAMED = 3
"""Files that a message names before it counts the rest."""


def target_path(out: Path) -> Path:
    """Return `out` as an absolute path; its last part is not followed where it is a link.

    Raises FolderError where the path has no name of its own to give to a folder.
    """
    out = Path(out)
    if out.name in ("", ".", ".."):
        raise FolderError(f"{out}: not a folder's name; an export needs a folder of its own")
    try:
        return out.parent.resolve() / out.name
    except (OSError, RuntimeError) as error:
        raise FolderError(f"{out}: {error}") from error


def check_target(
    target: Path, hashes: bool = False, names: Set[str] = frozenset(), damaged: bool = False
) -> bool:
    """Return True where `target` is an export that may be replaced, False where nothing is there.

    An empty folder counts as nothing, as there is nothing to lose in it.
    hashes: also read the files, so that one that was changed by hand since is not lost
    names: of files that may be lost whatever they hold; damaged: what it holds is looked at later

    Raises FolderError where `target` is anything else.
    """
    if target.is_symlink():
        raise FolderError(f"{target}: is a link; name the folder itself, or remove the link")
    if not target.exists():
        return False
    if not target.is_dir():
        raise FolderError(f"{target}: is a file, not a folder; choose another --out")
    here = Path.cwd().resolve()
    if target == here or target in here.parents:
        raise FolderError(f"{target}: holds the current folder; choose another --out")
    if damaged:
        return True
    try:
        return bool(check_content(target, hashes, names))
    except OSError as error:
        raise FolderError(f"{error.filename or target}: can't be read: {error.strerror}") from error


def check_content(target: Path, hashes: bool, names: Set[str] = frozenset()) -> int:
    """Return how many files an export holds; FolderError where some are not genbg's.

    names: of files that genbg is known to have written, whatever the manifest says
    """
    found = list_files(target)
    if not found:
        return 0
    written = read_manifest(target)
    if names:
        written = {**dict.fromkeys(names, (-1, "")), **(written or {})}
    if written is None:
        raise FolderError(
            f"{target}: exists and is not an export of genbg (no {NAME} of genbg in it); "
            "it is left as it is: choose another --out"
        )
    parents = {parent.as_posix() + "/" for path in written for parent in Path(path).parents}
    foreign = [path for path in found if path not in written and path not in parents]
    if foreign:
        raise FolderError(
            f"{target}: holds {name_some(foreign)}, which genbg did not write; "
            "it is left as it is: move them away or choose another --out"
        )
    if hashes:
        changed = [path for path in found if is_changed(target / path, written.get(path))]
        if changed:
            raise FolderError(
                f"{target}: {name_some(changed)} changed since genbg wrote the export; "
                "it is left as it is: move it away or choose another --out"
            )
    return len(found)


def list_files(folder: Path) -> list[str]:
    """Return the relative paths of all that a folder holds, sorted; sub-folders end in "/"."""
    found = []
    for parent, folders, names in os.walk(folder, onerror=_raise):
        base = Path(parent).relative_to(folder)
        links = [name for name in folders if (Path(parent) / name).is_symlink()]
        found += [(base / name).as_posix() for name in [*names, *links]]
        found += [(base / name).as_posix() + "/" for name in folders if name not in links]
    return sorted(found)


def read_manifest(folder: Path) -> dict[str, tuple[int, str]] | None:
    """Return {path: (bytes, SHA-256)} of an export's files, or None where it is no export.

    The manifest itself is in it with a size of -1; its hash lies in its own bytes.
    """
    path = folder / NAME
    if path.is_symlink() or not path.is_file():
        return None
    try:
        table = json.loads(path.read_bytes())
        rows = {row["path"]: (int(row["bytes"]), str(row["sha256"])) for row in table["files"]}
        known = isinstance(table["version"], str) and "tile_base" in table
    except (ValueError, KeyError, TypeError, OverflowError, RecursionError):
        return None
    return {**rows, NAME: (-1, "")} if known else None


def is_changed(path: Path, written: tuple[int, str] | None) -> bool:
    """Return whether a file's bytes differ from what the manifest says of it."""
    if written is None:
        return False
    state = path.lstat()
    if not stat.S_ISREG(state.st_mode):
        return True
    if written[0] < 0:
        return not is_sealed(path.read_bytes())
    if state.st_size != written[0]:
        return True
    return hashlib.sha256(path.read_bytes()).hexdigest() != written[1]


def is_sealed(data: bytes) -> bool:
    """Return whether a manifest's bytes are those that its own hash was taken of."""
    try:
        digest = hashlib.sha256(reseal(data, NO_SEAL)).hexdigest()
        return reseal(data, digest) == data
    except BytesError:
        return False


def name_some(paths: list[str]) -> str:
    """Return some of the paths as a phrase: "a, b, c and 4 more"."""
    rest = len(paths) - MOST_NAMED
    return ", ".join(paths[:MOST_NAMED]) + (f" and {rest} more" if rest > 0 else "")


def _raise(error: OSError) -> None:
    raise error
