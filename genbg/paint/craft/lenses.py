"""Lenses of calm water: ripples that are flat and close far away, long and high near.

Water seen at a low angle shows bands, each as high as the perspective makes it; along a band crests
and hollows take turns, and each is a lens with round ends. Lenses repeat after `PERIOD` columns, so
that a lake as wide as the plane stores few tiles.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.fields import pnoise1
from genbg.paint.craft.scatter import hash_words

PERIOD = 128
"""Columns after which ripples repeat; a multiple of 8."""
FIRST_WAVE = 11.0
"""Length of a wave at the far shore, pixels."""
GROWTH = 0.62
"""Pixels by which a wave is longer for each line nearer to us."""


def band_heights(lines: int) -> list[int]:
    """Heights of bands from the far shore down, 1 to 5 lines, until they fill the lines."""
    heights: list[int] = []
    gone = 0
    while gone < lines:
        heights.append(min(5, 1 + gone // 13))
        gone += heights[-1]
    return heights


def ripples(lines: int, width: int, seed: int, first: int = 0, period: int = PERIOD) -> np.ndarray:
    """Presence (lines, width) float64 of lenses, about -1.2 .. 0.8: a crest where it is above 0.

    first: lines from the far shore to the first row; period: columns after which they repeat
    """
    x = np.arange(period) / period
    rows: list[np.ndarray] = []
    for n, height in enumerate(band_heights(lines + first)):
        wave = FIRST_WAVE + GROWTH * len(rows)
        cells = max(2, round(period / wave * 2.0))
        offset = hash_words(seed, n) & 255
        crest = pnoise1(x * cells, 2, 0.5, 2.0, cells, (offset, offset + 97 & 255))
        for line in range(height):
            off = (line + 0.5) / height * 2.0 - 1.0
            rows.append(crest.astype(np.float64) * 1.9 - 0.34 * off * off)
    field = np.stack(rows)[first : first + lines]
    return np.tile(field, (1, -(-width // period)))[:, :width]
