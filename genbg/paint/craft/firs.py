"""Firs whose boughs wind up the trunk by the golden angle, bare or laden with snow.

The angle between one bough and the next is a full turn over the square of the golden number
(H. Vogel, "A better way to construct the sunflower head", Mathematical Biosciences 44, 1979), so
that no two boughs stand over each other and no rows of tiers show.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine

GOLDEN = 0.3819660112501051
"""Turns from one bough to the next: 1 - 1 / golden number."""
CLEAR, NEEDLES, SNOW = 0, 1, 2
MARGIN = 4
"""Pixels of a stamp below the foot and above the tip."""


@dataclass(frozen=True, eq=False)
class Fir:
    """A fir's stamp: its foot stands at column `x`, row `y`.

    material: (h, w) uint8, `CLEAR`, `NEEDLES` or `SNOW`
    tone: (h, w) float64: needles 0 dark .. 3 lit; snow -3 .. 3 about the tone of snow in half shade
    """

    material: np.ndarray
    tone: np.ndarray
    x: int
    y: int


def draw_fir(dice: Dice, tall: float, side: float, snow: float = 1.0) -> Fir:
    """A fir `tall` pixels high, lit from `side` (-1 left .. 1 right).

    snow: 0 bare .. 1 laden
    """
    wide = 0.30 * tall
    columns, rows = int(2 * wide + 14), int(tall + 2 * MARGIN)
    middle, foot = columns // 2, rows - MARGIN
    material = np.zeros((rows, columns), dtype=np.uint8)
    tone = np.zeros((rows, columns))
    x, y = np.arange(columns)[None, :], np.arange(rows)[:, None]
    trunk = (np.abs(x - middle) < max(0.8, tall * 0.02)) & (y > foot - 0.16 * tall) & (y < foot)
    material[trunk] = NEEDLES
    count, start, lean = int(10 + 0.62 * tall), dice.unit(), 0.03 * 0.5 * dice.bell()
    for number in range(count):
        up = (number + 0.5) / count
        _lay_bough(
            dice, material, tone, (middle, foot, tall, wide, lean), up, start, number, side, snow
        )
    _lay_tip(material, tone, middle, foot, tall, snow)
    return Fir(material, tone, middle, foot)


def _lay_bough(
    dice: Dice,
    material: np.ndarray,
    tone: np.ndarray,
    trunk: tuple[int, int, float, float, float],
    up: float,
    start: float,
    number: int,
    side: float,
    snow: float,
) -> None:
    """One bough: a drooping pad, snow above and needles below, shaped by the way it points."""
    middle, foot, tall, wide, lean = trunk
    turn = start + number * GOLDEN
    across, front = float(cosine(turn)), float(sine(turn))
    low = 1.0 - up
    long = (wide * float(np.sqrt(low)) * (0.72 + 0.28 * low) + 0.8) * dice.between(0.82, 1.12)
    from_y = foot - 0.07 * tall - 0.90 * tall * up + 0.03 * front * tall
    half = long * (0.30 + 0.26 * abs(across)) + 1.0
    thick = (1.5 + 0.042 * tall * (0.45 + 0.55 * low) * dice.between(0.8, 1.15)) * (
        0.5 + 0.5 * min(1.0, low / 0.22)
    )
    at_x = middle + (foot - from_y) * lean + 0.52 * across * long
    at_y = from_y + 0.30 * abs(across) * long
    droop = 0.088 * across * (1.1 - 0.3 * low)
    first_x, last_x = max(0, int(at_x - half - 2)), min(material.shape[1], int(at_x + half + 3))
    first_y, last_y = max(0, int(at_y - half - 2)), min(material.shape[0], int(at_y + half + 3))
    box = np.s_[first_y:last_y, first_x:last_x]
    x = np.arange(first_x, last_x)[None, :]
    y = np.arange(first_y, last_y)[:, None]
    c, s = float(cosine(droop)), float(sine(droop))
    u = ((x - at_x) * c + (y - at_y) * s) / half
    v = ((y - at_y) * c - (x - at_x) * s) / thick
    tooth = np.abs((x + number * 3) % 4 - 1.5) / 1.5
    body = u * u + (np.where(v < 0, v, v / (0.75 + 0.75 * tooth))) ** 2 < 1
    lit, behind = across * side, front < -0.55
    needles = np.where(v > 0.62, 0.0, 2.6 if lit > 0.35 and not behind else 1.0)
    pad_edge = 0.18 + 0.25 * (1 - np.abs(u)) - 0.35 * behind - 0.12 * tooth
    pad = body & (v < pad_edge - 1.2 * (1.0 - snow))
    white = 2.1 * lit - 1.5 * v + 0.54 * u * side - 1.1 * behind
    bare = np.clip(1.2 + 1.3 * lit - 1.3 * v - 0.5 * behind, 0.0, 3.0)
    material[box] = np.where(pad, SNOW, np.where(body, NEEDLES, material[box]))
    dark = bare if snow < 0.3 else needles
    tone[box] = np.where(pad, white, np.where(body, dark, tone[box]))


def _lay_tip(
    material: np.ndarray, tone: np.ndarray, middle: int, foot: int, tall: float, snow: float
) -> None:
    """The leading shoot."""
    top = max(0, int(foot - 0.97 * tall))
    for n in range(max(3, int(0.09 * tall))):
        white = snow > 0.3 and n % 3 < 2
        material[top + n, middle] = SNOW if white else NEEDLES
        tone[top + n, middle] = (2.5 if n < 2 else 0.5) if white else 1.0
