"""Streaks: thin clouds drawn out by the wind, in stamps whose middles repeat one cell."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dither import dither_levels
from genbg.paint.craft.edges import CELL, paste
from genbg.paint.craft.scatter import hash_words, pick, pick_one, scatter
from genbg.paint.painters.clouds.puffs import Shading

SHAPES = ((26, 2), (18, 2), (12, 2), (10, 1), (6, 1))
"""Stamps' widths and heights in cells, from long to short."""
SHORTEST = 10
"""Pixels: a line shorter than this is left out."""
_FRAY = np.array([0, 0, 4, 4, 8, 12, 20, 28])
"""Pixels, at 160 wide, by which a line may end before its neighbours."""
_DASHES = ((3, 8), (12, 4), (20, 2))
"""Beyond a line's end: (gap from the end, length) in pixels of the dashes it breaks up into."""


def draw_streak(columns: int, rows: int, seed: int, shading: Shading) -> np.ndarray:
    """A streak's inks (8 * rows, 8 * columns) int32: a lens of level lines with broken ends."""
    width, height = columns * CELL, rows * CELL
    line = np.arange(height)
    off = (2 * line + 1 - height) / height
    reach = (1.0 - off * off) * (width * 0.5 - 14)
    left = width // 2 - np.floor(reach).astype(np.int64) // 4 * 4
    right = width // 2 + np.floor(reach).astype(np.int64) // 4 * 4
    fray = _FRAY * min(width, 160) // 640 * 4
    left += fray[pick(seed, len(fray), line, 0)]
    right -= fray[pick(seed, len(fray), line, 1)]
    drift = (pick_one(seed, 3, "drift") - 1) * (line - height // 2) * 2
    whole = right - left >= SHORTEST
    across = np.arange(width)[None, :] - drift[:, None]
    mask = (across >= left[:, None]) & (across < right[:, None])
    for gap, length in _DASHES:
        start, stop = right + gap, left - gap
        tail = (across >= start[:, None]) & (across < start[:, None] + length)
        nose = (across < stop[:, None]) & (across >= stop[:, None] - length)
        mask |= (tail | nose) & (right - left > 3 * SHORTEST)[:, None] & (line % 2 == 0)[:, None]
    levels = (shading.steps - 1) * (0.62 - 0.42 * off)[:, None]
    ink = dither_levels(levels, shading.steps, 0, shading.grain, 0.4, width)
    return np.where(mask & whole[:, None], 1 + ink, 0)


def draw_streaks(
    picture: np.ndarray, seed: int, shading: Shading, cover: float, ranks: int, variants: int
) -> None:
    """Scatter streaks over a picture (N, W) in place: long ones above, short ones low and far."""
    lines, width = picture.shape
    rows, columns = lines // CELL, width // CELL
    stamps = [
        [draw_streak(w, h, hash_words(seed, "streak", n, v), shading) for v in range(variants)]
        for n, (w, h) in enumerate(SHAPES)
    ]
    spacing = max(3, round(9 - 6 * cover))
    places = scatter(columns, rows * 3, spacing * 2, hash_words(seed, "places"))
    for n in np.argsort(places[:, 1], kind="stable").tolist():
        column, row = int(places[n, 0]), int(places[n, 1]) // 3
        low = row * len(SHAPES) // rows if ranks > 1 else 1
        size = min(len(SHAPES) - 1, max(0, low + pick_one(seed, 3, n, "size") - 1))
        stamp = stamps[size][pick_one(seed, variants, n, "stamp")]
        paste(picture, stamp, column * CELL, row * CELL)
