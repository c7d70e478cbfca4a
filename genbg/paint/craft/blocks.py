"""Blocks of rock: a few broad faces that meet in clear edges, with a flat top that snow lies on.

A block is where half-spaces overlap, seen from the front: each pixel shows the plane that cuts it
deepest. Its planes have names rather than chance: top, shoulders, front and sides, each turned a
little by the dice, so that one side always faces the light and none is undercut.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.boulders import Boulder
from genbg.paint.craft.dice import Dice

FACES = (
    # right, up, toward us, distance from the middle, how much the dice turn it
    (0.0, 1.0, 0.34, 0.72, 0.16),
    (-1.0, 0.30, 0.36, 0.84, 0.10),
    (1.0, 0.30, 0.36, 0.84, 0.10),
    (-0.80, 0.62, 0.34, 0.80, 0.20),
    (0.80, 0.62, 0.34, 0.80, 0.20),
    (-0.42, 0.90, 0.36, 0.76, 0.16),
    (0.42, 0.90, 0.36, 0.76, 0.16),
    (-0.62, 0.30, 0.76, 0.58, 0.20),
    (0.52, 0.06, 0.84, 0.56, 0.20),
    (-0.05, -0.10, 1.0, 0.66, 0.22),
    (0.10, 0.62, 0.74, 0.64, 0.24),
)
"""The planes of a block whose half width and half height are 1."""
BACK = -0.35
"""Depth of the plane that ends a block behind."""
SUNK = 0.55
"""Share of its half height by which a block's middle lies over its foot."""


def draw_block(dice: Dice, wide: float, tall: float) -> Boulder:
    """A block about `wide` by `tall` pixels; its foot is straight, for snow to be banked there."""
    columns, rows = int(wide * 1.3) + 6, int(tall * 1.4) + 6
    lean = dice.choice((-1, 1)) * dice.between(0.15, 0.5)
    x = (np.arange(columns) - columns / 2 + 0.5)[None, :] / (0.41 * wide)
    y = (rows - 3 - np.arange(rows))[:, None] / (0.64 * tall) - SUNK
    planes = [_turned(dice, face, lean) for face in FACES]
    front = np.full((rows, columns), 9e9)
    facet = np.zeros((rows, columns), dtype=np.int64)
    for number, (right, up, near, off) in enumerate(planes):
        depth = (off - right * x - up * y) / near
        facet = np.where(depth < front, number, facet)
        front = np.minimum(front, depth)
    solid = (front > BACK) & (np.arange(rows)[:, None] < rows - 2)
    normal = np.array([plane[:3] for plane in planes])[facet]
    return Boulder(solid, normal, facet, columns // 2, rows - 3)


def _turned(
    dice: Dice, face: tuple[float, float, float, float, float], lean: float
) -> tuple[float, float, float, float]:
    """A plane turned by the dice, its normal of length 1; the whole block leans by `lean`."""
    right, up, near, off, loose = face
    right, up = right + loose * dice.bell() + lean * up, up + loose * dice.bell()
    near = near * dice.between(0.85, 1.15)
    long = float(np.sqrt(right * right + up * up + near * near))
    return right / long, up / long, near / long, off * dice.between(0.86, 1.16)
