"""Painter of calm water to the horizon: tones that bend, single ripples, the light's path, isles.

The path lies under the scene's sun or moon and moves as it does: give the layer the sky's distance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import fractal, profile, warped
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import Lenses, Path, light_path, stamped, wavelets


@dataclass(frozen=True)
class Keys:
    """Keys of the calm painter."""

    horizon: int = key(88, "int", "Line on which the water begins.", low=0, high=223, unit="line")
    breeze: float = key(0.5, "float", "How many ripples there are.", low=0, high=1)
    path: float = key(1.0, "float", "How wide the body's light lies on the water.", low=0, high=3)
    glow: float = key(0.6, "float", "How far the light warms the water around it.", low=0, high=1)
    slicks: float = key(0.0, "float", "How many smooth, light stretches.", low=0, high=2)
    isles: int = key(4, "int", "Isles on the horizon.", low=0, high=8)
    isle_height: int = key(12, "int", "How high isles are.", low=2, high=40, unit="pixels")


RAMPS = (
    Ramp(
        "water",
        "The water, from near and dark to the horizon.",
        ("#002449", "#00496d", "#24496d", "#49496d", "#49496d", "#6d6d92", "#9292b6", "#b692b6"),
        8,
        hazed=False,
        chosen=True,
    ),
    Ramp(
        "path",
        "The light on the water, from its edge in.",
        ("#b66d49", "#db9249", "#ffb66d", "#ffdb92", "#ffffb6", "#ffffdb"),
        6,
        True,
        chosen=True,
    ),
    Ramp(
        "isle",
        "Isles: their foot, in shade, in light.",
        ("#9292b6", "#926d92", "#db9292"),
        3,
        hazed=False,
        chosen=True,
    ),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Water from the horizon down, isles above it; what lies higher is see-through."""
    picture = TonalPicture(job, RAMPS)
    first = min(max(keys.horizon - job.top, 0), job.lines)
    if keys.isles and first:
        _isles(picture, keys, job, first)
    lines = job.lines - first
    if lines:
        tone = _water(keys, job, lines)
        rows = np.zeros((job.lines, job.width), dtype=bool)
        rows[first:] = True
        whole = np.concatenate([np.zeros((first, job.width)), tone])
        picture.lay(rows, "water", whole, 0.2)
        _path(picture, keys, job, first)
    return picture.painting(tidy=True)


def _depth(lines: int) -> np.ndarray:
    """0 at the horizon .. 1 where the eye looks down most, (N, 1)."""
    return ((np.arange(lines) + 0.5) / SCREEN_BELOW)[:, None]


SCREEN_BELOW = 136.0
"""Lines from a usual horizon to the foot of the screen."""
GLOW_REACH, GLOW_END = 44.0, 0.16
"""Columns over which the glow about a path fades by e, and where it is cut off."""
BENDS = 1.25
"""Tones by which broad patches of swell change the water."""


