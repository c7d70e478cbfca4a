"""Round drifts: broad mounds with a brink, a soft side to the wind and a steep lee.

Light turns over their forms in a few flat tones of one scale, from deep shade to the lit crest, so
that large parts of the ground are of one ink and few patterns hold it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.exact import blur, fall, power, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import (
    UNSEEN,
    Ground,
    hidden_step,
    lambert,
    oblique,
    read,
    seen,
    shaded,
    side_light,
    wrapped,
)
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.terrain import lay_scale
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.field import Field
from genbg.paint.painters.drifts.keys import Keys
from genbg.paint.painters.drifts.track import cut_track

TILT = 0.62
"""Lines by which a pixel of depth is lifted."""
BELOW = 30
"""Lines below the screen where the nearest drifts have their foot."""
LIGHT = (0.85, 0.42, 0.30)
"""Light on near ground: from the side, up, a little from behind."""
ASIDE = 2.6
"""How much more from the side light falls here than in the distance: right under the body it would
come from behind, and forms would be lost."""
ASTRIDE = 46.0
"""Columns that a mound's middle keeps off the body's."""
RANKS = ((0.40, 9.0, 40.0), (0.70, 14.0, 52.0), (1.04, 20.0, 66.0))
"""Ranks of mounds, the far ones first: line of the brink as a share of the lines, height and half
length in pixels."""
ROOM = 6.0
"""Lines of the layer that stay free above a brink, or its top would be cut off level."""
WINDWARD, LEE, THICK = 1.2, 0.34, 0.30
"""Way from brink to foot on both sides, and half the brink's run toward us: shares of a length."""
BRIGHT, DIM = 15.0, 4.6
"""Tones for each unit of cosine over and under that of level ground."""
DEEPEST = 1.0
"""Tones by which shade on open ground is darker than level ground, at most: a black hole breaks
the snow, and two dark inks of near the same lightness merge into squares."""
SOFT = 0.2
"""Share of a step that may be dithered."""
THIN, THICKER = 0.7, 3.0
"""Heights between which a mound above the edge goes over into level ground, pixels."""
FLAT = 5.0
"""Lines below the upper edge over which forms and tones grow out of level ground."""


@dataclass(frozen=True)
class Mound:
    """x, line: middle of its brink; tall, half: height and half length in pixels

    lee: 1 where the steep side lies on the right; turn: columns a line that the brink runs to lee
    phase: turns at which its swing begins
    """

    x: float
    line: float
    tall: float
    half: float
    lee: int
    turn: float
    phase: float


def lay_mounds(picture: TonalPicture, job: Job, keys: Keys) -> Field:
    """Lay the ground; returns what stands on it needs to know."""
    ground = oblique(round((job.lines + BELOW) / TILT), float(job.lines + BELOW), TILT)
    side = side_light(job.body.x if job.body else None, job.width, job.light[0])
    side = np.clip(ASIDE * side, -1.0, 1.0)
    edge = _edge(job, keys)
    heights = _heights(job, keys, ground, side, edge)
    clip = (ground.base < edge - 0.5)[:, None] & (heights < THIN)
    row = seen(heights, ground, job.lines, clip)
    tone = _tones(job, keys, ground, heights, row, side)
    tone = tone + _crests(job, ground, heights, row, tone)
    line = np.arange(job.lines)[:, None] / max(1, job.lines - 1)
    tone = tone - 3.0 * keys.cool * smooth(line, 0.4, 1.0)
    tone = np.maximum(tone, job.steps["shade"] - 1.0 - DEEPEST)
    level = job.steps["shade"] - 1.0
    own = read(np.maximum(smooth(heights, THIN, THICKER), _below(ground, edge)), row)
    tone = level + (tone - level) * own
    lay_scale(picture, row != UNSEEN, ("shade", "lit"), tone, SOFT)
    shown = picture.holds()
    top = np.where(shown.any(axis=0), shown.argmax(axis=0), job.lines)
    return Field(ground, heights, row, side, top)


def draw_mounds(job: Job, keys: Keys, side: np.ndarray) -> list[Mound]:
    """The mounds of a seed, rank by rank; now and then one is left out."""
    dice, found = Dice(job.seed, "mounds"), []
    count = max(2, round(job.width / keys.spacing))
    for share, tall, half in RANKS:
        shift = dice.unit()
        for number in range(count):
            x = _beside_body(job, (number + shift + 0.5 * dice.unit()) * job.width / count)
            size, line = dice.between(0.7, 1.2), job.lines * (share + dice.between(-0.1, 0.1))
            turn, phase, left_out = dice.between(1.0, 2.6), dice.unit(), dice.chance(0.1)
            lee = -1 if side[int(x) % job.width] > 0 else 1
            high = min(tall * size * keys.height, line - ROOM)
            if not left_out:
                found.append(Mound(x, line, high, half * size, lee, turn, phase))
    return found


