"""Masonry: joints, arches, domes and broken tops, all in integers and on whole cells."""

from __future__ import annotations

import math

import numpy as np

from genbg.paint.craft import CELL
from genbg.paint.scatter import pick

BRICKS = np.array(
    [
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, -1],
        [0, 0, 0, 0, 0, 0, 0, -1],
        [-1, -1, -1, -1, -1, -1, -1, -1],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, -1, 0, 0, 0, 0],
        [0, 0, 0, -1, 0, 0, 0, 0],
        [-1, -1, -1, -1, -1, -1, -1, -1],
    ]
)
"""Tone changes of two courses of bricks, one cell."""

FEW_BRICKS = np.array(
    [
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, -1, -1, -1, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, -1, -1, -1, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
    ]
)
"""A few bricks that show through plaster, one cell."""


def blocks(rows: int, columns: int, seed: int) -> np.ndarray:
    """Tone changes (8*rows, 8*columns) int64 of large blocks, a course a cell row.

    Blocks are two cells wide and stand half aside in every other course; a few are a tone darker.
    Light from the left: a rim above and at the left, a joint below and at the right.
    """
    y, x = np.arange(rows * CELL)[:, None], np.arange(columns * CELL)[None, :]
    course = y // CELL
    across = (x + course % 2 * CELL) % (2 * CELL)
    joint = (y % CELL == CELL - 1) | (across == 2 * CELL - 1)
    rim = ((y % CELL == 0) & (across < 2 * CELL - 2)) | ((across == 0) & (y % CELL < CELL - 2))
    number = (x + course % 2 * CELL) // (2 * CELL)
    dark = pick(seed, 7, course, number) == 0
    return np.where(joint, -1, np.where(rim, 1, 0)) - np.where(dark & ~joint, 1, 0)


def half_circle(radius: int) -> np.ndarray:
    """Half-widths (radius,) int64 of a half circle, line by line from its top."""
    return np.array(
        [math.isqrt(4 * radius * radius - (2 * (radius - y) - 1) ** 2) // 2 for y in range(radius)]
    )


def arch_mask(columns: int, lines: int, pointed: bool = False) -> np.ndarray:
    """An opening (lines, 8*columns) bool: a round or pointed head over straight sides."""
    width = columns * CELL
    half = width // 2
    if pointed:
        rise = min(lines, width * 7 // 8)
        y = rise - 1 - np.arange(rise)
        # Each side is part of a circle about the foot of the other one.
        far = np.array([math.isqrt(max(0, width * width - int(n) * int(n))) for n in y])
        reach = np.clip(far - half, 0, half)
    else:
        reach = half_circle(half)[:lines]
    reach = np.concatenate([reach, np.full(max(0, lines - len(reach)), half)])[:lines]
    away = np.abs(2 * np.arange(width) + 1 - width)
    return away[None, :] < 2 * reach[:, None]


def dome_mask(columns: int, lines: int) -> np.ndarray:
    """A dome (lines, 8*columns) bool: half an ellipse on its flat side."""
    half = columns * CELL // 2
    y = 2 * (lines - np.arange(lines)) - 1
    reach = [half * math.isqrt(max(0, 4 * lines * lines - int(n) * int(n))) for n in y]
    away = np.abs(2 * np.arange(2 * half) + 1 - 2 * half)
    return away[None, :] * lines < np.array(reach)[:, None]


def broken_line(columns: int, seed: int, deep: int, rough: int = 3) -> np.ndarray:
    """Lines (8*columns,) int64 by which a wall's top has fallen, in stones of 4 pixels, 0..deep."""
    if deep <= 0:
        return np.zeros(columns * CELL, dtype=np.int64)
    stone = np.arange(columns * CELL // 4)
    steps = (pick(seed, 2 * rough + 1, stone // 2, 0) - rough) * 4
    steps = np.where(stone % 2 == 0, steps, 4 * (pick(seed, 3, stone, 1) - 1))
    fall = np.cumsum(steps) + deep // 2
    # Reflected at both ends, so that it never runs along them for long.
    fall = np.abs((fall % (2 * deep) + 2 * deep) % (2 * deep) - deep)
    return np.repeat(fall // 4 * 4, 4)