def _water(keys: Keys, job: Job, lines: int) -> np.ndarray:
    """Tones (N, W) of the water with its patches and ripples."""
    seed = hash_words(job.seed, "water")
    period = job.width // (1 if job.thrift < 0.3 else 2 if job.thrift < 0.7 else 4)
    down = _depth(lines)
    last = job.steps["water"] - 1
    tone = last * (0.93 - 0.97 * np.sqrt(np.minimum(down, 1.0)) * (0.72 + 0.28 * down))
    x = (np.arange(period) / period)[None, :]
    rows = np.sqrt(down * SCREEN_BELOW + 6.0)
    cells = max(2, period // 64)
    swell = warped(
        (x * cells).astype(np.float32), (rows * 2.1).astype(np.float32), seed, cells, octaves=3
    )
    tone = tone + swell * BENDS * smooth(down, 0.9, 0.25)
    tone = tone + _slicks(keys.slicks, lines, period, seed + 1)
    ripple = wavelets(lines, period, seed, 0.4 + keys.breeze, period)
    tone = np.where(ripple != 0, np.floor(tone + 0.5) + ripple, tone)
    tone = np.tile(tone, (1, job.width // period))
    if job.body is not None:
        away = np.abs((np.arange(job.width) + 0.5 - job.body.x + 256) % job.width - 256)
        warm = np.maximum(fall(away / GLOW_REACH) - GLOW_END, 0.0)[None, :] * smooth(down, 0.7, 0.0)
        tone = tone + 1.6 * keys.glow * warm
    return tone


SLICK_LINES = (14.0, 104.0)
"""Lines below the horizon between which smooth stretches lie."""


def _slicks(amount: float, lines: int, width: int, seed: int) -> np.ndarray:
    """Tones (N, W) that smooth stretches add: long lenses in families, lighter as they mirror
    more of the low sky; wider toward us."""
    count = int(amount * width / SLICK_COLUMNS)
    if count == 0:
        return np.zeros((lines, width))
    family = np.repeat(np.arange(count), SLICK_PARTS)
    number = np.arange(len(family))
    low, high = SLICK_LINES
    down = low + (high - low) * (family % count + unit(seed, family, 1)) / count
    y = down + (unit(seed, number, 2) - 0.5) * (5.0 + down * 0.1)
    half = (9.0 + y * 0.3) * (0.5 + unit(seed, number, 4))
    x = unit(seed, family, 3) * width + (unit(seed, number, 5) - 0.5) * 2.2 * half
    lenses = Lenses(x, y, np.minimum(half, width / 3), 0.5 + y * 0.012, np.ones(len(x)))
    return np.maximum(stamped(lenses, lines, width), 0.0)


SLICK_COLUMNS = 28.0
"""Columns for one family of smooth stretches."""
SLICK_PARTS = 5
"""Lenses in a family."""


def _path(picture: TonalPicture, keys: Keys, job: Job, first: int) -> None:
    """The light of the body on the water."""
    if job.body is None or keys.path == 0:
        return
    wide = keys.path
    path = Path(
        spread=(6.3 * wide, 0.115 * wide),
        core=min(job.body.radius * 1.3, job.body.radius + 5),
    )
    heat = light_path(
        job.lines - first,
        job.width,
        job.body.x,
        hash_words(job.seed, "path"),
        path,
        1.0 - keys.breeze,
    )
    heat = np.concatenate([np.full((first, job.width), -1.0), heat])
    lit = heat >= 0
    last = picture.last("path")
    picture.lay(lit, "path", np.floor(np.clip(heat / 5.0, 0, 1) * last + 0.5))
    picture.guard |= lit


def _isles(picture: TonalPicture, keys: Keys, job: Job, first: int) -> None:
    """Far isles: a lit side toward the body, a foot lost in the air."""
    seed = hash_words(job.seed, "isles")
    x = np.arange(job.width)
    height = np.zeros(job.width)
    body = job.body.x if job.body else 0.0
    for n in range(keys.isles):
        at = body + 40 + (job.width - 80) * (n + unit(seed, n, 0)[0] * 0.8) / keys.isles
        wide = 22 + 34 * unit(seed, n, 1)[0]
        off = (x - at + job.width / 2) % job.width - job.width / 2
        lean = 0.7 + 0.6 * unit(seed, n, 2)[0]
        slope = np.where(off < 0, -off / (wide * lean), off / (wide * (2 - lean)))
        peak = keys.isle_height * (0.35 + 0.65 * unit(seed, n, 3)[0])
        height = np.maximum(height, peak * np.maximum(0.0, 1 - slope) * (1.2 - 0.2 * slope))
    rough = profile(job.width, seed, 24, 4).astype(np.float64)
    top = first - np.floor(height * (1 + rough * 0.8) + 0.5)
    line = np.arange(job.lines)[:, None]
    here = (line >= top) & (line < first) & (height > 0.5)
    away = (x - body) % job.width
    sign = np.where(away < job.width / 2, 1.0, -1.0)
    lean = (np.roll(top, 3) - np.roll(top, -3)) * 0.3 * -sign
    grain = fractal(job.width, job.lines, seed + 1, 50, 0.3, octaves=2)
    deep = line - top
    lit = lean[None, :] + grain * 2.6 - deep * 0.08 > 0.3
    picture.lay(here, "isle", np.where(lit, 2.0, 1.0))
    foot = here & (line >= first - 3) & ((x + line) % 2 + (first - 1 - line) < 2 + grain * 3)
    picture.lay(foot, "isle", 0.0)


PAINTER = Painter(
    name="calm",
    about="Calm water to the horizon under its sun's or moon's path, with isles.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.3,
)
