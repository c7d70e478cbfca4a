"""Sprites whose patterns are stored: all of them, or those that a budget has room for."""

from __future__ import annotations

import itertools

import numpy as np

from genbg.model import Fit, Pieces
from genbg.records import record
from genbg.reduce.blocks import Runs, lay_runs


@record(frozen=True, eq=False)
class LaidSprites:
    """pieces: what was cut; row: (n,) palette row of each; runs: patterns of the blocks
    blocks: in entries
    """

    pieces: Pieces
    row: np.ndarray
    runs: Runs
    blocks: tuple[np.ndarray, ...]


def lay_sprites(pieces: Pieces, fit: Fit) -> LaidSprites:
    """All sprites with the patterns they show."""
    return LaidSprites(pieces, fit.block_row[pieces.block], lay_runs(fit.blocks), fit.blocks)


def thin_sprites(sprites: LaidSprites, budget: int) -> tuple[LaidSprites, tuple[str, ...]]:
    """The sprites that a budget has room for, and what to tell the user of the others.

    All where a pattern is left for the planes. Else blocks go in order of how often they are shown
    for each pattern that they take (of those alike the upper left), to half of the budget.
    """
    taken = len(sprites.runs.patterns)
    if taken < budget:
        return sprites, ()
    sizes = [block.size // 64 for block in sprites.blocks]
    shown = np.bincount(sprites.pieces.block, minlength=len(sizes)).tolist()
    room, keep = budget // 2, np.zeros(len(sizes), dtype=bool)
    for block in sorted(range(len(sizes)), key=lambda one: (-shown[one] / sizes[one], one)):
        if sizes[block] <= room:
            keep[block], room = True, room - sizes[block]
    fewer = keep_blocks(sprites, keep)
    gone = len(sprites.pieces) - len(fewer.pieces)
    return fewer, (
        f"sprites take {taken} patterns and the budget is {budget}, so {gone} of "
        f"{len(sprites.pieces)} are left out; raise machine.tile_budget",
    )


def keep_blocks(sprites: LaidSprites, keep: np.ndarray) -> LaidSprites:
    """The sprites whose block (b,) is to be kept; blocks are numbered anew in their order."""
    pieces = sprites.pieces
    stay, place = keep[pieces.block], np.cumsum(keep) - 1
    columns = {
        name: getattr(pieces, name)[stay] for name in ("layer", "x", "y", "hflip", "vflip", "high")
    }
    fewer = Pieces(
        **columns,
        block=place[pieces.block[stay]],
        blocks=tuple(itertools.compress(pieces.blocks, keep)),
        zones=tuple(itertools.compress(pieces.zones, keep)),
    )
    blocks = tuple(itertools.compress(sprites.blocks, keep))
    return LaidSprites(fewer, sprites.row[stay], lay_runs(blocks), blocks)
