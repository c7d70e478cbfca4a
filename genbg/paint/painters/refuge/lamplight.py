"""Lamplight on the snow: the lamp post, pools before it, fans from windows and door, smoke."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dither import threshold_plane
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.terrain import cast, put
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.refuge.site import Site

if TYPE_CHECKING:
    from genbg.paint.painters.refuge.shoulder import Shoulder

POST = 27
"""Height of the lamp post in pixels."""
OVER_SHADE = 1.7
"""Tone of the glow ramp from which lamplight shows on snow in shade."""
LEVEL_LINES = 3
"""Lowest lines of the layer, which stay level snow of one tone to meet the next layer."""
OVER_MOON = 0.62
"""Share of the glow ramp from which lamplight shows on snow that the moon lights."""


def lamp_place(site: Site, shoulder: Shoulder) -> tuple[float, int]:
    """Column and line of the lamp post's foot."""
    x = site.house + site.turn * 40 * site.size
    return x, shoulder.line(x, max(0.05, site.deep - 0.06))


def lay_light(
    picture: TonalPicture,
    job: Job,
    site: Site,
    shoulder: Shoulder,
    strength: float,
    wide: bool = False,
) -> None:
    """Colour the snow that lamp, door and windows reach; strength: 1 by night.

    wide: fans that spread and fade sooner, in a larger pool
    """
    lines, width = picture.tone.shape
    line = np.arange(lines)[:, None]
    foot = shoulder.line(site.house, site.deep)
    lamp_x, lamp_y = lamp_place(site, shoulder)
    sway = fractal(width, lines, hash_words(job.seed, "shimmer"), width // 22, 1 / 6, octaves=2)
    off = wrapped(np.arange(width), lamp_x, width)[None, :]
    x, y = off / 27.0, (line - lamp_y - 1) / 8.5
    pool = 1.12 - np.sqrt(x * x + y * y)
    down = (line - foot) / (15.0 * site.size)
    for across, fan in ((0.0, 0.35), (-13.0, -0.45), (13.0, 0.7)):
        middle = site.house + across * site.size
        aside = wrapped(np.arange(width), middle, width)[None, :] - (line - foot) * fan
        spread = 4.0 * site.size + (11.0 if wide else 5.0) * np.maximum(down, 0.0)
        fades = 0.86 if wide else 0.72
        beam = (1.2 - fades * down) * smooth(np.abs(aside) / spread, 1.5, 0.15)
        pool = np.maximum(pool, np.where((down > -0.1) & (down < 1.3) & (beam > 0), beam, -1.0))
    x = wrapped(np.arange(width), site.house, width)[None, :] / (84.0 * site.size)
    y = (line - foot - 2) / (18.0 if wide else 14.0)
    pool = np.maximum(pool, 0.74 * (1.0 - np.sqrt(x * x + y * y)))
    pool = pool - 1.3 * smooth(line, lines - 9.0, lines - LEVEL_LINES)
    reached = pool > -0.12
    pool = pool + (0.05 if wide else 0.0) * sway
    pool = pool + (0.1 + 0.25 * np.clip(1.0 - pool, 0, 1)) * sway
    last = picture.last("glow")
    pool = pool - (1.0 - strength)
    tone = np.clip(pool, 0.0, 1.05) * 0.98 * last
    edge = (threshold_plane(lines, width, job.top, 4) + 0.5) / 16.0 - 0.5
    bright, dim = picture.holds("lit"), picture.holds("shade")
    from_tone = np.where(bright, OVER_MOON * last, OVER_SHADE) + 0.9 * edge
    lit = (bright | dim) & reached & (tone > from_tone)
    relief = np.where(bright, picture.tone - 2.0, picture.tone - 3.5)
    tone = np.maximum(
        tone + 0.25 * np.clip(relief, -2.0, 2.0), np.where(bright, OVER_MOON * last, 0)
    )
    picture.lay(lit, "glow", np.clip(tone, 0.0, last), 0.5)
    picture.guard |= lit & (pool > 0.55)


def lay_smoke(picture: TonalPicture, job: Job, x: float, y: int) -> None:
    """Smoke from a chimney at column x, line y: a thread that curls, widens and thins out."""
    lines, width = picture.tone.shape
    top = max(0, y - SMOKE)
    rows = np.arange(top, y)
    share = (y - rows) / SMOKE
    curl = fractal(lines, 1, hash_words(job.seed, "smoke"), max(2, lines // 11), octaves=2)[0]
    middle = x + (9.0 * share * curl[rows] + 7.0 * share * share) * (1.0 + share)
    half = 0.7 + 2.6 * share
    off = wrapped(np.arange(width)[None, :], middle[:, None], width) / half[:, None]
    torn = fractal(width, lines, hash_words(job.seed, "puffs"), width // 5, 1 / 5, octaves=2)[rows]
    seen = (np.abs(off) + 1.2 * torn < 1.0 - 0.5 * share[:, None]) & ~picture.holds()[rows]
    mask = np.zeros((lines, width), dtype=bool)
    mask[rows] = seen
    tone = np.zeros((lines, width))
    tone[rows] = (2.4 - 1.8 * share)[:, None] - 0.8 * (off > 0.2)
    picture.lay(mask, "lit", tone, 0.4)


SMOKE = 30
"""Pixels that smoke rises before it is lost."""


def lay_lamp(picture: TonalPicture, site: Site, shoulder: Shoulder) -> None:
    """The post with its arm toward the house, its lamp, a cap of snow."""
    x, y = lamp_place(site, shoulder)
    x, arm = int(x), -site.turn
    dark, mid = 0.0, 0.25 * picture.last("wood")
    post = np.ones((POST, 1), dtype=bool)
    put(picture, post, "wood", dark, x, y - POST)
    put(picture, post[2:], "wood", mid, x + 1, y - POST + 2)
    bar = np.ones((1, 6), dtype=bool)
    put(picture, bar, "wood", dark, x if arm > 0 else x - 5, y - POST)
    lamp_x = x + 4 * arm - 1
    put(
        picture,
        np.ones((5, 4), dtype=bool),
        "lamp",
        0.34 * picture.last("lamp"),
        lamp_x,
        y - POST + 2,
    )
    put(
        picture, np.ones((4, 2), dtype=bool), "lamp", picture.last("lamp"), lamp_x + 1, y - POST + 2
    )
    put(picture, np.ones((1, 4), dtype=bool), "wood", mid, lamp_x, y - POST + 1)
    snow = picture.last("lit")
    put(
        picture, np.ones((1, 6), dtype=bool), "lit", snow - 1, x if arm > 0 else x - 5, y - POST - 1
    )
    put(picture, np.ones((1, 3), dtype=bool), "lit", snow, x - 1, y - POST - 2)
    width = picture.tone.shape[1]
    columns = (x + np.arange(-6, 7)) % width
    picture.guard[max(0, y - POST - 2) : y - POST + 8, columns] = True


def lay_shadow(picture: TonalPicture, job: Job, site: Site, shoulder: Shoulder) -> None:
    """The house's shadow: toward us and away from the body."""
    lines, width = picture.tone.shape
    foot = shoulder.line(site.house, site.deep)
    side = float(shoulder.side[int(site.house) % width])
    down = np.arange(lines)[:, None] - foot + 4
    middle = site.house - side * (6.0 + 1.2 * down)
    long = min(15.0 * site.size, lines - foot + 4.0 - LEVEL_LINES)
    share = np.clip(down / max(long, 1.0), 0.0, 1.0)
    frayed = fractal(width, 1, hash_words(job.seed, "frayed"), width // 9, octaves=2)[0]
    half = site.size * 30.0 * np.sqrt(1.0 - share * share) * (1.0 + 0.3 * frayed)
    off = wrapped(np.arange(width)[None, :], middle, width)
    cast(
        picture,
        (np.abs(off) < half) & (down >= 0) & (down < long),
        0.97 * picture.last("shade"),
    )
