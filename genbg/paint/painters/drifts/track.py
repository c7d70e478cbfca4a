"""The track of a sledge over near ground: two runners' grooves that wind away behind a drift."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import power, sine, smooth
from genbg.paint.craft.relief import Ground, wrapped
from genbg.paint.painters.drifts.keys import Keys

GAUGE = 0.55
"""Where the grooves lie: shares of half the track's width."""


def cut_track(job: Job, keys: Keys, ground: Ground, heights: np.ndarray) -> np.ndarray:
    """Heights (Z, W) with the track cut in, where the seed has one."""
    dice = Dice(job.seed, "way")
    if dice.unit() >= keys.way:
        return heights
    near = np.clip(ground.base / job.lines, 0.0, 1.4)
    start, run = dice.unit() * job.width, dice.choice((-1, 1)) * dice.between(70, 130)
    middle = (
        start
        + run * power(near / 1.4, 1.3) * 1.4
        + dice.between(14, 26) * sine(dice.unit() + 0.7 * near) * (0.3 + 0.7 * near)
    )
    half = 2.2 + 6.2 * near
    off = wrapped(np.arange(job.width)[None, :], middle[:, None], job.width) / half[:, None]
    deep = (0.5 + 0.8 * near)[:, None]
    level = heights * (1.0 - 0.8 * smooth(np.abs(off), 5.0, 1.3))
    groove = np.maximum(0.0, 1.0 - np.abs(np.abs(off) - GAUGE) / 0.34)
    lip = np.maximum(0.0, 1.0 - np.abs(np.abs(off) - 1.12) / 0.26)
    return level - deep * smooth(groove, 0.0, 0.7) + 0.5 * deep * lip
