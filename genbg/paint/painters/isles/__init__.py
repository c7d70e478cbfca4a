"""Painter of isles that float above the clouds: rock that hangs, turf, trees, a tower with its
lamp, a rope bridge from isle to isle, water that falls over the edge.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import clean_mask
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids import (
    Eye,
    Facade,
    Frame,
    Kind,
    Light,
    Shadows,
    Stage,
    drawn_facade,
    edge_tones,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.stones import StonePicture, light_stones
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.families.houses import HOUSES, Size
from genbg.paint.families.stuff import stuff_of
from genbg.paint.families.towers import TOWERS
from genbg.paint.painters.isles.deck import bridge, deck_rows, fall_over, lay_turf, plant
from genbg.paint.painters.isles.keys import NUMBER, RAMPS, Keys
from genbg.paint.painters.isles.rock import Isle, hang_rock

STUFF = stuff_of(NUMBER, "wall", "roof", wood="wood", leaf="turf")
DEPTH = 400.0
"""Where isles are, so that one unit is one pixel."""
SHRINK = (1.0, 0.4, 0.3, 0.22, 0.22, 0.22)
"""Sizes of isles one after the other, as shares of the largest."""
IN_VIEW = (50.0, 290.0)
"""Columns between which the largest stands, so that play begins in sight of it."""
BELOW = 10_000.0
"""A waterline that no isle reaches."""


def paint(keys: Keys, job: Job) -> Painting:
    """Isles; the rest is see-through."""
    picture = TonalPicture(job, RAMPS)
    isles = _place(keys, job)
    sun = job.body.x if job.body is not None else (0.5 + 0.5 * job.light[0]) * job.width
    for isle in sorted(isles, key=lambda one: one.half):
        _rock(job, picture, isle, sun)
        lay_turf(job, picture, isle, sun)
        if keys.fall and isle is isles[0]:
            fall_over(job, picture, isle, sun)
    for isle in isles:
        if keys.tower != "none" and isle is isles[0]:
            _build(keys, job, picture, isle, sun)
        if keys.trees > 0:
            plant(job, picture, isle, sun, keys.trees)
    if keys.kind == "near":
        for one, two in pairwise(isles):
            right = (two.x - one.x) % job.width < job.width / 2
            bridge(job, picture, *((one, two) if right else (two, one)), lamps=True)
    return picture.painting(tidy=True)


def _place(keys: Keys, job: Job) -> list[Isle]:
    """The largest isle first; the others shrink and stand to its sides."""
    sun = job.body.x if job.body is not None else job.width / 2
    side, room = unit(job.seed, np.arange(1, 3)).tolist()
    way, away = 1.0 if side < 0.5 else -1.0, 95.0 + 50.0 * room
    if not IN_VIEW[0] < sun + way * away < IN_VIEW[1]:
        way = -way
    spread = job.width / keys.count
    found: list[Isle] = []
    for n in range(keys.count):
        draws = unit(job.seed, n, np.arange(4, 8)).tolist()
        if keys.kind == "near":
            half = keys.size * SHRINK[n] * (0.9 + 0.2 * draws[0])
            x = sun + way * away
            if found:
                gap = 30.0 + 34.0 * draws[1]
                x = found[-1].x - way * (0.93 * (found[-1].half + half) + gap)
        else:
            half = keys.size * (1.0 if n == 0 else 0.4 + 0.5 * draws[0])
            x = sun + way * (0.36 * job.width) + spread * (n + 0.5 * (draws[1] - 0.5))
        row = job.lines * keys.deck + (draws[2] - 0.5) * (14.0 if n else 6.0)
        found.append(Isle(x % job.width, row, half, hash_words(job.seed, "isle", n) % 2**31))
    return found


def _rock(job: Job, picture: TonalPicture, isle: Isle, sun: float) -> None:
    """The hanging rock, lit by the sun from its side and by the clouds from below."""
    field = StonePicture(job.lines, job.width, isle.seed)
    hang_rock(field, isle)
    side = 1.0 if (sun - isle.x + job.width / 2) % job.width > job.width / 2 else -1.0
    foot = np.full(job.width, BELOW)
    lit = light_stones(field, (0.8 * side, -0.34, 0.5), foot, isle.seed, bounce=True)
    cover = clean_mask(field.cover) & (np.arange(job.lines)[:, None] > isle.row - 3.0)
    picture.lay_share(cover & lit.sunlit, "warm", lit.warm)
    picture.lay_share(cover & ~lit.sunlit, "cold", lit.cool)


def _build(keys: Keys, job: Job, picture: TonalPicture, isle: Isle, sun: float) -> None:
    """A tower with its lamp and a house beside it."""
    dice = Dice(isle.seed, "house")
    stage = Stage()
    at = isle.x + dice.between(-0.3, 0.3) * isle.half
    row = float(deck_rows(job, isle)[0][int(at) % job.width]) + 4.0
    eye = Eye(at, job.top + row - 26.0, 26.0, DEPTH)
    turns = dice.between(0.05, 0.1) * dice.choice((-1.0, 1.0))
    tall = dice.between(0.5, 0.62) * isle.half
    TOWERS[keys.tower](stage, dice, Frame(0.0, 0.0, DEPTH, turns), tall, STUFF)
    size = Size(dice.between(15, 21), dice.between(8, 11), dice.between(10, 13))
    left = 9.0 if dice.chance(0.5) else -9.0 - size.width
    HOUSES[keys.houses](stage, dice, Frame(left, -0.5, DEPTH - 4.0, turns), size, STUFF)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    light = Light(0.86, 0.42, -0.12, sun, job.width / 2)
    lit = lighten(Shadows(stage, light), seen)
    drawn = drawn_facade(seen, tones(seen, lit, dice.seed), dice.seed, Facade(glow=0.5))
    tone = edge_tones(seen, drawn.tone, lit, dice.seed)
    last = np.array([picture.last(ramp.name) for ramp in RAMPS], dtype=np.float64)[seen.material]
    tone = np.where(seen.kind == Kind.LAMP, 2.0, tone * last / 5.0)
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    picture.lay(drawn.pane & seen.has, "cold", 0.0)
    picture.lay(drawn.glow & seen.has, "lamp", 1.0)
    picture.lay(drawn.door & seen.has, "wood", 0.0)
    picture.guard |= seen.has


PAINTER = Painter(
    name="isles",
    about="Isles that float: hanging rock, turf, trees, a tower, a rope bridge, falling water.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.3,
)
