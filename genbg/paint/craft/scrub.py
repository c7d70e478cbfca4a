"""Thorn bushes of dry lands: a fan of stems that fork, leaves by side and height."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine

CLEAR, STEM, LEAF = 0, 1, 2
FORKS = 2
"""Times that a stem forks."""
STEP = 2.0
"""Pixels from one point of a stem to the next."""


@dataclass(frozen=True, eq=False)
class Bush:
    """A bush's stamp; its foot is at column `x`, row `y`.

    material: (h, w) uint8, `CLEAR`, `STEM` or `LEAF`; tone: (h, w) float64, 0 dark .. 1 lit
    """

    material: np.ndarray
    tone: np.ndarray
    x: int
    y: int


def draw_bush(dice: Dice, tall: float, side: float, leaves: float = 0.4) -> Bush:
    """A bush about `tall` pixels high, lit from `side`; leaves: how thick they stand, 0..1."""
    rows, columns = int(tall * 1.25) + 6, int(tall * 2.6) + 8
    foot, middle = rows - 3, columns // 2
    material = np.zeros((rows, columns), dtype=np.uint8)
    tone = np.zeros((rows, columns))
    count = 5 + int(tall / 5)
    for number in range(count):
        way = 0.25 + 0.34 * ((number + 0.5) / count - 0.5) + 0.02 * dice.bell()
        x = middle + dice.between(-2, 2)
        long = tall * dice.between(0.36, 0.52)
        todo = [(x, float(foot), way, long, 0)]
        while todo:
            todo += _grow(dice, material, tone, todo.pop(), (middle, foot, tall, side, leaves))
    return Bush(material, tone, middle, foot)


def _grow(
    dice: Dice,
    material: np.ndarray,
    tone: np.ndarray,
    stem: tuple[float, float, float, float, int],
    bush: tuple[int, int, float, float, float],
) -> list[tuple[float, float, float, float, int]]:
    """Draw one stem, and return those that fork from it."""
    x, y, way, long, fork = stem
    middle, foot, tall, side, leaves = bush
    for _ in range(max(2, int(long / STEP))):
        way += 0.026 * dice.bell() * 0.5
        for part in (0.5, 1.0):
            at_x = x + STEP * part * float(cosine(way))
            at_y = y - STEP * part * float(sine(way))
            lit = (at_x - middle) * side > -0.1 * tall and fork > 0
            _dot(material, tone, at_x, at_y, STEM, 0.7 if lit else 0.0)
        x, y = at_x, at_y
        if fork and dice.unit() < leaves:
            light = 0.5 + 0.5 * (x - middle) * side / tall + 0.35 * (foot - y) / tall
            light += 0.1 * dice.bell()
            _dot(material, tone, x, y, LEAF, light)
            _dot(material, tone, x + dice.choice((-1, 1)), y, LEAF, light - 0.1)
            _dot(material, tone, x, y - 1, LEAF, light + 0.15)
    if fork >= FORKS:
        return []
    return [
        (x, y, way + turn * dice.between(0.05, 0.12), long * dice.between(0.5, 0.8), fork + 1)
        for turn in (-1, 1)
    ]


def _dot(
    material: np.ndarray, tone: np.ndarray, x: float, y: float, what: int, light: float
) -> None:
    """One pixel, if it lies on the stamp."""
    row, column = int(y + 0.5), int(x + 0.5)
    if 0 <= row < material.shape[0] and 0 <= column < material.shape[1]:
        material[row, column] = what
        tone[row, column] = min(1.0, max(0.0, light))
