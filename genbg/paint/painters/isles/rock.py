"""The rock of an isle that floats: spikes that hang from its deck, longest in the middle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.exact import power
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.stones import Stone, StonePicture, add_stone

SETS = ((5, 0.3, 1.0), (9, 0.19, 0.72), (13, 0.1, 0.42))
"""Spikes of three sizes: how many, their half width and their length, as shares of the isle's."""
DEEP = 0.72
"""Length of the longest spike, as a share of half the isle's width."""
PARTS = ((0.2, 1.0, 0.34), (0.5, 0.68, 0.32), (0.8, 0.38, 0.28))
"""Stones of a spike: how far down, how wide, how high, as shares of it."""


@dataclass(frozen=True)
class Isle:
    """An isle: column of its middle, row of its deck, half its width; a seed."""

    x: float
    row: float
    half: float
    seed: int


def hang_rock(picture: StonePicture, isle: Isle) -> None:
    """Add the isle's spikes to a picture, far ones first."""
    for rank, (count, wide, long) in enumerate(SETS):
        for n in range(count):
            draws = unit(isle.seed, rank, n, np.arange(4)).tolist()
            side = (2.0 * n + 1.0) / count - 1.0 + 0.5 * (draws[0] - 0.5) / count
            spare = float(power(1.0 - float(power(abs(side), 1.7)), 1.15))
            reach = DEEP * isle.half * (0.18 + 0.82 * spare) * long * (0.62 + 0.46 * draws[1])
            _spike(picture, isle, (rank, n), side, (wide * isle.half, reach), draws[2])


def _spike(
    picture: StonePicture,
    isle: Isle,
    name: tuple[int, int],
    side: float,
    size: tuple[float, float],
    lean: float,
) -> None:
    wide, reach = size
    rank, n = name
    seed = (isle.seed + 97 * rank + 11 * n) % 2**31
    for part, (down, share, high) in enumerate(PARTS):
        x = isle.x + side * 0.86 * isle.half + (lean - 0.5) * 0.5 * wide * down
        row = isle.row + 1.0 + down * reach
        z = 6.0 * rank - 4.0 * part
        half = max(2.0, wide * share * (1.0 - 0.25 * abs(side)))
        stone = Stone(x, row, z, half, max(2.0, high * reach), 16, 0.0, 1.5, seed + part)
        add_stone(picture, stone)
