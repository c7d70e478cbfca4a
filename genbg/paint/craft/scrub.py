"""Plants of dry lands: thorn bushes whose stems fork, rosettes of thick blades, clumps of grass."""

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


def draw_rosette(dice: Dice, tall: float, side: float, stalk: float = 0.0) -> Bush:
    """A rosette of thick pointed blades, lit from `side`; stalk: height of its flower, or none."""
    rows, columns = int(max(1.1 * tall, stalk)) + 6, int(tall * 2.8) + 8
    foot, middle = rows - 3, columns // 2
    material = np.zeros((rows, columns), dtype=np.uint8)
    tone = np.zeros((rows, columns))
    if stalk:
        _raise_stalk(dice, material, tone, (middle, foot, stalk, side))
    count = 9 + int(tall / 4)
    ways = [0.02 + 0.46 * (number + dice.between(0.2, 0.8)) / count for number in range(count)]
    for way in sorted(ways, key=lambda way: -abs(abs(way - 0.25) - 0.08)):
        long = tall * dice.between(0.75, 1.05) * (1.0 - 0.35 * abs(way - 0.25) / 0.25)
        light = 0.5 - 1.3 * (way - 0.25) / 0.25 * 0.4 * side + 0.12 * dice.bell()
        _lay_blade(material, tone, (middle, foot), way, long, (0.09 * tall + 0.6, light))
    return Bush(material, tone, middle, foot)


def _lay_blade(
    material: np.ndarray,
    tone: np.ndarray,
    place: tuple[int, int],
    way: float,
    long: float,
    look: tuple[float, float],
) -> None:
    """One blade that bends outward and ends in a point; look: half its width, its light."""
    (x, y), (half, light) = place, look
    at_x, at_y, bend = float(x), float(y), 0.02 if way < 0.25 else -0.02
    for step in range(int(long)):
        share = step / long
        way -= bend / 6.0
        at_x, at_y = at_x + float(cosine(way)), at_y - float(sine(way))
        wide = half * (1.0 - share * share) * (0.7 + 0.6 * share)
        for off in range(-int(wide + 0.5), int(wide + 0.5) + 1):
            edge = 0.25 if off * (0.25 - way) > 0 else -0.2
            _dot(material, tone, at_x + off, at_y, LEAF, light * (0.45 + 0.55 * share) + edge * 0.6)


def _raise_stalk(
    dice: Dice, material: np.ndarray, tone: np.ndarray, plant: tuple[int, int, float, float]
) -> None:
    """The dry flower of a rosette: a stem with short arms that carry pods."""
    middle, foot, stalk, side = plant
    lean = dice.between(-0.08, 0.08)
    for up in range(int(stalk)):
        x = middle + lean * up
        _dot(material, tone, x, foot - up, STEM, 0.35)
        _dot(material, tone, x - side, foot - up, STEM, 0.75)
        share = up / stalk
        if share > 0.5 and up % 4 == 0:
            arm = int((1.15 - share) * 0.3 * stalk) + 1
            for off in range(1, arm + 1):
                for way in (-1, 1):
                    light = 0.8 if way * side > 0 else 0.35
                    _dot(material, tone, x + way * off, foot - up - off // 3, STEM, light)
            for way in (-1, 1):
                _dot(material, tone, x + way * arm, foot - up - arm // 3 - 1, LEAF, 0.9)


def draw_clump(dice: Dice, tall: float, side: float) -> Bush:
    """A clump of dry grass, lit from `side`."""
    rows, columns = int(tall) + 6, int(tall * 1.8) + 8
    foot, middle = rows - 3, columns // 2
    material = np.zeros((rows, columns), dtype=np.uint8)
    tone = np.zeros((rows, columns))
    for _ in range(10 + int(tall)):
        lean = 0.5 * dice.bell()
        long, start = tall * dice.between(0.5, 1.0), middle + 2.0 * dice.bell()
        for up in range(int(long)):
            share = up / tall
            x = start + lean * tall * 0.75 * share * (0.4 + 0.6 * share)
            light = 0.2 + 0.65 * share + 0.3 * lean * side
            _dot(material, tone, x, foot - up, STEM, light)
    return Bush(material, tone, middle, foot)
