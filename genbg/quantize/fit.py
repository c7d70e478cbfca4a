"""Inks of both planes into four palette rows of 15."""

from __future__ import annotations

import numpy as np

from genbg.colour import distance_steps, lab_steps
from genbg.model import FittedPlanes, Inks, PlanePicture

CELL, ROWS, ENTRIES = 8, 4, 15


def fit_palette(
    front: PlanePicture, back: PlanePicture, inks: Inks, levels: tuple[int, ...]
) -> FittedPlanes:
    """Palette rows, the row of every cell and the entry of every pixel."""
    ink = np.stack([front.ink, back.ink])
    planes, height, width = ink.shape
    cells = ink.reshape(planes, height // CELL, CELL, width // CELL, CELL).swapaxes(2, 3)
    flat = cells.reshape(-1, CELL * CELL)
    count = np.zeros((len(flat), inks.colours.shape[1]), np.int64)
    np.add.at(count, (np.arange(len(flat))[:, None], flat), 1)
    count[:, 0] = 0
    lab = lab_steps(tuple(levels))[inks.colours[0]]
    gap = distance_steps(lab[:, None], lab[None])
    rows = _greedy_rows(count > 0)
    cost = np.stack([(count * gap[:, row].min(axis=1)).sum(axis=1) for row in rows], axis=1)
    choice = cost.argmin(axis=1)
    palette = np.zeros((ROWS, ENTRIES + 1), np.uint16)
    lookup = np.zeros((ROWS, len(gap)), np.uint8)
    for r, row in enumerate(rows):
        palette[r, 1 : len(row) + 1] = row
        lookup[r, 1:] = gap[1:, row].argmin(axis=1) + 1
    index = lookup[choice[:, None], flat].reshape(cells.shape).swapaxes(2, 3).reshape(ink.shape)
    row_map = choice.reshape(planes, height // CELL, width // CELL).astype(np.uint8)
    exact = bool((np.take_along_axis(cost, choice[:, None], axis=1) == 0).all())
    return FittedPlanes(palette, index, row_map, exact)


def _greedy_rows(sets: np.ndarray) -> list[list[int]]:
    """Up to four lists of inks; the commonest and largest sets first."""
    distinct, times = np.unique(sets, axis=0, return_counts=True)
    rows: list[set[int]] = [set() for _ in range(ROWS)]
    for k in np.lexsort((-times, -distinct.sum(axis=1))):
        wanted = {int(ink) for ink in np.flatnonzero(distinct[k])}
        fits = [r for r in range(ROWS) if len(rows[r] | wanted) <= ENTRIES]
        if fits:
            best = min(fits, key=lambda r: (len(wanted - rows[r]), r))
            rows[best] |= wanted
        else:
            for ink in sorted(wanted):
                space = [r for r in range(ROWS) if len(rows[r]) < ENTRIES]
                if space and not any(ink in row for row in rows):
                    rows[space[0]].add(ink)
    return [sorted(row) or [0] for row in rows]
