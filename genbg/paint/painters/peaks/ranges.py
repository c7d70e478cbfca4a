"""The ranges: a far chain in pale air, and great peaks with crests, planes of light and rock."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import blur, fall, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.massif import crests
from genbg.paint.craft.relief import (
    UNSEEN,
    Ground,
    Light,
    broad,
    hidden_step,
    hull,
    lambert,
    oblique,
    planes,
    read,
    seen,
    shaded,
    wrapped,
)
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.peaks.plans import Plan
from genbg.paint.painters.peaks.scene import View

AIR = 3.95
"""Tone of the valley's mist, counted in the ten inks that the air ramp has by default."""
VEIL = 0.06
"""Share of air before the great peaks, even high up."""
TILT = 0.3
"""Lines by which a pixel of depth is lifted."""
EDGES = (-0.2, 0.06, 0.3, 0.52, 0.74, 0.86)
"""Light at which a plane of a peak gives way to the next."""
TONES = (1.9, 2.6, 3.5, 4.7, 6.2, 7.4, 8.6)
"""Tones of these planes."""
SHADOW = 3.7
"""Lightest tone in a cast shadow."""
GRAIN = 0.14
"""Share of a step that is dithered on a peak."""


def tones(picture: TonalPicture, tone: np.ndarray | float) -> np.ndarray:
    """Tones told for ten inks, in those that the air ramp has."""
    return np.asarray(tone) * (picture.last("air") / 9.0)


def paint_far_chain(picture: TonalPicture, view: View, plan: Plan, high: float) -> None:
    """A low chain behind the peaks: one lit and one shaded plane, lowest under the body."""
    job, dice = view.job, Dice(view.job.seed, "chain")
    ground = oblique(36, view.foot - 4.0, TILT)
    parts, x = [], dice.between(0, 24)
    while x < job.width:
        low = fall(np.array([(view.off[int(x)] / plan.gap) ** 2]))[0]
        height = high * dice.between(0.16, 0.34) * (1.0 - 0.45 * low)
        parts.append(crests(dice, x, 24.0, height, 0.75))
        x += dice.between(22, 50)
    heights = hull(np.concatenate(parts), ground, job.width, 1.2)
    light: Light = (view.side, 0.55, 0.25)
    lit = lambert(heights, ground, light)
    tone = 3.6 + 1.9 * smooth(lit, 0.42, 0.6) - 0.6 * smooth(lit, 0.3, -0.2)
    row = seen(heights, ground, job.lines)
    fog = 0.55 * smooth(view.y, view.foot - 34.0, view.foot - 12.0)
    tone = read(tone, row) * (1.0 - fog) + AIR * fog
    picture.lay(row != UNSEEN, "air", tones(picture, tone), GRAIN)


