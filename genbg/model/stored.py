"""What merging hands on: planes and sprites in the tiles that the budget has room for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.model.canvas import CutSprites
from genbg.model.fit import Fit


@dataclass(frozen=True, eq=False)
class Cells:
    """Both planes as cells that show tiles.

    tiles: (T, 8, 8) uint8 entries 0..15; number: (2, R, C) uint16 tile of every cell
    hflip, vflip: (2, R, C) bool; row: (2, R, C) uint8 palette row
    """

    tiles: np.ndarray
    number: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray
    row: np.ndarray

    @property
    def index(self) -> np.ndarray:
        """Entries (2, H, W) uint8 that the cells show."""
        one = self.tiles
        turned = np.stack([one, one[:, :, ::-1], one[:, ::-1], one[:, ::-1, ::-1]])
        cells = turned[self.hflip + 2 * self.vflip, self.number]
        planes, rows, columns = self.number.shape
        return cells.transpose(0, 1, 3, 2, 4).reshape(planes, rows * 8, columns * 8)


@dataclass(frozen=True, eq=False)
class StoredSprites:
    """Sprites whose tiles are stored.

    cut: as cut; word: (n,) uint16, the third word of each sprite's table entry
    row: (n,) palette row of each sprite; pictures: pictures in entries
    """

    cut: CutSprites
    word: np.ndarray
    row: np.ndarray
    pictures: tuple[np.ndarray, ...]

    def __bool__(self) -> bool:
        return len(self.cut) > 0


@dataclass(frozen=True, eq=False)
class Stored:
    """Planes and sprites in at most `budget` tiles (reduce -> scroll, write).

    cells: what is stored; fit: what it was made from, its entries in the order that is stored
    sprites: those that the budget had room for; priority: (2, R, C) bool, the priority bits
    before: distinct tiles (up to flips) before any merge
    curve: (n, 2) float64 of (tiles, mean squared OKLab error) on the way down, or empty
    bound: mean squared OKLab error that no choice of tiles goes below, where it was asked
    """

    cells: Cells
    fit: Fit
    sprites: StoredSprites
    priority: np.ndarray
    before: int
    curve: np.ndarray
    bound: float | None = None
    warnings: tuple[str, ...] = ()
