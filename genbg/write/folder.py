"""Puts an export in place whole or not at all.

Everything is written to a *draft*, a hidden folder beside DIR named `.NAME.genbg-new`, and then put
in DIR's place by one step of the file system: a rename where DIR is new, an exchange of the two
names (Linux renameat2) where DIR holds an older export. So whenever a run is killed, DIR is the old
export or the new one. Where the system can't exchange names, the old export is first renamed to
`.NAME.genbg-old`; a run that is killed between the two renames leaves DIR missing, and the next run
puts the old export back before it begins.

One run at a time: from its first look at DIR to its last step it holds a lock, `.NAME.genbg-lock`.
Another run waits a moment and then says which process has it. Under the lock, a draft that lies
there is a killed run's, and is removed. As all three names are known, no folder is ever listed to
find them. Where the file system knows no locks, drafts have names of their own and killed runs'
stay, and two runs into one DIR must not meet.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from genbg.model import Backdrop
from genbg.write import manifest
from genbg.write.draft import Draft
from genbg.write.table import File, Progress, export_files
from genbg.write.target import target_path


def write_export(
    backdrop: Backdrop,
    out: Path,
    previews: bool = True,
    progress: Progress | None = None,
    video: bool = False,
    damaged: bool = False,
) -> Path:
    """Write a backdrop's export to the folder `out` and return its absolute path.

    previews: False leaves out the moving previews; video: True adds breakdown.mp4
    progress: told the format that comes next and the share of the work done, 0..1
    damaged: `out` is known to hold an export of this name that is damaged; it is replaced

    Raises FolderError, with `out` as it was, where `out` is not ours to replace or can't be
    written.
    """
    target = target_path(out)
    with Draft(target, damaged=damaged) as draft:
        rows = write_files(draft, export_files(backdrop, previews, progress, video))
        draft.write(manifest.NAME, manifest.manifest_bytes(backdrop, rows))
        draft.put_in_place()
    return target


def write_files(draft: Draft, files: Iterable[File]) -> list[manifest.FileRow]:
    """Write files into a draft; return the row of each for the manifest."""
    rows = []
    for path, data in files:
        draft.write(path, data)
        rows.append(manifest.file_row(path, data))
    return rows
