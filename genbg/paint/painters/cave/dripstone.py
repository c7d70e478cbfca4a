"""Dripstone: stone that hangs from a ceiling or stands on a floor, on the cell grid.

A stone is drawn by two paths down the lines that mirror each other, so its halves are flips.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, pick_one, scatter, unit

NOTHING, DEEP, DARK, SHADE, BETWEEN, LIT, RIM = range(7)
"""Tones of rock, from what is not there to the rim of light along an opening."""


@dataclass(frozen=True)
class Stone:
    """One stone. x: its middle, a multiple of 8; root: cell row at which it is rooted; rows: its
    length in cells; half: half its width at the root, in pixels; hangs: or it stands; seed"""

    x: int
    root: int
    rows: int
    half: int
    hangs: bool
    seed: int


def place_stones(job: Job, tops: np.ndarray, bottoms: np.ndarray) -> list[Stone]:
    """Stones below a ceiling and on a floor, given at the cell borders (C,); short ones first."""
    stones = []
    for hangs, share in ((True, job.params.hanging), (False, job.params.standing)):
        if share <= 0:
            continue
        seed = hash_words(job.seed, "stones", int(hangs))
        apart = max(2, int(9 - 7 * share))
        places = scatter(len(tops), 1, apart, seed, 12)[:, 0]
        for n, column in enumerate(np.sort(places).tolist()):
            room = int(bottoms[column] - tops[column])
            long = job.params.stone * (0.25 + 0.75 * float(unit(seed, column, 1)[0]))
            long *= 1.0 if hangs else 0.7
            rows = int(min(long, room * 0.8) / CELL)
            if rows < 1:
                continue
            half = 4 + 4 * ((rows + pick_one(seed, 2, column)) // 2)
            root = tops[column] // CELL - 1 if hangs else -(-bottoms[column] // CELL) + 1
            rows += 1
            stones.append(Stone(column * CELL, int(root), rows, half, hangs, hash_words(seed, n)))
    return sorted(stones, key=lambda stone: (stone.rows, stone.x))


def shape_stone(job: Job, stone: Stone, rows: int) -> tuple[np.ndarray, np.ndarray]:
    """Tones (8*rows, w) of a stone, 0 outside, and the columns (w,) of the plane it stands in."""
    row = np.arange(rows + 1)
    along = (row - stone.root) if stone.hangs else (stone.root - row)
    share = along / stone.rows
    thin = 1.0 - share * (1.5 - 0.5 * share)
    quantum = 4 if job.thrift > 0.7 else 2
    half = np.where((share >= 0) & (share < 1), snap(stone.half * thin, quantum), 0)
    half = np.where(share < 0, half[np.clip(stone.root, 0, rows)], half)
    half = np.where((share >= 0) & (share < 1), np.maximum(half, quantum // 2), half)
    inner = half // 2
    paths = draw_paths(np.stack([-half, half, -inner, inner]), stone.seed, 1, 0)
    cells = -(-stone.half // CELL)
    x = np.arange(-cells * CELL, cells * CELL)
    inside = (x >= paths[0][:, None]) & (x < paths[1][:, None])
    line = np.arange(rows * CELL)[:, None]
    ends = sorted(
        (stone.root * CELL, (stone.root + (1 if stone.hangs else -1) * stone.rows) * CELL)
    )
    inside &= (line >= ends[0]) & (line < ends[1])
    tone = np.where(x < paths[2][:, None], LIT, np.where(x < paths[3][:, None], BETWEEN, SHADE))
    tone = np.where(x >= paths[1][:, None] - 2, DARK, tone)
    return np.where(inside, tone, NOTHING), (stone.x + x) % job.width
