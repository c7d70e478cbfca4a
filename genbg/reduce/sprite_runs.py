"""Tiles of sprites: stored exactly, in runs, and shared wherever bytes agree.

A sprite shows tiles that follow one another, column by column, so its picture is stored as a
run. Pictures are never merged: they are near, few, and seen against everything. What costs nothing
is taken: a picture that is a flip of another one, a picture that lies within the run of others,
runs that overlap at their ends, and cells of the planes that equal a tile of a run.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.errors import LimitError
from genbg.hardware.sizes import CELL
from genbg.model import Cells
from genbg.reduce.exact import FLIPS, canonical, flip_tiles


@dataclass(frozen=True, eq=False)
class Runs:
    """tiles: (S, 8, 8) uint8, all runs one after the other
    start: (b,) where in `tiles` the run of each picture begins
    hflip, vflip: (b,) bool, turns that make the picture of what is stored there
    """

    tiles: np.ndarray
    start: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray


def lay_runs(pictures: Sequence[np.ndarray]) -> Runs:
    """One sequence of tiles in which every picture (8 * height, 8 * width) is a run.

    The longest pictures are laid first; each one, or a flip of it, is looked for in what lies
    there, else it is added with as much overlap as there is. Ties: the first place, the lowest
    flip.
    """
    laid: list[bytes] = []
    found: dict[int, tuple[int, int]] = {}
    for number in sorted(range(len(pictures)), key=lambda n: (-pictures[n].size, n)):
        ways = [column_order(flip_tiles(pictures[number], flip)) for flip in range(4)]
        place = next(
            ((at, flip) for flip, run in enumerate(ways) if (at := find_run(laid, run)) >= 0), None
        )
        if place is None:
            shared, flip = max(
                ((overlap(laid, run), -flip) for flip, run in enumerate(ways)),
            )
            place = (len(laid) - shared, -flip)
            laid += ways[-flip][shared:]
        found[number] = place
    tiles = np.frombuffer(b"".join(laid), dtype=np.uint8).reshape(-1, CELL, CELL)
    flips = np.array(FLIPS)[[found[n][1] for n in range(len(pictures))]].reshape(-1, 2)
    start = np.array([found[n][0] for n in range(len(pictures))], dtype=np.int64)
    return Runs(tiles, start, flips[:, 0], flips[:, 1])


def column_order(picture: np.ndarray) -> list[bytes]:
    """The tiles of a picture as a sprite reads them: down each column, columns from the left."""
    height, width = picture.shape
    cells = picture.reshape(height // CELL, CELL, width // CELL, CELL).transpose(2, 0, 1, 3)
    return [np.ascontiguousarray(cell).tobytes() for cell in cells.reshape(-1, CELL, CELL)]


def find_run(laid: list[bytes], run: list[bytes]) -> int:
    """Where a run begins in a sequence, or -1."""
    first, count = run[0], len(run)
    for at in range(len(laid) - count + 1):
        if laid[at] == first and laid[at : at + count] == run:
            return at
    return -1


def overlap(laid: list[bytes], run: list[bytes]) -> int:
    """How many tiles the end of a sequence and the beginning of a run have in common."""
    for count in range(min(len(laid), len(run) - 1), 0, -1):
        if laid[-count:] == run[:count]:
            return count
    return 0


def plane_budget(runs: Runs, budget: int) -> int:
    """Tiles that the planes may take beside the sprites.

    Raises LimitError where the sprites leave them none.
    """
    taken = len(runs.tiles)
    if taken >= budget:
        cure = "raise machine.tile_budget, or draw less as sprites"
        raise LimitError("patterns of sprites", taken, budget - 1, "patterns", cure)
    return budget - taken


def add_runs(cells: Cells, runs: Runs) -> tuple[Cells, np.ndarray, int]:
    """Both planes and the sprites in one set of tiles, where each picture's run begins, and how
    many tiles the sprites added.

    Sprites stand last; a tile of the planes that equals one of theirs, flipped or not, is left
    out and its cells show the sprites' one.
    """
    if not len(runs.tiles):
        return cells, runs.start, 0
    mine, my_flip = canonical(cells.tiles)
    theirs, their_flip = canonical(runs.tiles)
    known: dict[bytes, int] = {}
    for number, tile in enumerate(theirs):
        known.setdefault(tile.tobytes(), number)
    same = np.array([known.get(tile.tobytes(), -1) for tile in mine], dtype=np.int64)
    kept = same < 0
    place = np.where(kept, np.cumsum(kept) - 1, same + int(kept.sum()))
    # a flip undoes itself and flips commute, so the turn between two of them is their difference
    turn = np.where(kept, 0, my_flip ^ their_flip[np.maximum(same, 0)])
    turned = np.array(FLIPS)[turn[cells.number]]
    joined = dataclasses.replace(
        cells,
        tiles=np.concatenate([cells.tiles[kept], runs.tiles]),
        number=place[cells.number].astype(np.uint16),
        hflip=cells.hflip ^ turned[..., 0],
        vflip=cells.vflip ^ turned[..., 1],
    )
    added = len(runs.tiles) - int((~kept).sum())
    return joined, runs.start + int(kept.sum()), added
