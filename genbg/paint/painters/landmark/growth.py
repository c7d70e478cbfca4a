"""What grows on rock: green along level tops, with drips over the edge, and single trees.

Both take the ramp `green` of the sheet they are put on.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick_one
from genbg.paint.craft.sheet import Sheet
from genbg.paint.parts.trees import CONIFERS

DRIPS = np.array([[4, 5, 7, 8, 6, 4, 5, 4], [4, 6, 9, 10, 7, 5, 4, 4]])
"""How far green hangs over an edge, column by column."""
TUFTS = np.array([[1, 1, 2, 2, 1, 0, 1, 1], [1, 2, 3, 3, 2, 1, 1, 0]])
"""How far it stands above the edge."""


def stand_trees(sheet: Sheet, outline: np.ndarray, share: float, seed: int) -> None:
    """Trees in groups on level tops, in place; what they stand on is painted over their feet.

    outline: (W,) first line of the rock; share: of the width, how much lies under groups, 0..1
    """
    row = sheet.tones.row("green")
    for column in range(sheet.columns):
        group = pick_one(seed, 100, column // 5) < share * 100
        if not group or pick_one(seed, 3, column, "gap") == 0:
            continue
        top = outline[column * CELL : column * CELL + CELL]
        if int(top.max() - top.min()) > 4 or int(top.max()) > len(sheet.ink) * 2 // 3:
            continue
        stamp = CONIFERS[pick_one(seed, len(CONIFERS), column, "kind")]
        foot = -(-int(top.max()) // 4) * 4 + 4
        sheet.put(np.where(stamp >= 0, row[np.maximum(stamp, 0)], 0), column, foot)
