"""Creepers: ivy that spills over an edge in strands of leaves, its lower end ragged.

A bunch is drawn once as a stamp of whole cells and hung again elsewhere, turned over or not, so
that much ivy costs few tiles.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL, remove_strays
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import Sheet

LEAF = np.array([[-1, 1, 0, -1], [2, 1, 0, 0], [1, 1, 0, -1], [-1, 0, -1, -1]])
"""Tones of a leaf over the depth it hangs in; -1 see-through."""
SMALL_LEAF = np.array([[1, 1, -1], [1, 0, 0], [-1, 0, -1]])
SIZES = ((5, 3), (3, 4), (6, 5))
"""Cells across and down of the bunches that there are."""
ABOVE = 4
"""Lines by which a bunch rises above the edge that it hangs over."""


def draw_bunch(columns: int, rows: int, seed: int) -> np.ndarray:
    """Tones (8 * rows, 8 * columns), -1 see-through, of one bunch for light from the left."""
    width, height = columns * CELL, rows * CELL
    piece = np.full((height, width), -1, dtype=np.int64)
    count = width // 4
    lengths = [_strand(n, count, height, seed) for n in range(count)]
    for n, long in enumerate(lengths):
        x = 4 * n
        # The shade behind the leaves, where a strand beside it hangs as far.
        beside = max(lengths[max(0, n - 1)] if n else 0, [*lengths, 0][n + 1])
        piece[2 + 2 * (n % 2) : max(0, min(long, beside) - 6), x : x + 4] = 0
    for n, long in enumerate(lengths):
        for y in range(pick_one(seed, 3, n, "up"), long - 2, 4):
            side = (y // 4 + n) % 2
            last = y + 4 >= long - 2
            level = 2 if y < 5 else 1
            level += pick_one(seed, 4, n, y, "lit") == 0
            leaf = SMALL_LEAF if last else LEAF
            _blot(piece, np.where(leaf >= 0, np.minimum(leaf + level, 4), -1), 4 * n - side, y)
    return remove_strays(remove_strays(piece + 1)) - 1


def _strand(n: int, count: int, height: int, seed: int) -> int:
    """Lines that strand n of `count` hangs down: long in the middle, every other one shorter."""
    off = abs(2 * n + 1 - count)
    share = 100 - 62 * off * off // (count * count)
    share = share * (100 - pick_one(seed, 34, n, "long") - (24 if n % 2 else 0)) // 100
    return max(7, height * share // 100)


def _blot(piece: np.ndarray, part: np.ndarray, x: int, y: int) -> None:
    left, right = max(0, x), min(piece.shape[1], x + part.shape[1])
    bottom = min(len(piece), y + len(part))
    cut = part[: bottom - y, left - x : right - x]
    place = piece[y:bottom, left:right]
    place[...] = np.where(cut >= 0, cut, place)


def hang_creepers(
    sheet: Sheet, row: np.ndarray, tops: np.ndarray, share: float, seed: int, few: bool
) -> None:  # fmt: skip
    """Bunches over an edge, in place.

    row: inks (5,) of the leaves, a tone each; tops: (C,) line of the edge in every cell column, or
    -1 where none is; share: of the edge, how much is grown over, 0..1
    few: leave out the largest bunch, and hang all the same way round
    """
    sizes = SIZES[: len(SIZES) - few]
    stamps = [draw_bunch(w, h, hash_words(seed, n)) for n, (w, h) in enumerate(sizes)]
    spacing = max(5, round(5 / max(share, 0.05)))
    for n, column in enumerate(jittered(len(tops), spacing, seed, 0.9).tolist()):
        # Neighbours take different bunches, so that none is seen twice side by side.
        turn, which = divmod((n + pick_one(seed, 2, "first")) % (2 * len(stamps)), len(stamps))
        stamp = stamps[which]
        below = tops[(column + np.arange(stamp.shape[1] // CELL)) % len(tops)]
        if below.min() < 0 or below.max() != below.min():
            continue
        piece = np.where(stamp >= 0, row[np.maximum(stamp, 0)], 0)
        foot = int(below[0]) - ABOVE + len(stamp)
        sheet.put(piece, column, foot, by_light=False, flip=turn == 1 and not few)
