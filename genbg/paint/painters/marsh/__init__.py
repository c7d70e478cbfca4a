"""Painter of a marsh: beds of reed in still water, a hut on piles, and their mirror.

All of one layer moves as one, so what is mirrored lies in the layer below what it mirrors. Open
water is see-through: the body's path lies in the plane behind and stays under its body.
"""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.mirror import stand_in_water
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids import (
    Eye,
    Facade,
    Kind,
    Light,
    Seen,
    Shadows,
    Stage,
    drawn_facade,
    edge_tones,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import lamp_path
from genbg.paint.painters.marsh.hut import DEPTH, build_hut, draw_hut
from genbg.paint.painters.marsh.keys import RAMPS, Keys
from genbg.paint.painters.marsh.reeds import draw_bed, lay_beds

EYE_HEIGHT = 30.0
"""Over the water, in pixels at the hut's depth."""
WALLS = Facade(8.0, 12.0, (1.7, 5.0), 3.6, 0.8, glow=0.75, shutters=0.3, course=4.0)


def paint(keys: Keys, job: Job) -> Painting:
    """Hut, reeds and what the water shows of them; the rest is see-through."""
    picture = TonalPicture(job, RAMPS)
    dice = Dice(job.seed, "marsh")
    sun = job.body.x if job.body else job.width * (0.5 + 0.4 * job.light[0])
    foot = keys.foot * job.lines
    hut = None
    if keys.hut:
        hut = _raise_hut(picture, keys, job, dice.part("hut"), sun, foot - 0.4 * keys.tall)
    near, free = (foot, float(keys.tall)), (sun, hut)
    ranks = lay_beds(dice.part("beds"), job.width, keys.cover, keys.ranks, near, free)
    for rank, beds in enumerate(ranks):
        part = TonalPicture(job, RAMPS)
        for number, bed in enumerate(beds):
            toward = 1.0 if (sun - bed.x) % job.width < job.width / 2 else -1.0
            draw_bed(part, dice.part("bed", rank, number), bed, toward, keys.heads)
        if beds:
            stand_in_water(
                picture, part, beds[0].foot, keys.mirror, hash_words(job.seed, "mirror", rank)
            )
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


def _raise_hut(
    picture: TonalPicture, keys: Keys, job: Job, dice: Dice, sun: float, foot: float
) -> float:
    """Paint the hut with its mirror and lamp; returns its column."""
    side = dice.choice((-1.0, 1.0)) if abs(sun - VIEW) < MIDDLE else 1.0 if sun < VIEW else -1.0
    x = sun + side * dice.between(70, 112) if keys.place < 0 else keys.place * job.width
    stage = Stage()
    lamp = build_hut(stage, dice.part("build"), draw_hut(dice.part("form"), -side))
    eye = Eye(x % job.width, job.top + foot - EYE_HEIGHT, EYE_HEIGHT, DEPTH)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    part = TonalPicture(job, RAMPS)
    over = seen.has & (seen.y > -0.5)
    _colour(part, seen, over, Shadows(stage, _light(sun, job.width)), dice.seed)
    stand_in_water(picture, part, foot, keys.mirror, hash_words(dice.seed, "mirror"))
    column, line = eye.place(lamp)
    _lamp(picture, part, (column, line - job.top), foot, dice.seed)
    picture.guard |= picture.holds("lamp")
    return x % job.width


VIEW, MIDDLE = 170.0, 42.0
"""Column in the middle of the first view; off it by more, a sun has the hut toward the middle."""


def _light(sun: float, width: int) -> Light:
    """Low, from behind: sides and roofs toward the sun catch it."""
    return Light(0.85, 0.4, -0.1, sun, width / 2)


def _colour(
    picture: TonalPicture, seen: Seen, over: np.ndarray, shadows: Shadows, seed: int
) -> None:
    """Lay the hut in its materials, windows lit from within."""
    lit = lighten(shadows, seen)
    tone = tones(seen, lit, seed, 0.3)
    drawn = drawn_facade(seen, tone, seed + 1, WALLS)
    straw = seen.kind == Kind.ROOF
    told = np.where(straw, _thatched(seen, tone, seed + 3), drawn.tone)
    tone = edge_tones(seen, told, lit, seed + 2)
    picture.material[over] = seen.material[over]
    picture.tone[over] = tone[over]
    picture.lay(over & drawn.pane, "wood", 0.0)
    glass = over & drawn.glow
    picture.lay(glass, "lamp", np.where(shifted(glass, 0, 2), 1.0, 2.0))
    picture.lay(over & (seen.kind == Kind.LAMP), "lamp", 2.0)


def _thatched(seen: Seen, tone: np.ndarray, seed: int) -> np.ndarray:
    """Tones (N, W) of straw: bundles that run down the roof, a band under the ridge, dark eaves."""
    bundle = np.floor(seen.u / 1.7).astype(np.int64)
    row = np.floor(seen.v / 6.5 + unit(seed, bundle)).astype(np.int64)
    own = unit(seed + 1, bundle, row)
    lit = tone >= 3
    step = np.where(own < 0.16, -1.0, np.where(own > 0.86, 1.0, 0.0))
    step = np.where((seen.v < 1.4) | (seen.v > seen.height - 1.5), -1.0, step)
    band = (seen.v > seen.height - 5.0) & (seen.v < seen.height - 3.6)
    step = np.where(band, -1.0, step)
    return np.clip(tone + step, np.where(lit, 3.0, 0.0), np.where(lit, 5.0, 2.0))


def _lamp(
    picture: TonalPicture, part: TonalPicture, at: tuple[float, float], foot: float, seed: int
) -> None:
    """The lamp's glow about it, and its light on the water."""
    lines, width = picture.tone.shape
    x, y = at
    across = (np.arange(width)[None, :] + 0.5 - x + width / 2) % width - width / 2
    down = np.arange(lines)[:, None] + 0.5 - y
    away = across * across + down * down
    free = ~part.holds()
    ring = free & (away < 15.0) & ((np.floor(across) + np.floor(down)) % 2 == 0)
    picture.lay(ring, "lamp", 0.0)
    edge = round(foot) + 1
    if edge < lines:
        heat = lamp_path((lines - edge, width), (x, max(3.0, foot - y - 8.0)), seed, long=30.0)
        glint = np.zeros((lines, width), dtype=bool)
        glint[edge:] = heat >= 0
        value = np.concatenate([np.zeros((edge, width)), np.clip(heat / 2.0, 0.0, 2.0)])
        picture.lay(glint & free, "lamp", np.floor(value))


PAINTER = Painter(
    name="marsh",
    about="Beds of reed in still water with their mirror, and a lampkeeper's hut on piles.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
