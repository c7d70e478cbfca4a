"""The foot of rock on dry land: heaps and boulders along it, and the shadow it casts before it.

With the light behind, a rock's shadow comes toward the viewer and widens as it comes. It is whole
near the foot; then the ground shows between its lines, more of it row by row.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick, unit
from genbg.paint.parts.marks import tone_patch

NOTHING, SHADOW, DARK, PALE = range(4)
"""What lies before a foot: see-through, shadow, stones in shade and their lit tops."""
GAPS = ((), (2, 5), (1, 4, 6), (1, 3, 4, 6, 7))
"""Lines of a cell of shadow that show the ground, row by row; the last goes for all below it."""
TAPER = np.array([2, 5, 3, 7, 4, 6, 1, 5])
"""Pixels of its last cell that a line of shadow fills."""
STONES = np.array(
    [
        tone_patch("22222222 22222222 22222222 02222220 00222200 00000000 00000000 00000000"),
        tone_patch("22222222 22222222 02222222 00002220 00000000 00000000 00000000 00000000"),
        tone_patch("22222222 22223322 22233222 02332222 02222222 00222220 00000000 00000000"),
        tone_patch("22222222 22222222 22222222 22222222 22222222 02222220 00222200 00000000"),
    ]
)
"""Stones (4, 8, 8) that hang on the foot's last line, so that it does not end along a ruler."""
BOULDERS = np.array(
    [
        tone_patch("00000000 00333000 03332200 03322220 32222222 22222222 02222220 00000000"),
        tone_patch("00000000 00000000 00033300 00333220 03322222 02222222 00222220 00000000"),
    ]
)
"""Boulders (2, 8, 8) that lie beside the foot."""


def lay_footing(foot: np.ndarray, lines: int, seed: int) -> np.ndarray:
    """What lies before a foot (W,) bool: (lines, W) int64 of NOTHING, SHADOW, DARK and PALE."""
    there: np.ndarray = np.asarray(foot.reshape(-1, CELL).any(axis=1))
    column = np.arange(len(there))
    rows = -(-lines // CELL)
    dark, sheet = there, []
    for row in range(rows):
        sheet.append(_shade_row(dark, min(row, len(GAPS) - 1)))
        dark = dark | np.roll(dark, 1) | np.roll(dark, -1)
    stones = np.where(there[:, None, None], STONES[pick(seed, len(STONES), column, 1)], 0)
    beside = ~there & (np.roll(there, 2) | np.roll(there, -1) | np.roll(there, -2))
    lone = beside & (unit(seed, column, 2) < 0.5)
    boulders = BOULDERS[pick(seed, len(BOULDERS), column, 3)]
    stones = np.where(lone[:, None, None], boulders, stones)
    first = stones.transpose(1, 0, 2).reshape(CELL, -1)
    sheet[0] = np.where(first > 0, first, sheet[0])
    return np.concatenate(sheet)[:lines]


def _shade_row(cells: np.ndarray, number: int) -> np.ndarray:
    """Shadow (8, W) over a row of cells (C,) bool, tapered at both ends."""
    x = np.arange(CELL)
    ends_left, ends_right = ~np.roll(cells, 1), ~np.roll(cells, -1)
    shown = np.ones((len(cells), CELL, CELL), dtype=bool)
    shown[ends_left] = x[::-1] < TAPER[:, None]
    shown[ends_right & ~ends_left] = x < TAPER[:, None]
    shown &= cells[:, None, None]
    shown[:, list(GAPS[number])] = False
    return np.where(shown, SHADOW, NOTHING).transpose(1, 0, 2).reshape(CELL, -1)
