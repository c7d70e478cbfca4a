"""Uneven turf before built things: banks with a grassy edge, earth and stones under it."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import profile
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet
from genbg.paint.parts.marks import tone_patch

FRINGE = np.array([6, 8, 9, 7, 5, 6, 8, 7])
"""How far grass hangs over the edge, column by column of a cell."""
EARTH = tone_patch(
    "2222222222112222 2223333222112222 2234443322222222 2233332212222222 "
    "2213321122222212 2221111222222112 2222222222222222 2211222222233222 "
    "2211222223443322 2222222223333112 2222222222111122 2222112222222222 "
    "2222112222222222 2233222222221122 2332112222221122 2211122222222222"
)
"""Tones of the earth, two cells by two: stones and holes in it."""


def bank_levels(columns: int, highest: int, flat: slice | None, seed: int) -> np.ndarray:
    """Cells (C,) int64, 1..highest, that the turf rises in every cell column.

    flat: columns that lie at the highest level, so that a building stands on them
    """
    swell = profile(columns, hash_words(seed, "bank"), 6, 2)
    low, high = float(swell.min()), float(swell.max())
    level = 1 + ((swell - low) / max(high - low, 0.01) * (highest - 0.01)).astype(np.int64)
    if flat is not None:
        level[np.arange(flat.start, flat.stop) % columns] = highest
    return level


def heap_bank(sheet: Sheet, levels: np.ndarray) -> None:
    """Paint the bank over what stands there, in place."""
    x = np.arange(sheet.width)
    middle = (x - CELL // 2) // CELL
    along = (x - CELL // 2) % CELL
    last, after = levels[middle % len(levels)], levels[(middle + 1) % len(levels)]
    top = sheet.foot - last * (CELL - along) - after * along
    down = np.arange(len(sheet.ink))[:, None] - top[None, :]
    leaves, soil = sheet.tones.row("leaves"), sheet.tones.row("soil")
    y = np.arange(len(sheet.ink))[:, None]
    tone = np.clip(EARTH[y % len(EARTH), x % len(EARTH)] - (down > 2 * CELL), DEEP, RIM)
    ink = soil[tone]
    fringe = FRINGE[x % CELL]
    ink = np.where(down < fringe + 2, soil[DEEP], ink)
    for limit, level in ((fringe, SHADE), (fringe - 2, BETWEEN), (fringe - 4, LIT), (2, RIM)):
        ink = np.where(down < limit, leaves[level], ink)
    sheet.ink[:] = np.where(down >= 0, ink, sheet.ink)
