"""Painter of the open sea: swell in perspective with crests, caps of foam, and the body's path."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.breaker import lay_breaker
from genbg.paint.craft.exact import blur, fall, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.swell import Roller, Swell, path_light, swell
from genbg.paint.craft.tonal import TonalPicture

THRIFTY = 0.7
"""Thrift from which water is laid in flat runs, and the lines of a run."""
RUN = 2
LEAST = 0.1
"""Least share of the water's ramp: its very darkest ink is kept for what lies under a wave."""
SCREEN = 320.0
"""Columns of the first screen: a great wave takes the side of the light that has more of them."""
AWAY = 170.0
"""Pixels from the body's column by which the sea has lost its light."""


@dataclass(frozen=True)
class Keys:
    """Keys of the swell painter."""

    horizon: int = key(
        -1, "int", "Screen line of the horizon; -1: the layer's first.", low=-1, high=223
    )
    first: int = key(0, "int", "Lines under the horizon where the water begins.", low=0, high=200)
    waves: float = key(0.5, "float", "Height of the waves.", low=0.02, high=1)
    crests: float = key(5.0, "float", "Length of crests, in spacings.", low=1.5, high=12)
    contrast: float = key(0.8, "float", "How much light and shade the waves have.", low=0, high=1.5)
    deep: float = key(0.35, "float", "How much darker it grows toward us.", low=-1, high=1)
    lit: float = key(0.5, "float", "How much of the body's light lies on it.", low=0, high=1)
    path: float = key(0.8, "float", "Path of the sun or moon.", low=0, high=1)
    caps: float = key(0.4, "float", "White caps.", low=0, high=1)
    roller: int = key(0, "int", "Height of one great wave; 0: none.", low=0, high=64, unit="pixels")
    roller_line: int = key(
        66, "int", "Lines under the horizon where its crest would lie.", low=8, high=160
    )


RAMPS = (
    Ramp(
        "water",
        "Water, from its troughs to what the sky lights.",
        ("#002424", "#002449", "#242449", "#00496d", "#246d92", "#6d92b6", "#92b6b6"),
        9,
        hazed=False,
    ),
    Ramp("path", "The body's path.", ("#92496d", "#db926d", "#ffdbb6", "#ffffdb"), 6, True),
    Ramp(
        "glass",
        "A great wave that light shines through.",
        ("#00496d", "#006d6d", "#24926d", "#6dbb92"),
        4,
        hazed=False,
    ),
    Ramp("foam", "Foam, from thin to thick.", ("#496d92", "#92b6db", "#ffffff"), 5, hazed=False),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Water over the layer from its far edge on; above that it is see-through."""
    picture = TonalPicture(job, RAMPS)
    horizon = (job.top if keys.horizon < 0 else keys.horizon) - job.top
    seed, roller = hash_words(job.seed, "sea"), _roller(keys, job)
    calm = job.thrift >= THRIFTY
    sea = swell(job.lines, job.width, seed, keys.crests, keys.waves, keys.first, horizon, roller)
    tone = _tones(keys, job, sea)
    picture.lay_share(sea.wet, "water", _in_runs(tone, job.top) if calm else tone)
    if job.body is not None and keys.path > 0:
        level = path_light(sea, job, keys.path)
        for step in range(job.steps["path"]):
            shown = sea.wet & (level > step)
            picture.lay(shown, "path", float(step))
            picture.guard |= shown & (step > 1)
    if keys.caps > 0:
        _caps(keys, job, picture, sea)
    if roller is not None:
        lay_breaker(job, picture, sea, roller, hash_words(job.seed, "roller"))
    return picture.painting(tidy=True)


def _roller(keys: Keys, job: Job) -> Roller | None:
    """Where the great wave stands: to one side of the body's path."""
    if keys.roller <= 0:
        return None
    side, room, wide = (float(unit(job.seed, k)[0]) for k in (41, 42, 43))
    half, x = keys.roller * (3.7 + 1.0 * wide), _light_x(job)
    more = (SCREEN / 2 - x) / SCREEN
    way = 1.0 if side < 0.5 + 3.0 * more else -1.0
    x = x + way * (0.8 * half + 14.0 + 40.0 * room)
    return Roller(x % job.width, half, keys.roller_line, keys.roller, 0.9 * keys.roller, -way)


def _in_runs(tone: np.ndarray, top: int) -> np.ndarray:
    """Tones held over runs of a cell's width and `RUN` lines: few contents, flat strokes."""
    lines, width = tone.shape
    above = top % RUN
    held = np.pad(tone, ((above, -(above + lines) % RUN), (0, 0)), mode="edge")
    held = np.round(held[::RUN, 4::8] * 12.0) / 12.0
    return np.repeat(np.repeat(held, RUN, axis=0), 8, axis=1)[above : above + lines, :width]


def _light_x(job: Job) -> float:
    return job.body.x if job.body is not None else (0.5 + 0.5 * job.light[0]) * job.width


def _across(job: Job) -> np.ndarray:
    """Pixels (1, W) from each column to the body's, or to where light comes from."""
    return (
        np.arange(job.width)[None, :] - _light_x(job) + job.width / 2
    ) % job.width - job.width / 2


def _tones(keys: Keys, job: Job, sea: Swell) -> np.ndarray:
    """Shares (N, W) of the water's ramp."""
    across = _across(job)
    deep = np.clip(sea.line / 124.0, 0.0, 1.0)
    wide = np.maximum(60.0 + 90.0 * deep, 1.0)
    light = keys.lit * fall(across * across / (wide * wide))
    side = -np.sign(across) * np.clip(np.abs(across) / AWAY, 0.0, 1.0)
    most = keys.contrast * (0.75 + 0.3 * light)
    shade = fractal(job.width, job.lines, hash_words(job.seed, "shade"), 4, 1 / 26.0, octaves=2)
    tone = 0.3 + 0.12 * shade.astype(np.float64)
    tone = tone + most * (0.17 * sea.height - 0.14 * np.clip(sea.slope, -1, 1))
    tone = tone + most * 0.08 * np.clip(sea.tilt, -1, 1) * side
    tone = tone + 0.09 * np.clip((sea.height - 0.45) * 4.0, 0, 1) * (0.4 + light)
    far = fall(sea.line / 7.0)
    tone = tone + 0.2 * light * (1.0 - 0.45 * deep) + 0.14 * far * (0.35 + light)
    return np.clip(blur(tone - 0.4 * keys.deep * deep, 1, 0, 1), LEAST, 1.0)


def _caps(keys: Keys, job: Job, picture: TonalPicture, sea: Swell) -> None:
    """Foam where a crest stands high, torn along the wind."""
    seed, cells = hash_words(job.seed, "caps"), 9 * job.width // 512
    where = fractal(job.width, job.lines, seed, cells, 1 / 16.0, octaves=2)
    lace = fractal(job.width, job.lines, seed + 1, 8 * cells, 1 / 4.0, octaves=2)
    crest = np.clip((sea.height - 0.52) * 3.0, 0, 1)
    thick = crest * np.clip((where + 0.5 * keys.caps - 0.3) * 6.0, 0, 1)
    near = smooth(sea.line, 3.0, 14.0)
    thick = near * thick * (0.8 + 0.9 * lace)
    for step in range(job.steps["foam"]):
        shown = sea.wet & (thick > 0.25 + 0.16 * step)
        picture.lay(shown, "foam", float(step))


PAINTER = Painter(
    name="swell",
    about="The open sea: swell in perspective, crests, caps of foam, the body's path.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.4,
)
