"""Masonry: joints, arches, domes and broken tops, all in integers and on whole cells."""

from __future__ import annotations

import math

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick

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


def blocks(rows: int, columns: int, seed: int, worn: int = 0, dark: bool = True) -> np.ndarray:
    """Tone changes (8*rows, 8*columns) int64 of large blocks, a course a cell row.

    Blocks are two cells wide and stand half aside in every other course; a few are a tone darker.
    Light from the left: a rim above and at the left, a joint below and at the right.
    worn: of 8 blocks, how many are worn smooth, so that the wall has calm places
    dark: whether some are darker
    """
    y, x = np.arange(rows * CELL)[:, None], np.arange(columns * CELL)[None, :]
    across = (x + y // CELL % 2 * CELL) % (2 * CELL)
    joint = (y % CELL == CELL - 1) | (across == 2 * CELL - 1)
    rim = ((y % CELL == 0) & (across < 2 * CELL - 2)) | ((across == 0) & (y % CELL < CELL - 2))
    course, column = np.arange(rows)[:, None], np.arange(columns)[None, :]
    number = (column + course % 2) // 2 % max(1, columns // 2)
    darker = _grown((pick(seed, 11, course, number, 0) == 0) & dark)
    smooth = _grown(pick(seed, 8, course, number, 1) < worn)
    change = np.where(joint, -1, np.where(rim, 1, 0)) - (darker & ~joint)
    return np.where(smooth, 0, change)


def _grown(cells: np.ndarray) -> np.ndarray:
    """What holds for cells (R, C), for every pixel (8*R, 8*C)."""
    return np.repeat(np.repeat(cells, CELL, axis=0), CELL, axis=1)


def half_circle(radius: int) -> np.ndarray:
    """Half-widths (radius,) int64 of a half circle, line by line from its top."""
    return np.array(
        [math.isqrt(4 * radius * radius - (2 * (radius - y) - 1) ** 2) // 2 for y in range(radius)]
    )


def arch_mask(width: int, lines: int, pointed: bool = False) -> np.ndarray:
    """An opening (lines, width) bool: a round or pointed head over straight sides; width even."""
    half = width // 2
    if pointed:
        # Each side is part of a circle about the foot of the other one.
        rise = width * 7 // 8
        up = range(rise - 1, -1, -1)
        reach = np.array([max(0, math.isqrt(width * width - n * n) - half) for n in up])
    else:
        reach = half_circle(half)
    reach = np.concatenate([reach, np.full(max(0, lines - len(reach)), half)])[:lines]
    away = np.abs(2 * np.arange(width) + 1 - width)
    return away[None, :] < 2 * reach[:, None]


def arch_head(width: int, pointed: bool = False) -> int:
    """Lines of an opening's head, above its straight sides."""
    return width * 7 // 8 if pointed else width // 2


def arch_ring(
    width: int, lines: int, thick: int, pointed: bool = False
) -> tuple[np.ndarray, np.ndarray]:
    """The ring of wedge stones around an opening's head, and the joints in it.

    Both (thick + lines, width + 2*thick) bool; the opening's crown lies at row `thick`. Joints run
    from the middle of the head's foot, at even steps of x / (|x| + |y|), which stands in for the
    angle and needs no table.
    """
    ring = arch_mask(width + 2 * thick, thick + lines, pointed)
    ring[thick:, thick:-thick] &= ~arch_mask(width, lines, pointed)
    y = thick + arch_head(width, pointed) - np.arange(len(ring))[:, None]
    x = 2 * np.arange(ring.shape[1])[None, :] + 1 - ring.shape[1]
    ring &= y > 0
    part = np.abs(x) * (width * 3 // CELL) // np.maximum(np.abs(x) + 2 * np.abs(y), 1)
    joint = np.zeros_like(ring)
    joint[:, 1:] = part[:, 1:] != part[:, :-1]
    joint &= ring & (part % 2 == 0)
    return ring, joint & _in_company(joint)


def _in_company(mask: np.ndarray) -> np.ndarray:
    """Pixels (h, w) bool one of whose eight neighbours is in the mask."""
    padded = np.pad(mask, 1)
    lines, width = mask.shape
    near = [(y, x) for y in (0, 1, 2) for x in (0, 1, 2) if (y, x) != (1, 1)]
    found = np.zeros_like(mask)
    for y, x in near:
        found |= padded[y : y + lines, x : x + width]
    return found


def dome_mask(columns: int, lines: int) -> np.ndarray:
    """A dome (lines, 8*columns) bool: half an ellipse on its flat side."""
    half = columns * CELL // 2
    y = 2 * (lines - np.arange(lines)) - 1
    reach = [half * math.isqrt(max(0, 4 * lines * lines - int(n) * int(n))) for n in y]
    away = np.abs(2 * np.arange(2 * half) + 1 - 2 * half)
    return away[None, :] * lines < np.array(reach)[:, None]
