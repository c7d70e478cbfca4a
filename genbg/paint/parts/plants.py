"""Plants that grow on built things, as stamps: ivy, bushes, grass, small trees."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from genbg.paint.craft.edges import CELL, remove_strays
from genbg.paint.craft.scatter import pick_one
from genbg.paint.craft.sheet import Sheet, art

IVY = (
    "..33.33. .3433343 33332332 33322333 23332223 22322332 12233221 .2222122 "
    ".1221221 ..12.121 ..1..1..",
    "33.333.3 43332333 33333233 33233222 23322332 22223322 21222222 .221122. .12..21. ..1...1.",
    ".33..... 34333.33 33334333 23333332 33322333 12333222 22222222 .2221221 ..121.12 ...1...1",
)
BUSH = (
    "........................ .......44.33............ .....4433343.44......... "
    "....4433333333343....... ..4433333323333334.33... .443333322333333343433.. "
    "4433332222333233333333.. 33332223332222333323333. 23222333322223322233332. "
    "223333222222332222333222 122232221122222112222221 112221111111221111122111"
)
FERN = (
    "...4........4... .4..43....34..4. ..4..33..33..4.. 4..3.3333.33.34. .33.32333233.33. "
    "..33322332233.3. 3..3222222233... .332221122223332 ..2221111122222. .11111111111111."
)
GRASS = (
    ".4...4.. .3..43.4 43.333.3 33333333 22322232 22222222 12212221 11111111",
    "...4..4. 4..3.43. 34.33333 33323333 32322322 22221222 12212122 11111111",
)
TREE = (
    ".........4444........... ......4433333444........ ....44333333333334...... "
    "...4333333223333333..... ..43333322233332333.44.. .4433332222333322334333. "
    ".4333322233322222333332. 433332223333322223333222 333322223333222222332222 "
    "233222222332222112222221 .2222111222221111222211. ..22111..12211..1121..... "
    "...11.....121......1.... ..........121........... ..........121........... "
    ".........1221..........."
)


def draw_plant(text: str, inks: Mapping[str, int]) -> np.ndarray:
    """A plant of this file as a piece, its leaves cleared of single pixels."""
    return remove_strays(art(text, inks))


def hang_ivy(
    sheet: Sheet, inks: Mapping[str, int], tops: np.ndarray, solid: np.ndarray, share: float,
    seed: int,
) -> None:  # fmt: skip
    """Ivy over edges, in bunches of a cell that hang down in hashed lengths, in place.

    tops: (C,) line of the edge in every cell column, or -1; solid: (H, W) bool, what ivy clings to
    """
    stamps = [draw_plant(text, inks) for text in IVY]
    long = _bunches(len(tops), share, seed)
    for place in np.flatnonzero((long > 0) & (tops >= 0)).tolist():
        x = place * CELL
        for n in range(int(long[place])):
            line = int(tops[place]) - 2 + n * CELL
            below = solid[max(0, line + 2) : line + 2 + CELL, x : x + CELL]
            if len(below) < CELL or not below[2:].all():
                break
            stamp = stamps[pick_one(seed, len(stamps), place, n)]
            sheet.put(stamp, place, line + len(stamp), False)


def _bunches(columns: int, share: float, seed: int) -> np.ndarray:
    """Cells (C,) int64 that ivy hangs down in each cell column, in bunches long in the middle."""
    long = np.zeros(columns, dtype=np.int64)
    for n in range(columns // 5):
        if pick_one(seed, 1000, n, "here") >= share * 1400:
            continue
        first = n * 5 + pick_one(seed, 4, n, "first")
        wide = 1 + pick_one(seed, 5, n, "wide")
        deep = 1 + pick_one(seed, 4, n, "deep")
        for k in range(wide):
            off = abs(2 * k - wide + 1) // 2
            at = (first + k) % columns
            long[at] = max(long[at], deep - off + pick_one(seed, 2, n, k), 1)
    return long
