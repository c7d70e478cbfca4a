"""Boulders: bodies cut by planes, each facet with its own light.

A boulder is where all half-spaces of a set overlap; what shows of it from the front is, pixel by
pixel, the plane that cuts deepest. A girdle of upright planes keeps its foot broad.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine

GIRDLE = 9
"""Upright planes round the foot."""
SLANTS = 12
"""Planes of the upper body."""
CHIPS = 22
"""Chips that the faces of a boulder are broken into."""
TILT = 0.3
"""Most that a chip leans off its face: a part of the normal's length."""


@dataclass(frozen=True, eq=False)
class Boulder:
    """A boulder's stamp; its foot's middle is at column `x`, row `y`.

    solid: (h, w) bool; normal: (h, w, 3) float64 of each facet, (right, up, toward us)
    facet: (h, w) int64, number of the facet
    """

    solid: np.ndarray
    normal: np.ndarray
    facet: np.ndarray
    x: int
    y: int


def draw_boulder(dice: Dice, wide: float, tall: float) -> Boulder:
    """A boulder about `wide` by `tall` pixels, of facets, whose foot is sunk in the ground."""
    columns, rows = int(wide * 1.5) + 6, int(tall * 1.6) + 6
    x = (np.arange(columns) - columns / 2 + 0.5)[None, :] / (0.5 * wide)
    y = (rows - 3 - np.arange(rows))[:, None] / (0.62 * tall) - 0.55
    planes = _planes(dice)
    front = np.full((rows, columns), 9e9)
    back = -front
    facet = np.zeros((rows, columns), dtype=np.int64)
    for number, (right, up, near, far_off) in enumerate(planes):
        reach = far_off - right * x - up * y
        if near > 0.03:
            depth = reach / near
            facet = np.where(depth < front, number, facet)
            front = np.minimum(front, depth)
        elif near < -0.03:
            back = np.maximum(back, reach / near)
    line = np.arange(rows)[:, None]
    solid = (front > back) & (line < rows - 2) & (x * x + y * y < 2.4)
    chip, lean = _chips(dice, x, y)
    normal = np.array([plane[:3] for plane in planes])[facet] + lean[chip]
    long = np.sqrt(
        normal[..., 0] * normal[..., 0]
        + normal[..., 1] * normal[..., 1]
        + normal[..., 2] * normal[..., 2]
    )
    return Boulder(solid, normal / long[..., None], facet * CHIPS + chip, columns // 2, rows - 3)


def _chips(dice: Dice, x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The nearest chip (h, w) of each place, and how each (CHIPS, 3) leans off its face."""
    at = [(dice.between(-1.3, 1.3), dice.between(-0.7, 1.3)) for _ in range(CHIPS)]
    lean = [[TILT * dice.between(-1, 1) for _ in range(3)] for _ in range(CHIPS)]
    nearest = np.full(np.broadcast_shapes(x.shape, y.shape), 9e9)
    chip = np.zeros(nearest.shape, dtype=np.int64)
    for number, (across, up) in enumerate(at):
        skew = x - across + 0.35 * (y - up)  # chips lie aslant, as rock splits along its grain
        off = skew * skew + 0.8 * (y - up) * (y - up)
        chip = np.where(off < nearest, number, chip)
        nearest = np.minimum(off, nearest)
    return chip, np.array(lean)


def _planes(dice: Dice) -> list[tuple[float, float, float, float]]:
    """(right, up, near, distance from the middle) of all planes; normals have length 1."""
    lean = dice.choice((-1, 1)) * dice.between(0.2, 0.55)
    found = [(lean, 1.0, 0.25, dice.between(0.7, 0.9))]
    found += [
        (-0.85, 0.45, 0.35, dice.between(0.7, 0.95)),
        (0.8, 0.3, 0.6, dice.between(0.7, 0.95)),
    ]
    for _ in range(SLANTS):
        way, rise = dice.unit(), dice.between(-0.05, 0.9)
        found.append((float(cosine(way)), rise, float(sine(way)), dice.between(0.62, 1.05)))
    start = dice.unit()
    for number in range(GIRDLE):
        way = start + number / GIRDLE
        rise = dice.between(-0.06, 0.32)
        found.append((float(cosine(way)), rise, float(sine(way)), dice.between(0.85, 1.06)))
    return [_unit(*plane) for plane in found]


def _unit(
    right: float, up: float, near: float, far_off: float
) -> tuple[float, float, float, float]:
    long = float(np.sqrt(right * right + up * up + near * near))
    return right / long, up / long, near / long, far_off
