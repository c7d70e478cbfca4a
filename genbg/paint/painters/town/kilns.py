"""Bottle kilns as pieces: round brick ovens with a neck, iron bands, a glowing mouth and smoke.

All stand on whole cells, drawn for light from the left.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Tones, lay
from genbg.paint.parts.masonry import arch_mask, arch_ring

NECK, SHOULDER = 2, 4
"""Cell rows of the neck, and of the shoulder under it; the rest is straight wall."""
SHOULDERS = (28, 28, 29, 31, 34, 39, 45, 51, 56, 60, 62, 63, 64, 64, 64, 64)
"""Half widths down the shoulder, every other line, sixty-fourths of the widest."""
ROUND = (RIM, LIT, LIT, LIT, BETWEEN, BETWEEN, SHADE, SHADE, SHADE, DEEP)
"""Tones across a round wall, in tenths of its width."""
BRICKS = np.array(
    [
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [1, 1, 1, 1, 1, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 1, 1, 1, 1],
    ]
)
"""Where courses of bricks show, one cell."""
PUFFS = ((0, 0, 4), (2, -6, 5), (6, -13, 7), (14, -20, 8), (25, -26, 8), (36, -31, 6), (46, -34, 4))
"""Smoke from the lip on: pixels to the right and down, and the radius of each puff."""


def draw_kiln(
    tones: Tones, walls: str, columns: int, rows: int, seed: int, far: bool
) -> np.ndarray:
    """A kiln `columns` cells wide and `rows` high; far: without a mouth or bands."""
    width, height = columns * CELL, rows * CELL
    piece = np.zeros((height, width), dtype=np.int64)
    row = tones.row(walls)
    for y in range(height):
        down = min(max(y - NECK * CELL, 0) // 2, len(SHOULDERS) - 1)
        half = max(3, SHOULDERS[down] * (width // 2) // 64)
        x = np.arange(2 * half)
        tone = np.array(ROUND)[x * len(ROUND) // (2 * half)]
        at = width // 2 - half + x
        tone = np.maximum(tone - BRICKS[y % CELL, at % CELL] * (not far), DEEP)
        piece[y, at] = row[tone]
    lip = 4
    piece[lip - 1 : lip] = np.where(piece[lip - 1 : lip] > 0, row[DEEP], 0)
    if not far:
        for band in (NECK * CELL, (NECK + SHOULDER) * CELL - 2):
            iron = piece[band : band + 2]
            iron[iron > 0] = row[DEEP]
        _open_mouth(tones, piece, walls, seed)
    return piece


def _open_mouth(tones: Tones, piece: np.ndarray, walls: str, seed: int) -> None:
    """The mouth with the fire in it, in place, and the light on the bricks around it."""
    span, lines = 2 * CELL, 2 * CELL + 2
    middle = piece.shape[1] // 2 // CELL * CELL
    left, top = middle - CELL, len(piece) - lines
    ring, joint = arch_ring(span, lines, 3)
    lay(piece, np.where(ring, tones(walls, RIM), 0), left - 3, top - 3)
    lay(piece, np.where(joint, tones(walls, SHADE), 0), left - 3, top - 3)
    outer = np.where(arch_mask(span, lines), tones("window", DEEP), 0)
    lay(piece, outer, left, top)
    inner = np.where(arch_mask(span - 4, lines - 4), tones("window", LIT), 0)
    lay(piece, inner, left + 2, top + 4)
    core = np.where(arch_mask(span - 8, lines - 9), tones("window", RIM), 0)
    lay(piece, core, left + 4, top + 9)
    if pick_one(seed, 2, "grate"):
        piece[-6:-5, left + 1 : left + span - 1] = tones(walls, DEEP)
        piece[-2:, left + 1 : left + span - 1] = tones(walls, DEEP)


def draw_smoke(tones: Tones, columns: int, rows: int) -> np.ndarray:
    """Smoke (8 * rows, 8 * columns) that rises from the middle of its first two columns' foot."""
    height, width = rows * CELL, columns * CELL
    y, x = np.arange(height)[:, None], np.arange(width)[None, :]
    piece = np.zeros((height, width), dtype=np.int64)
    row = tones.row("smoke")
    # All puffs in shade, then what of each is lit, so that they melt into one plume.
    for tone, aside, less in ((DEEP, 0, 0), (BETWEEN, 1, 1), (RIM, 2, 3)):
        for right, down, radius in PUFFS:
            cx, cy, size = CELL + right - aside, height - 3 + down - aside, radius - less
            inside = (2 * (x - cx) + 1) ** 2 + (2 * (y - cy) + 1) ** 2 < 4 * size * size
            piece[inside] = row[tone]
    return piece
