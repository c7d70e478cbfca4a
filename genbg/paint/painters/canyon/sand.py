"""What lies on the sand about the shelter: ripples, low rims of dunes, a caravan road, heaped sand.

All of it shifts tones of level ground by a step or two, so that the place where play happens stays
quiet, and it ends where the lowest lines meet the next layer.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.canyon.floor import LEVEL
from genbg.paint.painters.canyon.plans import Plan

RIPPLED_FROM = 40.0
"""Lines above the lower edge from which ripples show."""
RIMS = (24.0, 8.0)
"""Lines above the lower edge on which low dunes have their crests."""
ROAD = 15.0
"""Lines above the lower edge on which the caravan road runs."""
RUTS = (-2.0, 2.0)
"""Lines off the road's middle on which its two ruts lie."""
HEAPED = 46.0
"""Columns about the shelter on which wind has heaped sand."""


def mark_sand(picture: TonalPicture, job: Job, plan: Plan, rims: bool) -> None:
    """Lay ripples, the road and, where `rims`, low dunes on the lit sand."""
    lines, width = picture.tone.shape
    line = np.arange(lines)[:, None]
    below = lines - 1.0 - line
    free = picture.holds("sand") & (below < RIPPLED_FROM)
    picture.shift(free, np.where(free, _ripples(job, width, lines, below), 0.0))
    for number, over in enumerate(RIMS if rims else ()):
        _lay_rim(picture, job, plan, number, lines - 1.0 - over)
    if plan.shelter:
        _lay_road(picture, job, plan)


def _ripples(job: Job, width: int, lines: int, below: np.ndarray) -> np.ndarray:
    """(N, W) tones of ripples in patches: a lit back, a thin lee, closer together far off."""
    seed = job.seed
    bend = fractal(width, lines, hash_words(seed, "bend"), max(1, width // 46), 1 / 24, 2)
    patch = fractal(width, lines, hash_words(seed, "patch"), max(1, width // 80), 1 / 12, 2)
    near = 1.0 - below / RIPPLED_FROM
    place = 7.0 * near * (1.3 - 0.5 * near) + 2.2 * bend
    part = place - np.floor(place)
    wave = np.where(part > 0.8, -0.9, 0.0)
    return wave * (patch > 0.16)


def _lay_rim(picture: TonalPicture, job: Job, plan: Plan, number: int, line: float) -> None:
    """A low dune across the view: a lit crest, a lee in cool shade that fades out toward us."""
    lines, width = picture.tone.shape
    dice = Dice(job.seed, "rim", number)
    sway = fractal(width, 1, hash_words(job.seed, "sway", number), max(2, width // 74), octaves=2)
    part = fractal(width, 1, hash_words(job.seed, "part", number), max(2, width // 110), octaves=2)
    strong = np.clip(5.0 * (part[0] + dice.between(0.0, 0.15)), 0.0, 1.0)
    if plan.shelter and abs(line + job.top - plan.line) < CLEAR_LINES:
        off = wrapped(np.arange(width), plan.x, width) / HEAPED
        strong = strong * (1.0 - fall(off * off * off * off))
    crest = np.floor(line + 9.0 * sway[0] - 2.0 * strong + 0.5)
    down = np.arange(lines)[:, None] - crest[None, :]
    sand = picture.holds("sand") & (np.arange(lines)[:, None] < lines - LOW)
    deep = np.floor((5.4 if number == len(RIMS) - 1 else 3.6) * strong + 0.3)[None, :]
    light = sand & (down <= 0) & (down > -2 - deep) & (deep > 0)
    picture.shift(light, np.where(down > -2, 1.0, 0.5) + 0.0 * deep)
    lee = sand & (down > 0) & (down <= deep)
    picture.lay(lee, "cool", 0.62 * picture.last("cool"))
    under = sand & (down > deep) & (down <= 2.0 * deep)
    picture.shift(under, -0.6)


BURIED = "wall", "sand", "cool"
"""What sand is heaped on: walls, not what lives, hangs or is lit before them."""
CLEAR_LINES = 12.0
"""Lines from the shelter's foot within which no crest runs through it."""
LOW = 2
"""Lowest lines, which stay level sand to meet the next layer."""


def _lay_road(picture: TonalPicture, job: Job, plan: Plan) -> None:
    """Two ruts along the whole plane, and a trodden way from the door down to them."""
    lines, width = picture.tone.shape
    line, column = np.arange(lines)[:, None], np.arange(width)
    sway = fractal(width, 1, hash_words(job.seed, "road"), max(2, width // 100), octaves=2)[0]
    gap = fractal(width, lines, hash_words(job.seed, "gap"), max(2, width // 18), 1 / 4, 2)
    near = fall((wrapped(column, plan.x, width) / 60.0) ** 2)
    foot = plan.line - job.top
    middle = lines - 1.0 - ROAD + 5.0 * sway
    middle = middle + np.maximum(foot + 5.0 - middle, 0.0) * near
    middle = np.minimum(middle, lines - 6.0)[None, :]
    sand = picture.holds("sand") & (line < lines - LOW)
    for rut in RUTS:
        off = np.floor(line - middle - rut + 0.5)
        worn = gap > -0.22
        picture.shift(sand & (off == 0) & worn, -1.1)
        picture.shift(sand & (off == 1) & worn, 0.7)
    across = wrapped(column, plan.x - 4.0 * plan.size, width)[None, :]
    way = (line >= foot) & (line < middle) & (np.abs(across + 0.9 * (line - foot)) < 3.0)
    picture.shift(sand & way & (gap > -0.1), -0.9)


def heap_sand(picture: TonalPicture, job: Job, plan: Plan) -> None:
    """Sand against walls and post, higher in the lee, so that their feet are no ruled line."""
    lines, width = picture.tone.shape
    line, column = np.arange(lines)[:, None], np.arange(width)
    off = wrapped(column, plan.x, width)
    wide = fractal(width, 1, hash_words(job.seed, "heap"), max(2, width // 22), octaves=3)[0]
    away = smooth(-plan.sun * off, 6.0 * plan.size, 26.0 * plan.size)
    edge = smooth(np.abs(off), HEAPED * plan.size, 0.7 * HEAPED * plan.size)
    door = fall(((off + 4.0 * plan.size) / (5.0 * plan.size)) ** 4)
    high = np.floor((2.6 + 7.0 * wide + 2.5 * away) * edge * (1.0 - 0.8 * door) + 0.5)
    foot = np.floor(plan.line - job.top + 1.5)
    top = (foot - np.maximum(high, 0.0))[None, :]
    heap = (line >= top) & (line <= foot + 1) & (high > 0)[None, :] & picture.holds(*BURIED)
    level = LEVEL * picture.last("sand")
    shaded = (away > 0.3)[None, :] & picture.holds("cool")
    picture.lay(heap & ~shaded, "sand", np.where(line < top + 1, level + 1.0, level))
