"""Crest lines of drifts and dunes, as points for `relief.hull`."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import between_points, power, sine
from genbg.paint.craft.relief import Ground

POINTS = 90
"""Points on a crest, so close that no cone shows by itself."""


def drift_crest(
    dice: Dice, ground: Ground, x: float, line: float, tall: float, size: float, turn: int
) -> np.ndarray:
    """Points (P, 3) of a crest that lies across the view, its lee end bent toward us as a horn.

    x, line: its middle; tall: its height; size: 1 is about 90 pixels long
    turn: 1 where the lee lies on the right
    """
    share = np.arange(POINTS) / (POINTS - 1)
    long, phase = dice.between(64, 120) * size, dice.unit()
    horn, wave = dice.between(12, 30) * size, dice.between(1.5, 4.5) * size
    across = x + turn * long * (share - 0.5)
    bow = share * share * share * horn - (1.0 - share) * (1.0 - share) * dice.between(-4, 10) * size
    base = line + bow + wave * sine(phase + dice.between(0.9, 1.5) * share)
    rise = sine(0.5 * (0.03 + 0.94 * power(share, 0.8)))
    high = tall * np.sqrt(np.maximum(rise, 0.0)) * (1.0 + 0.1 * sine(phase * 3 + 1.7 * share))
    return np.stack([across, depth_at(ground, base), high], axis=1)


def dune_crest(
    dice: Dice, ground: Ground, x: float, line: float, tall: float, size: float, turn: int
) -> np.ndarray:
    """Points (P, 3) of a crest that winds toward us in an S, highest behind its middle.

    x, line: its middle; size: 1 is about 40 lines long; turn: side its near end runs to
    """
    share = np.arange(POINTS) / (POINTS - 1)
    long, run = dice.between(24, 40) * size, turn * dice.between(10, 60) * size
    swing, phase = dice.between(8, 17) * size, dice.unit()
    rise = sine(0.5 * (0.06 + 0.9 * power(share, 0.85)))
    across = x + run * (share - 0.5) + swing * sine(phase + 1.03 * share) * rise
    base = line + long * (share - 0.45)
    high = tall * np.sqrt(np.maximum(rise, 0.0)) * (1.0 + 0.13 * sine(phase + 1.4 * share))
    return np.stack([across, depth_at(ground, base), high], axis=1)


def long_crest(
    dice: Dice,
    ground: Ground,
    x: float,
    lines: tuple[float, float],
    tall: float,
    run: float,
    swing: float,
) -> np.ndarray:
    """Points (P, 3) of a great dune's crest that winds in an S from far off toward us.

    x: its middle; lines: where it begins and ends; run: columns from its far end to its near one
    swing: columns that it swings out, more the nearer it is
    """
    share = np.arange(LONG) / (LONG - 1)
    phase, waves = dice.unit(), dice.between(0.5, 0.85)
    sway = sine(phase + waves * share)
    across = x + run * (share - 0.5) + swing * sway * (0.4 + 0.6 * share)
    base = lines[0] + (lines[1] - lines[0]) * share
    rise = sine(0.5 * (0.04 + 0.92 * power(share, dice.between(0.62, 0.95))))
    high = tall * np.sqrt(np.maximum(rise, 0.0)) * (1.0 + 0.16 * sine(phase * 3 + 1.6 * share))
    return np.stack([across, depth_at(ground, base), high], axis=1)


LONG = 140
"""Points on a long crest."""


def depth_at(ground: Ground, base: np.ndarray) -> np.ndarray:
    """Depths (...) of the ground on lines (...)."""
    return between_points(-np.asarray(base, dtype=np.float64), -ground.base, ground.depth)
