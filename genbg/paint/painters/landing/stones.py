"""Tones of a landing's stone: worn floors wet with rain, walls in courses with their tide line."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.solids import Kind, Seen

ROUND = 512
"""Width of the plane for which stones are counted."""
ROW = 7.0
"""Depth of a row of floor stones, in units."""
STONES = (40, 34, 38, 30, 44)
"""Stones in `ROUND` units of the rows, by turns."""
COURSE = 5.0
"""Height of a course of wall stones, in units."""
BLOCKS = 36
"""Wall stones in `ROUND` units of a course."""
TIDE = 6.5
"""Height over the water up to which walls are dark and green."""


def floor_tones(seen: Seen, tone: np.ndarray, near: np.ndarray, seed: int) -> np.ndarray:
    """Tones (N, W) with floors told: few joints, stones of unlike tone, wet stretches that mirror
    the sky. near: (1, W) 0..1, how close the moon's column is"""
    floor = seen.has & (seen.kind == Kind.FLOOR)
    row = np.floor(seen.z / ROW).astype(np.int64)
    wide = seen.has.shape[1]
    count = np.array(STONES)[row % len(STONES)] * wide // ROUND
    x = np.mod(seen.x, wide) / wide * count + unit(seed, row)
    stone = np.floor(x).astype(np.int64)
    part = (x - stone) * wide / count
    own = unit(seed + 1, stone % count, row)
    gap = unit(seed + 2, stone % count, row)
    told = (part < 1.0) & (gap > 0.35)
    across = (seen.z - row * ROW > ROW - 1.9) & (gap > 0.3)
    wet = fractal(wide, seen.has.shape[0], seed + 3, 9, 0.09, octaves=3)
    value = 2.7 + 1.2 * near + 1.1 * (own - 0.5) + np.where(wet > 0.12, 0.9, 0.0)
    value = np.where(told | across, value - 1.5, value)
    lit = np.clip(np.floor(value + 0.5), 1.0, 4.0)
    shaded = np.where(told | across, 0.0, 1.0)
    return np.where(floor, np.where(tone >= 3, lit, np.minimum(lit, shaded + (own > 0.7))), tone)


def wall_tones(seen: Seen, tone: np.ndarray, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Tones with walls told, and pixels (N, W) bool of weed below the tide's line.

    In shade a wall has two tones, joints where chance has it, a light course at its head.
    """
    wall = seen.has & (seen.kind == Kind.STONE)
    row = np.floor(seen.v / COURSE).astype(np.int64)
    lines, width = tone.shape
    count = BLOCKS * width // ROUND
    along = seen.x + row * 6.1 + 4.0 * unit(seed, row)
    x = np.mod(along, width) / width * count
    stone = np.floor(x).astype(np.int64)
    own = unit(seed + 1, stone % count, row)
    joint = ((x - stone) * width / count < 1.0) | (seen.v - row * COURSE < 1.0)
    base = np.where(tone >= 3, 3.0, 1.0) + (own > 0.72)
    value = np.where(joint & (own > 0.25), base - 1.0, base)
    noise = fractal(width, lines, seed + 2, 40, 0.05, octaves=3)
    wet = wall & (seen.y < TIDE + 3.0 * noise)
    value = np.where(wet, np.minimum(value, np.where(joint, 0.0, 1.0)), value)
    return np.where(wall, value, tone), wet & (noise > -0.05) & ~joint


DECK, BOARD = 5.0, 34.0
"""Units that a plank of a deck is wide, and long."""


def deck_tones(seen: Seen, tone: np.ndarray, seed: int) -> np.ndarray:
    """Tones with the planks of decks told, which lie along the edge: each of its own tone, a seam
    where chance has it."""
    deck = seen.has & (seen.kind == Kind.PLANK) & (seen.ny > 0.9)
    row = np.floor(seen.v / DECK).astype(np.int64)
    along = seen.u / BOARD + unit(seed, row)
    board = np.floor(along).astype(np.int64)
    own = unit(seed + 1, seen.thing, row, board)
    seam = (seen.v - row * DECK < 1.9) & (own > 0.3)
    seam |= (along - board) * BOARD < 1.0
    value = np.where(tone >= 3, 3.0, 2.0) + (own > 0.62)
    return np.where(deck, np.where(seam, value - 2.0, value), tone)
