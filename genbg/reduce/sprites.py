"""Sprites whose tiles are stored: all of them, or those that a budget has room for."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from genbg.model import CutSprites, Fit
from genbg.reduce.sprite_runs import Runs, lay_runs


@dataclass(frozen=True, eq=False)
class LaidSprites:
    """cut: what was cut; row: (n,) palette row of each; runs: tiles of the pictures
    pictures: in entries
    """

    cut: CutSprites
    row: np.ndarray
    runs: Runs
    pictures: tuple[np.ndarray, ...]


def lay_sprites(cut: CutSprites, fit: Fit) -> LaidSprites:
    """All sprites with the tiles they show."""
    return LaidSprites(cut, fit.picture_row[cut.picture], lay_runs(fit.pictures), fit.pictures)


def thin_sprites(sprites: LaidSprites, budget: int) -> tuple[LaidSprites, tuple[str, ...]]:
    """The sprites that a budget has room for, and what to tell the user of the others.

    All where a tile is left for the planes. Else pictures go in order of how often they are
    shown for each tile that they take (of those alike the upper left), to half of the budget.
    """
    taken = len(sprites.runs.tiles)
    if taken < budget:
        return sprites, ()
    sizes = [picture.size // 64 for picture in sprites.pictures]
    shown = np.bincount(sprites.cut.picture, minlength=len(sizes)).tolist()
    room, keep = budget // 2, np.zeros(len(sizes), dtype=bool)
    for picture in sorted(range(len(sizes)), key=lambda one: (-shown[one] / sizes[one], one)):
        if sizes[picture] <= room:
            keep[picture], room = True, room - sizes[picture]
    fewer = keep_pictures(sprites, keep)
    gone = len(sprites.cut) - len(fewer.cut)
    return fewer, (
        f"sprites take {taken} patterns and the budget is {budget}, so {gone} of "
        f"{len(sprites.cut)} are left out; raise machine.tile_budget",
    )


def keep_pictures(sprites: LaidSprites, keep: np.ndarray) -> LaidSprites:
    """The sprites whose picture (b,) is to be kept; pictures are numbered anew in their order."""
    cut = sprites.cut
    stay, place = keep[cut.picture], np.cumsum(keep) - 1
    columns = {
        name: getattr(cut, name)[stay] for name in ("layer", "x", "y", "hflip", "vflip", "priority")
    }
    fewer = CutSprites(
        **columns,
        picture=place[cut.picture[stay]],
        pictures=tuple(itertools.compress(cut.pictures, keep)),
        zones=tuple(itertools.compress(cut.zones, keep)),
    )
    pictures = tuple(itertools.compress(sprites.pictures, keep))
    return LaidSprites(fewer, sprites.row[stay], lay_runs(pictures), pictures)
