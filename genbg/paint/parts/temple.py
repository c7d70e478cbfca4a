"""The front of a temple that has half fallen: steps, columns, a dark hall with a lamp, a gable.

It stands on whole cells for light from the left; what has fallen is its right end.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Tones, art, blank, lay
from genbg.paint.parts.lamps import draw_halo
from genbg.paint.parts.masonry import arch_mask, arch_ring, blocks, broken_line
from genbg.paint.parts.relics import draw_beam, draw_column

PLACES = (0, 3, 6, 11, 14, 17)
"""Cell columns of the columns; the gap in the middle holds the door."""
STEPS = 3
"""Steps before it, a cell high and a cell deeper at each end than the one above."""
FRONT = PLACES[-1] + 2
WIDTH = FRONT + 2 * STEPS
LOST = (0, 0, 0, 0, 3, 5)
"""Cells that have fallen from each column."""
STANDS = (11, 14)
"""Cell columns of gable and of beam that are left."""
SLOPE = 3
"""Pixels along a gable for each line that it rises."""
LAMP = "...d.... ...d.... ..ddd... .dMMMd.. .dMLMd.. .dLLLd.. .dLLLd.. .dMLMd.. ..ddd..."


def draw_temple(tones: Tones, stone: str, rows: int, seed: int) -> np.ndarray:
    """A temple's front `rows` cells high, at least 11: inks (8 * rows, 8 * WIDTH)."""
    piece = blank(rows, WIDTH)
    gable = FRONT * CELL // 2 // SLOPE // CELL
    top = gable * CELL
    floor = (rows - STEPS) * CELL
    _hall(tones, stone, piece, top + 2 * CELL, floor)
    for n, place in enumerate(PLACES):
        lost = LOST[n] + (pick_one(seed, 2, n, "lost") if LOST[n] else 0)
        high = max(2, rows - STEPS - gable - 2 - lost)
        column = draw_column(tones, stone, high, not LOST[n], hash_words(seed, n))
        lay(piece, column, (STEPS + place) * CELL, floor - len(column))
    roof = _gable(tones, stone, top)
    beam = draw_beam(tones, stone, STANDS[1] - 2)
    over = np.concatenate([roof, np.pad(beam, ((0, 0), (0, roof.shape[1] - beam.shape[1])))])
    end = broken_line(len(over) // CELL, hash_words(seed, "end"), 12)
    y = np.arange(len(over))
    # Each course of the gable ends a stone before the one under it.
    kept = np.where(y < top, STANDS[0] * CELL + y // 4 * 2 - end, STANDS[1] * CELL - 4 - end)
    over[np.arange(roof.shape[1])[None, :] >= kept[:, None]] = 0
    lay(piece, over, STEPS * CELL, 0)
    _stairs(tones, stone, piece, floor)
    return piece


def _gable(tones: Tones, stone: str, lines: int) -> np.ndarray:
    """The gable (lines, 8 * FRONT): a rim along its slope, a round hole in its field."""
    width = FRONT * CELL
    x, y = np.arange(width)[None, :], np.arange(lines)[:, None]
    rise = np.minimum(x, width - 1 - x) // SLOPE
    deep = y - (lines - rise)
    tone = BETWEEN + blocks(lines // CELL, FRONT, 1, 5)
    for limit, level in ((6, DEEP), (5, SHADE), (4, LIT), (2, RIM)):
        tone = np.where(deep < limit, level, tone)
    square = (2 * x + 1 - width + 2 * CELL) ** 2 + (2 * y + 1 - 2 * (lines - 10)) ** 2
    tone = np.where(square < 18 * 18, LIT, tone)
    tone = np.where(square < 12 * 12, DEEP, tone)
    return np.where(deep < 0, 0, tones.row(stone)[np.clip(tone, DEEP, RIM)])


def _hall(tones: Tones, stone: str, piece: np.ndarray, top: int, floor: int) -> None:
    """The dark wall behind the columns with its door, in place; light shines out of the door."""
    left, right = (STEPS + 1) * CELL, (STEPS + PLACES[3] + 2) * CELL
    rows, columns = (floor - top) // CELL, (right - left) // CELL
    tone = np.where(blocks(rows, columns, 2, 4, False) < 0, DEEP, SHADE)
    tone[:6] = DEEP
    for place in PLACES[:4]:
        shade = (place + 1) * CELL
        tone[:, max(0, shade) : shade + 4] = DEEP
    wall = tones.row(stone)[tone]
    door = arch_mask(3 * CELL - 6, floor - top - CELL)
    ring, joint = arch_ring(3 * CELL - 6, floor - top - CELL, 3)
    x = (PLACES[2] + 1) * CELL + 3
    hole = np.where(door, tones(stone, DEEP), 0)
    lay(wall, np.where(ring & ~joint, tones(stone, BETWEEN), 0), x - 3, CELL - 3)
    lay(wall, hole, x, CELL)
    halo = draw_halo(20, tones("glow", DEEP), tones("glow", RIM))
    lay(wall, halo, x + 9 - len(halo) // 2, 3 * CELL + 4 - len(halo) // 2)
    lamp = {"d": tones(stone, DEEP), "L": tones("lamp", RIM), "M": tones("lamp", DEEP)}
    lay(wall, art(LAMP, lamp), x + 5, 2 * CELL + 4)
    lay(piece, wall, left, top)


def _stairs(tones: Tones, stone: str, piece: np.ndarray, floor: int) -> None:
    """The steps, in place: light on each tread, a joint here and there."""
    row = tones.row(stone)
    for n in range(STEPS):
        first, end = (STEPS - 1 - n) * CELL, (WIDTH - STEPS + 1 + n) * CELL
        part = piece[floor + n * CELL : floor + (n + 1) * CELL, first:end]
        part[:] = row[np.array([RIM, LIT, BETWEEN, BETWEEN, BETWEEN, BETWEEN, SHADE, DEEP])][
            :, None
        ]
        across = (np.arange(first, end) + n % 2 * 2 * CELL) % (4 * CELL)
        part[2:7, across == 4 * CELL - 1] = row[SHADE]
        part[1:7, 0] = row[RIM]
        part[:7, -3:] = row[SHADE]
