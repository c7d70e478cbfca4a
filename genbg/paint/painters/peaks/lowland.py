"""Round hills at the foot of the range, and water that carries the light in one path."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import blur, smooth
from genbg.paint.craft.fields import profile
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.peaks.plans import Plan
from genbg.paint.painters.peaks.ranges import AIR, tones
from genbg.paint.painters.peaks.scene import View

HILLS = (
    # side, lines of the foot below the valley's first, height, columns from the body: foot, middle
    (1, 3.0, 15.0, 26.0, 120.0),
    (-1, 6.0, 14.0, 20.0, 104.0),
    (1, 11.0, 14.0, 60.0, 176.0),
    (-1, 15.0, 13.0, 52.0, 168.0),
)
"""Tongues of hills from both sides that interlock, the far ones first."""
RANGE = 210.0
"""Columns from the body's at which a tongue has sunk again behind the wrap."""
PATH = 5.0
"""Half width of the light's path on water at the far end, columns."""
GROWTH = 0.5
"""Columns by which half the path is wider for each line nearer to us."""
FINE = 12.0
"""Lines below the valley's first from which a ripple of the path takes two lines, not one."""
GAPS = 0.2
"""Share of ripples that do not show the light."""


def paint_hills(picture: TonalPicture, view: View, plan: Plan) -> None:
    """Tongues of hills: a lit slope under the crest, a calm body that sinks into mist."""
    job, dice = view.job, Dice(view.job.seed, "hills")
    for number, (side, low, height, start, middle) in enumerate(HILLS):
        way = side * plan.turn
        off = view.off * way
        start, middle = start + 8.0 * dice.bell(), middle + 14.0 * dice.bell()
        tall = height * dice.between(0.8, 1.25)
        rise = smooth(off, start, middle) * smooth(off, RANGE + 50.0, middle + 10.0)
        knolls = profile(
            job.width, hash_words(job.seed, "knolls", number), max(1, job.width // 64), 3
        )
        high = np.maximum(rise * (tall + 7.0 * knolls), 0.0)
        crest = view.foot + low - high
        slope = blur(high[None, :], 3, 0)[0]
        slope = 0.5 * (np.roll(slope, -2) - np.roll(slope, 2)) / 2.0
        facing = np.clip(-slope * view.side * 3.2, -1.0, 1.0)
        down = view.y - crest[None, :]
        body = 3.5 + 0.28 * number * (-1.0) + 1.0 * facing[None, :]
        light = body + (0.9 + 0.6 * facing[None, :]) * smooth(down, 5.0, 0.0)
        mist = smooth(down, 0.35 * tall, tall + 2.0)
        where = (down >= 0) & (high > 0.8)[None, :] & (view.y < view.foot + low + 1)
        picture.lay(where, "air", tones(picture, light * (1.0 - mist) + AIR * mist), 0.08)


def lay_calm_water(picture: TonalPicture, view: View, plan: Plan, water: np.ndarray) -> None:
    """Water (N, W) bool: dark at its banks, the path of light in rows of unlike length.

    Each ripple is a mirror of its own that shows the body for a while (M. Minnaert, "The nature of
    light and colour in the open air", section 14), so the path is widest near to us.
    """
    job = view.job
    down = np.maximum(view.y - view.foot, 0.0)
    line = np.arange(job.lines) + job.top
    row = np.where(down[:, 0] > FINE, line // 2, line)
    long, shift = unit(job.seed, row, 1), unit(job.seed, row, 2)
    half = (PATH + GROWTH * down[:, 0]) * np.where(long < GAPS, 0.0, 0.25 + 1.05 * long)
    middle = view.middle + (shift - 0.5) * (5.0 + 0.5 * half)
    off = np.abs(wrapped(view.x, middle[:, None], job.width)) / np.maximum(half[:, None], 0.5)
    inner = water & np.roll(water, 1, axis=0) & np.roll(water, 2, axis=0)
    tone = 2.3 + 0.9 * smooth(down, 14.0, 4.0)
    tone = tone + 2.4 * smooth(off, 1.25, 0.8) + 2.2 * smooth(off, 0.75, 0.35)
    tone = np.where(inner, tone, np.minimum(tone, 2.0))
    picture.lay(water, "water", tone * (picture.last("water") / 7.0), 0.0)
