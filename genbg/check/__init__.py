"""Proves an export from its bytes alone: every hash, every limit, every frame.

Nothing of the preset and nothing of a run is needed. The files are read in layers, each of which
the next one relies on: the manifest, the list of files, the machine's numbers, what follows from
them. A fault in one layer ends the check there, since the next could only repeat it.

What is easily worked out a second time (scroll words, order of play, runs of lines) is worked out
here afresh and not taken from the writers, so that a fault of theirs does not prove itself.
"""

from __future__ import annotations

from pathlib import Path

from genbg import __version__


def check_export(folder: Path) -> list[str]:
    """Return one line for each thing that does not hold; nothing where all of it holds.

    folder: of an export. It may hold anything at all: no bytes in it end in an exception, and
        nothing outside it is read.
    """
    from genbg.check.run import run_checks

    return run_checks(Path(folder))


def stated_warnings(folder: Path) -> list[str]:
    """Return what an export that holds says a person should know; nothing where it can't be read.

    folder: of an export that `check_export` found nothing wrong with
    """
    from genbg.check.listing import read_manifest

    table, _ = read_manifest(Path(folder))
    if table is None:
        return []
    warnings = [str(text) for text in table["warnings"]]
    if table["version"] != __version__:
        warnings.append(
            f"genbg {table['version']} wrote this; what only that version can make again "
            "was not compared"
        )
    return warnings
