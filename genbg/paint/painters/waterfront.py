"""Painter of a far town on the water: houses in few values, lit windows, a broken mirror."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.solids import (
    Eye,
    Facade,
    Frame,
    Kind,
    Light,
    Seen,
    Shadows,
    Stage,
    box,
    drawn_facade,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.families.houses import HOUSES, Size
from genbg.paint.families.stuff import stuff_of
from genbg.paint.families.towers import TOWERS

DEPTH = 400.0
"""Where houses stand, so that one unit is one pixel."""
EYE_HEIGHT = 12.0
"""Over the water: the town is seen nearly level."""
QUAY = 2.5
"""Height of its quay, in units."""
CLEAR = (34.0, 60.0)
"""Columns right of the body's where the town begins: it leaves the face free."""
FADE = 0.9
"""How far down the mirror has lost its last dash, in heights of what it shows."""


@dataclass(frozen=True)
class Keys:
    """Keys of the waterfront painter."""

    foot: float = key(0.6, "float", "Row of the waterline, a share of the lines.", low=0.1, high=1)
    size: float = key(1.0, "float", "Size of the houses.", low=0.4, high=3)
    cover: float = key(0.6, "float", "Share of the width that is built on.", low=0.1, high=1)
    houses: str = key("canal", "choice", "How people build here.", choices=tuple(HOUSES))
    tower: str = key("spire", "choice", "Its tower.", choices=("none", *TOWERS))
    glow: float = key(0.5, "float", "Share of windows with a light in them.", low=0, high=1)
    mirror: float = key(0.8, "float", "How much the water shows of it.", low=0, high=1)


RAMPS = (
    Ramp("wall", "Walls, shade to light.", ("#492449", "#6d496d", "#926d92"), 3, hazed=False),
    Ramp(
        "roof", "Roofs and quay, shade to light.", ("#24246d", "#492449", "#924949"), 3, hazed=False
    ),
    Ramp("lamp", "Lit windows.", ("#ff9249", "#ffdb92"), 2, True),
)
NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
STUFF = stuff_of(NUMBER, "wall", "roof")


def paint(keys: Keys, job: Job) -> Painting:
    """The town and its mirror; the rest is see-through."""
    picture = TonalPicture(job, RAMPS)
    dice = Dice(job.seed, "waterfront")
    row = keys.foot * job.lines
    stage = Stage()
    clear = dice.between(*CLEAR) + (job.body.x if job.body is not None else dice.between(0, 512))
    _build(keys, stage, dice, clear, float(job.width))
    eye = Eye(job.width / 2, job.top + row - EYE_HEIGHT, EYE_HEIGHT)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    _colour(keys, job, picture, stage, seen, dice)
    if keys.mirror > 0:
        _mirror(keys, job, picture, int(row), dice)
    return picture.painting(tidy=True)


def _build(keys: Keys, stage: Stage, dice: Dice, start: float, width: float) -> None:
    """Quarters from a column on, with open water between them; the tower stands in one of them."""
    count = dice.choice((2, 2, 3))
    proud = dice.whole(0, count - 1)
    for quarter in range(count):
        part = dice.part("quarter", quarter)
        long = keys.cover * width / count * part.between(0.75, 1.2)
        left = start + quarter * width / count - width / 2
        left = (left + width / 2) % width - width / 2
        frame = Frame(left - 4.0, 0.0, DEPTH - 6.0)
        box(stage, frame, long + 8.0, QUAY, 20.0, NUMBER["roof"])
        x, tower = left, part.between(0.25, 0.7) * long + left
        while x < left + long:
            if quarter == proud and keys.tower != "none" and x >= tower:
                place = Frame(x, QUAY, DEPTH, 0.05)
                TOWERS[keys.tower](stage, part, place, 42.0 * keys.size, STUFF)
                x, tower = x + 14.0 * keys.size, np.inf
            size = Size(*(keys.size * part.between(*ends) for ends in ((9, 15), (8, 17), (9, 12))))
            place = Frame(x, QUAY, DEPTH + part.between(0, 10), part.between(-0.04, 0.06))
            HOUSES[keys.houses](stage, part, place, size, STUFF)
            x += size.width * part.between(0.85, 1.15)


def _colour(
    keys: Keys, job: Job, picture: TonalPicture, stage: Stage, seen: Seen, dice: Dice
) -> None:
    """Few values: shade, and light where the body's side is met."""
    x = job.body.x if job.body is not None else (0.5 + 0.5 * job.light[0]) * job.width
    light = Light(0.86, 0.4, -0.1, x, job.width / 2)
    lit = lighten(Shadows(stage, light), seen, cast=False)
    facade = Facade(glow=keys.glow, bay=4.2, storey=5.0, window=(0.9, 2.0), shutters=0.0)
    drawn = drawn_facade(seen, tones(seen, lit, dice.seed, 0.0), dice.seed, facade)
    tone = np.where(drawn.tone >= 4, 2.0, np.where(drawn.tone >= 3, 1.0, 0.0))
    tone = np.where(seen.kind == Kind.LAMP, 1.0, tone)
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    picture.lay(drawn.glow & seen.has, "lamp", 1.0)


def _mirror(keys: Keys, job: Job, picture: TonalPicture, row: int, dice: Dice) -> None:
    """What still water shows, as far below its line as things stand above it (equal angles)."""
    rows = np.arange(row, job.lines)
    above = 2 * row - 1 - rows
    rows, above = rows[above >= 0], above[above >= 0]
    seed = hash_words(dice.seed, "dash")
    dash = fractal(job.width, job.lines, seed, job.width // 14, 1 / 1.7, octaves=2, top=job.top)
    dash = 1.6 * dash.astype(np.float64)
    tall = row - np.where(picture.holds().any(axis=0), picture.holds().argmax(axis=0), row)
    down = (rows - row)[:, None] / np.maximum(FADE * tall, 4.0)[None, :]
    shown = picture.material[above] != -1
    shown &= dash[rows] > -0.55 + 1.5 * down + 0.6 * (1.0 - keys.mirror)
    shift = np.rint(1.6 * np.minimum(down, 1.0) * np.sign(dash[rows])).astype(np.int64)
    column = (np.arange(job.width)[None, :] + shift) % job.width
    material, tone = picture.material[above[:, None], column], picture.tone[above[:, None], column]
    shown &= material != -1
    part = np.zeros(picture.material.shape, dtype=bool)
    part[rows] = shown
    picture.material[part] = material[shown]
    picture.tone[part] = np.maximum(tone - 1.0, 0.0)[shown]


PAINTER = Painter(
    name="waterfront",
    about="A far town on the water in few values, with lit windows and a broken mirror.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.3,
)