def _beside_body(job: Job, x: float) -> float:
    """Column x, moved where a mound would stand right under the body and turn no side to it."""
    off = 0.0 if job.body is None else float(wrapped(x, job.body.x, job.width))
    if job.body is None or abs(off) >= ASTRIDE:
        return x
    return job.body.x + (ASTRIDE if off > 0 else -ASTRIDE)


def _heights(job: Job, keys: Keys, ground: Ground, side: np.ndarray, edge: float) -> np.ndarray:
    """Heights (Z, W): mounds on level ground that swells a little, the track cut in."""
    shape = job.width, ground.rows
    heights = 2.0 * fractal(
        *shape, hash_words(job.seed, "swell"), max(1, job.width // 128), 1 / 44, 2
    )
    heights = heights * keys.height * _below(ground, edge)
    for mound in draw_mounds(job, keys, side):
        form = raise_mound(mound, ground, job.width)
        heights = np.maximum(heights, 0.4 * heights + form)
    heights = np.minimum(heights, np.maximum(ground.base - 2.0, 0.0)[:, None])
    return cut_track(job, keys, ground, heights)


def raise_mound(mound: Mound, ground: Ground, width: int) -> np.ndarray:
    """Heights (Z, W) of one mound: highest at its brink, which swings as it runs toward us."""
    down = (ground.base - mound.line)[:, None]
    along = down / (THICK * mound.half)
    swing = 0.11 * mound.half * sine(mound.phase + 0.23 * along)
    brink = mound.turn * down + swing
    across = wrapped(np.arange(width)[None, :], mound.x, width) * mound.lee - brink
    wind = power(np.clip(1.0 + across / (WINDWARD * mound.half), 0.0, 1.0), 1.7)
    lee = power(np.clip(1.0 - across / (LEE * mound.half), 0.0, 1.0), 1.35)
    ridge = fall(0.5 * along * along + 0.4 * along * along * along * along)
    return mound.tall * ridge * np.where(across < 0, wind, lee)


def _tones(
    job: Job, keys: Keys, ground: Ground, heights: np.ndarray, row: np.ndarray, side: np.ndarray
) -> np.ndarray:
    """Tones (N, W) on the scale of shade and light."""
    light = LIGHT[0] * side, LIGHT[1], LIGHT[2]
    level = job.steps["shade"] - 1.0
    x = LIGHT[0] * side
    flat = LIGHT[1] / np.sqrt(x * x + LIGHT[1] * LIGHT[1] + LIGHT[2] * LIGHT[2])
    broad = blur(heights, 1, 1, 1)
    facing = read(lambert(broad, ground, light), row) - flat[None, :]
    dark = blur(shaded(heights, ground, light, 44.0).astype(np.float64), 2, 1)
    gain = np.where(facing > 0, BRIGHT, DIM) * keys.contrast
    return level + gain * facing - 0.8 * read(dark, row)


def _crests(
    job: Job, ground: Ground, heights: np.ndarray, row: np.ndarray, tone: np.ndarray
) -> np.ndarray:
    """Tones (N, W) that a crest before something far gains, a lit one near to us the most."""
    level = job.steps["shade"] - 1.0
    raised = smooth(read(heights, row), 2.5, 6.0)
    hidden = smooth(hidden_step(row, ground), 3.0, 6.0) * raised
    hidden = smooth(blur(hidden, 2, 0, 1), 0.25, 0.7)
    near = smooth(np.arange(job.lines)[:, None] / job.lines, 0.15, 0.6)
    gain = near * (0.9 + 0.9 * smooth(blur(tone, 3, 0, 1), level - 0.8, level + 0.4))
    return gain * (hidden + 0.5 * np.roll(hidden, 1, axis=0))


def _below(ground: Ground, edge: float) -> np.ndarray:
    """Rows (Z, 1) of ground by how far they lie below the edge: 0 at it, 1 from `FLAT` lines on."""
    return smooth(ground.base - edge, 0.0, FLAT)[:, None]


def _edge(job: Job, keys: Keys) -> float:
    """Line from which level ground is this layer's; mounds stand above it, too.

    It is a border of cells: level ground has one tone on both sides of it, so that nobody sees the
    border, and no cell is spent on it.
    """
    if keys.edge <= 0:
        return 0.0
    wish = 0.3 * keys.edge * job.lines + job.top
    return max(0.0, CELL * round(wish / CELL) - float(job.top))
