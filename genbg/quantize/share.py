"""Cells that are equal, and the row that lets most cells share a tile.

Cells are told apart by a 64-bit mix of their 64 values. Where a wrong match would harm (two
different cells taken for one), the match is checked value by value.
"""

from __future__ import annotations

import numpy as np

from genbg.hardware.sizes import CELL_PIXELS


def _mixers() -> np.ndarray:
    """64 odd 64-bit factors: the multiples of the golden ratio's fraction, scrambled by shifts."""
    value = np.arange(1, CELL_PIXELS + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    value = (value ^ (value >> np.uint64(31))) * np.uint64(0xD6E8FEB86659FD93)
    return (value ^ (value >> np.uint64(29))) | np.uint64(1)


MIXERS = _mixers()


def mix_cells(cells: np.ndarray) -> np.ndarray:
    """One number (n,) uint64 for each cell (n, 64); equal cells have equal numbers."""
    return (cells.astype(np.uint64) * MIXERS).sum(axis=1, dtype=np.uint64)


def mix_flipped(cells: np.ndarray) -> np.ndarray:
    """One number (n,) uint64 for each cell (n, 64), the same for a cell and its flips."""
    square = MIXERS.reshape(8, 8)
    flips = square, square[:, ::-1], square[::-1], square[::-1, ::-1]
    wide = cells.astype(np.uint64)
    mixed = [(wide * flip.reshape(-1)).sum(axis=1, dtype=np.uint64) for flip in flips]
    return np.minimum(np.minimum(mixed[0], mixed[1]), np.minimum(mixed[2], mixed[3]))


def distinct_cells(cells: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The distinct cells (p, 64) of (n, 64), in the order they are met, and which each one is."""
    _, first, back = np.unique(mix_cells(cells), return_index=True, return_inverse=True)
    order = np.argsort(first, kind="stable")
    place = np.empty(len(order), np.int64)
    place[order] = np.arange(len(order))
    distinct, back = cells[first[order]], place[back.ravel()]
    if not np.array_equal(distinct[back], cells):
        distinct, back = np.unique(cells, axis=0, return_inverse=True)
    return distinct, back.ravel()


def share_rows(index: np.ndarray, point: np.ndarray, options: np.ndarray) -> np.ndarray:
    """The row (p,) of each distinct cell, so that many cells have the same tile.

    index: (4, P + 1) entry of every point in every row; point: (p, 64)
    options: (p, 4) bool, the rows that show the cell equally well, at least one each

    A tile counts once for each cell that could have it, flipped or not; each cell takes the
    commonest of its own. Ties to the lowest row.
    """
    cell, row = np.nonzero(options)
    _, tile, times = np.unique(
        mix_flipped(index[row[:, None], point[cell]]), return_inverse=True, return_counts=True
    )
    common = np.zeros(options.shape, np.int64)
    common[cell, row] = times[tile.ravel()]
    return common.argmax(axis=1)
