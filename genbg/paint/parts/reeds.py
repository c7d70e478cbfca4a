"""Reeds on a bank, where it dips to the water."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.ground import grass
from genbg.paint.craft.leaves import LeafSheet
from genbg.paint.craft.scatter import bell, hash_words, unit


def grow_reeds(
    sheet: LeafSheet, crest: np.ndarray, fewest: int, tone: tuple[float, float], seed: int
) -> None:
    """Grow stands of reeds in the lowest third of a bank: `fewest`, or one more.

    crest: (W,) row of the bank's edge; tone: the least of a blade, and how much more one may have
    """
    width = len(crest)
    low = np.argsort(-crest, kind="stable")[: width // 3]
    for n in range(fewest + seed % 2):
        own = hash_words(seed, n)
        middle = int(low[own % len(low)])
        number = np.arange(9 + own % 9)
        x = np.floor(middle + 8.0 * bell(own, number)).astype(np.int64)
        y = np.floor(crest[x % width] + 3).astype(np.int64)
        tall = 9.0 + 8.0 * unit(own, number, 4)
        grass(sheet, x, y, tall, tone[0] + tone[1] * unit(own, number, 5), own, 1)
