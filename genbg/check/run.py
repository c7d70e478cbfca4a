"""The checks of an export, in the order in which they rely on one another."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from genbg.check import (
    again,
    cartridge,
    colours,
    engine,
    flash,
    limits,
    motion,
    page,
    pictures,
    plan,
    sources,
    sprites,
)
from genbg.check.listing import Export, open_export
from genbg.check.reading import read_backdrop
from genbg.errors import GenbgError, printable
from genbg.model import Backdrop

Check = Callable[[Export, Backdrop], Iterator[str]]
"""Yields one line for each thing that does not hold; may raise GenbgError for the last of them."""

CHECKS: tuple[tuple[str, Check], ...] = (
    ("limits of the machine", limits.check),
    ("memory plan", plan.check),
    ("motion", motion.check),
    ("sprites and vertical scroll", sprites.check),
    ("colours", colours.check),
    ("flashes", flash.check),
    ("source", sources.check),
    ("cartridge image", cartridge.check),
    ("engine layers", engine.check),
    ("pictures", pictures.check),
    ("player page", page.check),
)


def run_checks(folder: Path) -> list[str]:
    """Return what does not hold, one printable line each."""
    export, faults = open_export(folder)
    if export is not None:
        backdrop, more = read_backdrop(export)
        faults += more
        if backdrop is not None:
            faults += follow(export, backdrop, faults)
    return [printable(fault) for fault in faults]


def follow(export: Export, backdrop: Backdrop, before: list[str]) -> list[str]:
    """Return what does not hold of that which follows from the machine's numbers.

    before: faults of the files themselves
    A limit that does not hold ends it: what is drawn from such numbers means nothing.
    """
    faults: list[str] = []
    for _name, check in CHECKS:
        try:
            faults += check(export, backdrop)
        except GenbgError as error:
            faults.append(str(error))
        if faults and check is limits.check:
            return faults
    return [*faults, *again.check(export, backdrop, [*before, *faults])]
