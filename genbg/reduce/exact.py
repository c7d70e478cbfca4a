"""What costs nothing: cells that are equal up to flips share one tile.

A *canonical* tile is the smallest, read row after row, of the four that flips make of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

FLIPS = ((False, False), (True, False), (False, True), (True, True))
"""(horizontal, vertical) of flip 0, 1, 2, 3; a flip undoes itself."""


@dataclass(frozen=True, eq=False)
class Cells:
    """All cells of both planes as uses of distinct canonical tiles.

    tiles: (D, 8, 8) uint8 entries, in lexicographic order
    number: (n,) intp tile of every cell; flip: (n,) uint8 flip that turns it into the cell
    row: (n,) uint8 palette row; shape: (planes, R, C)
    """

    tiles: np.ndarray
    number: np.ndarray
    flip: np.ndarray
    row: np.ndarray
    shape: tuple[int, int, int]


def cut_cells(plane: np.ndarray) -> np.ndarray:
    """Cells (n, 8, 8) of pixels (planes, H, W), plane after plane, row after row."""
    planes, height, width = plane.shape
    parts = plane.reshape(planes, height // 8, 8, width // 8, 8)
    return np.ascontiguousarray(parts.transpose(0, 1, 3, 2, 4).reshape(-1, 8, 8))


def join_cells(cells: np.ndarray, shape: tuple[int, int, int]) -> np.ndarray:
    """Pixels (planes, H, W) of cells (n, 8, 8); the way back from `cut_cells`."""
    planes, rows, columns = shape
    parts = cells.reshape(planes, rows, columns, 8, 8).transpose(0, 1, 3, 2, 4)
    return np.ascontiguousarray(parts.reshape(planes, rows * 8, columns * 8))


def flip_tiles(tiles: np.ndarray, flip: int) -> np.ndarray:
    """Tiles (..., 8, 8), every one turned by the same flip 0..3."""
    horizontal, vertical = FLIPS[flip]
    return tiles[..., :: -1 if vertical else 1, :: -1 if horizontal else 1]


def flip_each(tiles: np.ndarray, flip: np.ndarray) -> np.ndarray:
    """Tiles (n, 8, 8), each turned by its own flip (n,)."""
    turned = np.empty_like(tiles)
    for number in range(4):
        mask = flip == number
        turned[mask] = flip_tiles(tiles[mask], number)
    return turned


def _sort_keys(tiles: np.ndarray) -> np.ndarray:
    """Tiles (n, 8, 8) of entries 0..15 as (n, 4) uint64 that compare as the tiles do."""
    flat = tiles.reshape(-1, 64)
    packed = (flat[:, ::2] << 4) | flat[:, 1::2]
    return packed.view(">u8").astype(np.uint64)


def _less(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """True (n,) where keys a come before keys b, both (n, 4)."""
    result = np.zeros(len(a), dtype=bool)
    for column in range(3, -1, -1):
        same = a[:, column] == b[:, column]
        result = np.where(same, result, a[:, column] < b[:, column])
    return result


def canonical(tiles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Canonical tile (n, 8, 8) of every tile, and the flip (n,) uint8 between the two.

    Ties: the lowest flip.
    """
    best, flip = _sort_keys(tiles), np.zeros(len(tiles), dtype=np.uint8)
    for number in (1, 2, 3):
        keys = _sort_keys(flip_tiles(tiles, number))
        lower = _less(keys, best)
        best[lower], flip[lower] = keys[lower], number
    return flip_each(tiles, flip), flip


def find_cells(index: np.ndarray, row: np.ndarray) -> Cells:
    """Distinct tiles of both planes, and the cells as uses of them.

    index: (planes, H, W) uint8 entries; row: (planes, R, C) uint8 palette rows
    """
    return list_cells(cut_cells(index), row.reshape(-1).astype(np.uint8), row.shape)


def list_cells(tiles: np.ndarray, row: np.ndarray, shape: tuple[int, int, int]) -> Cells:
    """The same of tiles (n, 8, 8) in palette rows (n,); shape: (planes, R, C)"""
    lowest, flip = canonical(tiles)
    first, number = distinct(lowest)
    return Cells(lowest[first], number, flip, row, shape)


def distinct(tiles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where each distinct tile of (n, 8, 8) is first met, in lexicographic order, and which of
    them (n,) every tile is."""
    keys = _sort_keys(tiles)
    order = np.lexsort(keys.T[::-1])
    ordered = keys[order]
    fresh = np.r_[True, (ordered[1:] != ordered[:-1]).any(axis=1)]
    number = np.empty(len(keys), dtype=np.intp)
    number[order] = np.cumsum(fresh) - 1
    return order[fresh], number
