"""Surf: foam where the sea breaks at the foot of rock, a cell row of few tiles."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick, unit
from genbg.paint.parts.marks import tone_patch

FOAM = np.array(
    [
        tone_patch("00000000 00020000 00222200 02222220 22112222 21001122 10220011 00111100"),
        tone_patch("00000000 00000000 00000220 00022220 20022112 22221002 11110221 00001100"),
        tone_patch("00000000 00000000 00000000 00000220 00002222 00022112 02211001 00000110"),
        tone_patch("00000000 00000000 00000000 02200000 22220000 21122000 10011220 01100000"),
    ]
)
"""Foam (4, 8, 8) at the foot of rock in the sea: two cells to lie along it, its left and right end;
0 none, 1 dim, 2 bright. Cells meet in the same column, so that no border shows."""
REACH = 3
"""Cells that surf reaches beyond the foot at the most."""


def break_sea(foot: np.ndarray, reach: float, seed: int) -> np.ndarray:
    """Foam (8, W) int64 along a foot (W,) bool in the sea: 0 none, 1 dim, 2 bright.

    reach: how far it goes beyond the foot, 0..1
    """
    wet: np.ndarray = np.asarray(foot.reshape(-1, CELL).any(axis=1))
    column = np.arange(len(wet))
    for n in range(int(reach * REACH + 0.5)):
        far = unit(seed, n, column) < 0.7
        wet = wet | (np.roll(wet, 1) & far) | (np.roll(wet, -1) & far)
    inner: np.ndarray = np.roll(wet, 1) & np.roll(wet, -1)
    kind = np.where(inner, pick(seed, 2, column), np.where(np.roll(wet, 1), 3, 2))
    cells = np.where(wet[:, None, None], FOAM[kind], 0)
    return cells.transpose(1, 0, 2).reshape(CELL, -1)
