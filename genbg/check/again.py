"""What genbg can make again from an export's bytes, made again and compared.

Pictures are compared unpacked, as the same picture may be packed in other ways. What no byte of the
machine tells is taken from where the export states it, and has to be the same wherever it stands:
how much merging changed each pixel (player.html, changes.png), the figures of the manifest
(curve.png, breakdown.png), the layers' pictures (engine/, player.html).

Only the version that wrote an export can write it again. Of another version's, the moving pictures
alone are looked at here.
"""

from __future__ import annotations

import base64
import dataclasses
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from genbg import __version__
from genbg.check import blocks, chunks, pictures
from genbg.check.layers import read_layers
from genbg.check.listing import Export
from genbg.errors import BytesError
from genbg.model import Backdrop
from genbg.write import cartridge, manifest, player
from genbg.write.merging import CHANGE_LEVELS, change_levels
from genbg.write.table import export_files

MOVING = ("preview.png", "preview.gif", "breakdown.apng")
"""Written together or not at all."""
UNPROVEN = ("breakdown.mp4",)
"""Files whose bytes are the work of a library of the system, which nobody can make again."""
NUMBERS = (".bin", ".map", ".json")
Difference = Callable[[bytes, bytes], str | None]


def check(export: Export, backdrop: Backdrop, told: Sequence[str]) -> Iterator[str]:
    """Yield files that are not what genbg makes of the others.

    told: faults found before. What they name is not named again, and where they name a number that
        others follow from, nothing but the moving pictures is looked at.
    """
    known = {fault.partition(": ")[0] for fault in told}
    numbers = known - {cartridge.NAME}
    if export.table["version"] != __version__ or any(is_number(path) for path in numbers):
        yield from moving_faults(export, backdrop, known, {})
        return
    whole, unsure = whole_backdrop(export, backdrop)
    made = dict(
        export_files(whole, previews=any(path in export.data for path in MOVING), bare=True)
    )
    yield from list_faults(export, made)
    yield from table_faults(export, whole)
    yield from moving_faults(export, backdrop, known, made)
    for path in sorted(made.keys() & export.data.keys() - known - {*MOVING}):
        if not is_unsure(path, unsure):
            says = say_difference(path, export.data[path], made[path])
            if says:
                yield f"{path}: {says}"


def is_number(path: str) -> bool:
    """Return whether a file holds numbers that other files follow from."""
    return path.endswith(NUMBERS) and not path.startswith("engine/")


def is_unsure(path: str, unsure: Sequence[str]) -> bool:
    """Return whether a file follows from something that could not be read."""
    return any(path.startswith(one) for one in unsure)


def whole_backdrop(export: Export, backdrop: Backdrop) -> tuple[Backdrop, list[str]]:
    """Return the backdrop with its layers, and what follows from that which could not be read."""
    unsure: list[str] = []
    whole = dataclasses.replace(backdrop)
    try:
        whole = dataclasses.replace(backdrop, layers=read_layers(export, backdrop))
    except BytesError:
        unsure += ["engine/", player.NAME]
    levels = stated_levels(export, backdrop)
    if levels is None or (levels > CHANGE_LEVELS).any():
        unsure += ["changes.png", "breakdown.png", player.NAME]
        levels = np.zeros((2, *backdrop.machine.plane_px[::-1]), dtype=np.uint8)
    change_levels.tell(whole, levels)
    return whole, unsure


def stated_levels(export: Export, backdrop: Backdrop) -> np.ndarray | None:
    """Return how much merging changed each pixel (2, H, W), as the page has it; None: unreadable.

    Called only where the page was looked at: its runs are known to cover both planes.
    """
    data = player.read_page(export.data[player.NAME])
    try:
        texts = (data or {})["views"]["changes"]
        planes = [unrun(text) for text in texts]
        width, height = backdrop.machine.plane_px
        return np.stack(planes).reshape(2, height, width)
    except (KeyError, TypeError, ValueError):
        return None


def unrun(text: str) -> np.ndarray:
    """Return the bytes that `player.run_text` wrote as runs."""
    runs = np.frombuffer(base64.b64decode(text, validate=True), dtype=np.uint8).reshape(-1, 2)
    return np.repeat(runs[:, 0], runs[:, 1].astype(np.int64) + 1)


def list_faults(export: Export, made: dict[str, bytes]) -> Iterator[str]:
    """Yield files that this backdrop has and the export does not, or the other way round."""
    listed = {row["path"] for row in export.table["files"]}
    for path in sorted(made.keys() - listed):
        yield f"{path}: is not listed in {manifest.NAME}"
    for path in sorted(listed - made.keys() - {*UNPROVEN}):
        yield f"{path}: is not a file that genbg writes for this backdrop"


def table_faults(export: Export, whole: Backdrop) -> Iterator[str]:
    """Yield keys of the manifest that do not say what genbg makes of the rest."""
    right = manifest.manifest_table(whole, ())
    for key, value in right.items():
        if key != "files" and export.table[key] != value:
            yield f"{manifest.NAME}: {key}: is not what the other files and figures make it"


def moving_faults(
    export: Export, backdrop: Backdrop, known: set[str], made: dict[str, bytes]
) -> Iterator[str]:
    """Yield what is wrong with the moving pictures, frame by frame where they are not as made."""
    for path in MOVING:
        found, right = export.data.get(path), made.get(path)
        if found is None or found == right:
            continue
        says = None if right is None else say_difference(path, found, right)
        is_gif = path.endswith(".gif")
        if path in pictures.MOVING and (says or right is None or is_gif):
            seen = list(pictures.moving_faults(path, export, backdrop))
            yield from seen
            says = None if seen else says
        if says and path not in known:
            yield f"{path}: {says}"


def say_difference(path: str, found: bytes, made: bytes) -> str | None:
    """Return what sets a file apart from the one made again; None where they say the same."""
    try:
        if path.endswith((".png", ".apng")):
            return chunks.difference(found, made)
        if path.endswith(".gif"):
            return blocks.difference(found, made)
    except BytesError as error:
        return str(error)
    if found == made:
        return None
    same = min(len(found), len(made))
    differs = np.frombuffer(found, np.uint8, same) != np.frombuffer(made, np.uint8, same)
    at = int(differs.argmax()) if differs.any() else same
    line = made.count(b"\n", 0, at) + 1
    return f"line {line} (byte {at}) is not what genbg writes there"
