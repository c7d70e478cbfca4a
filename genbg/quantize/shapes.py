"""Shapes of cells: what is left of a cell when its inks are exchanged for mere labels.

Two cells have the same shape where one becomes the other, flipped or not, by exchanging inks. Such
cells can be one tile if they stand under different palette rows.
"""

from __future__ import annotations

import numpy as np

LABELS = 4
"""Shapes of more inks than this are too rarely met twice to be worth the look."""

Shape = tuple[bytes, tuple[int, ...]]
"""A shape, and the values that fill its parts in order."""


def cell_shapes(cells: np.ndarray) -> list[Shape | None]:
    """The shape of each cell (p, 64), and what fills it; None for more than LABELS values.

    Values below 0 are see-through and stay so. Of the four flips the one with the least bytes
    stands for all, then the one with the least fillings.
    """
    some = np.flatnonzero(count_values(cells) <= LABELS)
    square = cells[some].reshape(-1, 8, 8)
    flips = [
        label_cells(np.ascontiguousarray(one).reshape(-1, 64))
        for one in (square, square[:, :, ::-1], square[:, ::-1], square[:, ::-1, ::-1])
    ]
    found: list[Shape | None] = [None] * len(cells)
    for cell, drawn in zip(some.tolist(), zip(*flips, strict=True), strict=True):
        found[cell] = min(drawn)
    return found


def count_values(cells: np.ndarray) -> np.ndarray:
    """How many values each cell (p, 64) has, see-through (below 0) left out."""
    ranked = np.sort(cells, axis=1)
    fresh = (ranked[:, 1:] != ranked[:, :-1]) & (ranked[:, 1:] >= 0)
    count: np.ndarray = (ranked[:, 0] >= 0) + fresh.sum(axis=1)
    return count


def label_cells(cells: np.ndarray) -> list[Shape]:
    """Each cell's values labelled in the order they are met, and those values in that order.

    cells: (p, 64) with at most LABELS values beside see-through
    """
    at = np.arange(len(cells))
    label = np.where(cells < 0, 0, LABELS + 1).astype(np.uint8)
    parts = np.full((len(cells), LABELS), -1)
    for k in range(LABELS):
        unmet = label > LABELS
        value = np.where(unmet.any(axis=1), cells[at, unmet.argmax(axis=1)], -1)
        label[(cells == value[:, None]) & unmet] = k + 1
        parts[:, k] = value
    counts, whole = (parts >= 0).sum(axis=1).tolist(), label.tobytes()
    return [
        (whole[at : at + 64], tuple(row[:count]))
        for at, row, count in zip(range(0, label.size, 64), parts.tolist(), counts, strict=True)
    ]
