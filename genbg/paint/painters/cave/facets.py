"""Facets: the broken face of rock seen from near, as a patch of angular stones that repeats.

Stones lie flat, wider than high, in a patch of whole cells that wraps both ways. Light and shade
are given stone by stone, so a face of rock turns dark along the outlines of its stones; and since
the stones of all copies are the same, it costs the patch's cells in a few mixtures of tones.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.paint.craft.edges import CELL, remove_strays, shifted
from genbg.paint.craft.scatter import pick, pick_one, unit

ROW = 8
"""Lines from one course of stones to the next in the patch."""
FLAT = 1.7
"""How much wider than high stones are."""

STREAKS = np.array(
    [
        [[[sign == "#" for sign in row] for row in piece.split()] for piece in kind]
        for kind in (
            (
                "........ ........ .....### ...##### ........ ........ ....#### ........",
                "........ ........ ######## ######## ........ ........ ######## ........",
                "........ ........ ####.... ##...... ........ ........ ######.. ........",
            ),
            (
                "........ ..###### ........ ........ .....### ........ ........ ........",
                "........ ######## ........ ........ ######## ........ ........ ........",
                "........ ###..... ........ ........ #####... ........ ........ ........",
            ),
        )
    ],
    dtype=np.int64,
)
"""Pixels (2, 3, 8, 8) of streaks in dark rock: left end, middle and right end, in two kinds."""


@functools.lru_cache(maxsize=16)
def stone_patch(columns: int, rows: int, seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Stones of a patch of columns x rows cells.

    Returns the number of each pixel's stone (h, w), the change of tone (h, w) that its edges make
    (1 at upper and left edges, -1 at lower and right ones), and middles (n, 2) as x, y.
    """
    width, height = columns * CELL, rows * CELL
    middles = _middles(width, height, seed)
    y, x = np.mgrid[0:height, 0:width]
    best = np.full((height, width), 1 << 30)
    stone = np.zeros((height, width), dtype=np.int64)
    for n, (mx, my) in enumerate(middles.tolist()):
        across = (x - mx + width // 2) % width - width // 2
        down = (y - my + height // 2) % height - height // 2
        away = 100 * across * across + int(100 * FLAT * FLAT) * down * down
        stone = np.where(away < best, n, stone)
        best = np.minimum(best, away)
    change = np.zeros((height, width), dtype=np.int64)
    for dx, dy, tone in ((-1, 0, 1), (0, -1, 1), (1, 0, -1), (0, 1, -1)):
        other = np.roll(stone, (-dy, -dx), axis=(0, 1))
        change = np.where(other != stone, tone, change)
    change = np.where(remove_strays(change) == change, change, 0)
    for made in (stone, change, middles):
        made.setflags(write=False)
    return stone, change, middles


def _middles(width: int, height: int, seed: int) -> np.ndarray:
    """Middles (n, 2) of stones in courses, each course a hashed way along."""
    found = []
    for course in range(height // ROW):
        at = pick_one(seed, width, "course", course)
        end = at + width - 10
        while at < end:
            low = course * ROW + pick_one(seed, 5, course, at) + 2
            found.append((at % width, low % height))
            at += 12 + pick_one(seed, 14, course, at, "wide")
    return np.array(found)


def lay_stones(
    level: np.ndarray,
    seed: int,
    columns: int = 8,
    rows: int = 4,
    deepest: int = 1,
    seams: float = 1.0,
) -> np.ndarray:
    """Tones (8R, 8C) of a face of stones.

    level: (R, C) tone of the rock in each cell; a stone takes that of the cell it has its middle in
        (and of the nearest copy of it), give or take one by its own luck
    deepest: the tone of rock in the dark, where no stone shows
    seams: share of the stones whose edges show; the others run together where they are alike
    """
    stone, change, middles = stone_patch(columns, rows, seed)
    lines, width = level.shape[0] * CELL, level.shape[1] * CELL
    y, x = np.arange(lines)[:, None], np.arange(width)[None, :]
    high, wide = stone.shape
    which = stone[y % high, x % wide]
    mx, my = middles[which, 0], middles[which, 1]
    across = (x - mx + wide // 2) % wide - wide // 2
    down = (y - my + high // 2) % high - high // 2
    row = np.clip((y - down) // CELL, 0, level.shape[0] - 1)
    column = (x - across) // CELL % level.shape[1]
    luck = np.array([pick_one(seed, 3, "luck", n) - 1 for n in range(len(middles))])
    edged = np.array([pick_one(seed, 1000, "seam", n) < seams * 1000 for n in range(len(middles))])
    base = level[row, column]
    tone = base + np.where(luck[which] < 0, -1, 0) + (change * edged[stone])[y % high, x % wide]
    return np.where(base <= deepest, deepest, np.maximum(tone, deepest))


def lay_strata(rows: int, columns: int, seed: int, share: float) -> np.ndarray:
    """Pixels (8*rows, 8*columns) bool of level streaks, in a share of the cell rows.

    A streak runs over several cells and begins and ends ragged: three tiles, in two kinds.
    """
    piece = np.zeros((rows, columns), dtype=np.int64)
    for row in range(rows):
        if unit(seed, row, 5)[0] >= share:
            continue
        at = pick_one(seed, 6, "streak", row)
        while at < columns - 2:
            size = min(3 + pick_one(seed, 7, row, at, "long"), columns - at)
            piece[row, at : at + size] = 2
            piece[row, at], piece[row, at + size - 1] = 1, 3
            at += size + 2 + pick_one(seed, 9, row, at, "gap")
    kind = pick(seed, len(STREAKS), np.arange(rows), 6)[:, None]
    cells = np.concatenate([np.zeros_like(STREAKS[:, :1]), STREAKS], axis=1)[kind, piece]
    return cells.transpose(0, 2, 1, 3).reshape(rows * CELL, columns * CELL) == 1


def upper_edges(mask: np.ndarray, deep: int = 1) -> np.ndarray:
    """Pixels (N, W) bool of a mask with what is not it at most `deep` lines above."""
    above = np.zeros_like(mask)
    for n in range(1, deep + 1):
        above |= ~shifted(mask, 0, -n)
    return mask & above


def cell_rows(top: int, lines: int) -> int:
    """Cell rows of the screen that lines from screen line `top` on lie in."""
    return -(-(lines + top % CELL) // CELL)