def paint_great_peaks(
    picture: TonalPicture, view: View, plan: Plan, high: float, broadly: bool = False
) -> None:
    """The great peaks: hulls of their crests in flat planes of light, bare rock at the turns.

    broadly: lit and shaded slopes are two families of tones, each of few and large planes
    """
    job = view.job
    ground = oblique(112, float(view.foot), TILT)
    heights = _heights(view, plan, high, ground)
    light: Light = (view.side, 0.5, 0.08)
    lit = 0.5 * lambert(blur(heights, 1, 1, 1), ground, light) + 0.5 * broad(
        heights, ground, light, 3
    )
    sway = fractal(job.width, ground.rows, hash_words(job.seed, "sway"), job.width // 40, octaves=2)
    dark = shaded(heights, ground, light)
    if broadly:
        tone = _two_families(heights, ground, light, lit + 0.05 * sway, dark)
    else:
        tone = planes(lit + 0.09 * sway, EDGES, TONES)
        tone = np.where(dark & (tone > 4.0), SHADOW, tone)
    tone = _bare_rock(view, heights, high, lit, tone)
    row = seen(heights, ground, job.lines)
    shown = read(tone, row)
    edge = hidden_step(row, ground) > 5.0
    shown = shown + 0.8 * (edge & (read(lit, row) > 0.5))
    most, above = (0.8, 34.0) if broadly else (0.96, 42.0)
    fog = VEIL + (most - VEIL) * smooth(view.y, view.foot - above, view.foot - 2.0)
    shown = shown * (1.0 - fog) + AIR * fog
    picture.lay(row != UNSEEN, "air", tones(picture, shown), 0.0 if broadly else GRAIN)


def _two_families(
    heights: np.ndarray, ground: Ground, light: Light, lit: np.ndarray, dark: np.ndarray
) -> np.ndarray:
    """Tones (Z, W) of planes: those in the light by fine forms, those in shade by broad ones."""
    wide = broad(heights, ground, light, 3)
    in_light = (0.3 * lit + 0.7 * wide > TURNED) & ~dark
    in_light = blur(in_light.astype(np.float64), 2, 2, 1) > 0.5
    calm = 0.3 * wide + 0.7 * broad(heights, ground, light, 6)
    return np.where(in_light, planes(lit, LIT_EDGES, LIT_TONES), planes(calm, DIM_EDGES, DIM_TONES))


TURNED = 0.26
"""Light below which a broad slope counts as turned away."""
LIT_EDGES, LIT_TONES = (0.40, 0.56, 0.72, 0.86), (5.0, 6.0, 7.0, 7.9, 8.6)
DIM_EDGES, DIM_TONES = (-0.26, 0.04), (2.3, 3.0, 3.7)
"""Light at which planes of both families give way to the next, and their tones."""


def _heights(view: View, plan: Plan, high: float, ground: Ground) -> np.ndarray:
    """The field of all great peaks, with a little noise on it."""
    parts = []
    width = view.job.width
    for number, summit in enumerate(plan.summits):
        dice = Dice(view.job.seed, "peak", number)
        x = view.middle + summit.off * (width / 512 if width < 512 else 1.0)
        x = _off_the_wrap(x, width)
        z = summit.depth + 6 * 0.5 * dice.bell()
        parts.append(crests(dice, x, z, high * summit.height, 0.74 * summit.steep))
    steep = 1.28
    heights = hull(np.concatenate(parts), ground, width, steep)
    rough = fractal(width, ground.rows, hash_words(view.job.seed, "rough"), width // 14, octaves=2)
    return (heights + 1.1 * rough) * smooth(ground.depth, -6.0, FRONT)[:, None]


FRONT = 34.0
"""Pixels of depth over which the range sinks to its foot, or it would end in a wall."""


def _off_the_wrap(x: float, width: int) -> float:
    """A summit's column, moved where its sharpest edges would lie on the plane's wrap."""
    off = float(wrapped(x, 0.0, width))
    if abs(off) >= CLEAR_OF_WRAP:
        return x
    return x - off + (CLEAR_OF_WRAP if off > 0 else -CLEAR_OF_WRAP)


CLEAR_OF_WRAP = 24.0
"""Columns that a summit keeps off the wrap."""


def _bare_rock(
    view: View, heights: np.ndarray, high: float, lit: np.ndarray, tone: np.ndarray
) -> np.ndarray:
    """Short streaks down the fall line, high up, only where the surface bends outward."""
    job = view.job
    bend = heights - blur(heights, 4)
    streak = fractal(
        job.width, len(heights), hash_words(job.seed, "rock"), job.width // 7, 1 / 11, octaves=2
    )
    rock = (streak > 0.26) & (bend > 0.4) & (heights > 0.3 * high) & (lit < 0.93)
    tone = np.where(rock, np.where(lit > 0.4, 3.4, 1.8), tone)
    beside = np.roll(rock, 1, axis=1) & ~rock & (lit > 0.4)
    return np.where(beside, np.minimum(tone + 1.0, 8.0), tone)
