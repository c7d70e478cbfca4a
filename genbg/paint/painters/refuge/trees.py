"""Firs on the shoulder, the far ones first."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.firs import draw_fir
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.terrain import cast, fir_shadow, lay_fir
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.refuge.keys import Keys
from genbg.paint.painters.refuge.lamplight import lamp_place
from genbg.paint.painters.refuge.shoulder import Shoulder
from genbg.paint.painters.refuge.site import Site

CLEAR_OF_HOUSE = 46.0
"""Columns before a house that are kept clear of tall firs."""


def fir_places(job: Job, keys: Keys, site: Site, shoulder: Shoulder) -> list[tuple]:
    """(depth, x, line, height) of all firs, the far ones first."""
    if keys.homely:
        return _close_firs(job, keys, site, shoulder)
    dice, found = Dice(job.seed, "firs"), []
    for grove in site.groves:
        for number in range(grove.count):
            x = (
                grove.x
                + grove.spread * ((number + 0.5) / max(1, grove.count) * 2 - 1)
                + 5 * dice.bell()
            )
            deep = min(0.95, max(0.06, grove.deep + 0.16 * dice.bell()))
            tall = (
                keys.tall
                * grove.tall
                * dice.choice((1.0, 0.8, 0.62, 0.45))
                * dice.between(0.9, 1.1)
            )
            line = shoulder.line(x, deep)
            tall = min(tall, line - 2.0)
            off = abs(float(wrapped(x, site.house, job.width)))
            before = site.lived_in and deep < site.deep and off < CLEAR_OF_HOUSE + 0.3 * tall
            if tall > 5 and not before:
                found.append((deep, x, line, tall))
    return sorted(found, key=lambda one: (-one[0], one[1]))


CLEAR_OF_LAMP = 17.0
"""Columns beside a lamp in which no fir stands, so that its light is seen on snow."""
CLOSE = 0.62
"""Share of a grove's spread over which firs that stand close are planted."""
AGES = (1.0, 0.5, 0.82, 0.34, 0.7, 0.58, 0.42, 0.9)
"""Heights of a grove's firs from its middle outward: old ones and young ones by turns."""


def _close_firs(job: Job, keys: Keys, site: Site, shoulder: Shoulder) -> list[tuple]:
    """As `fir_places`, of groves in which an old fir stands among younger ones that overlap it."""
    dice, found = Dice(job.seed, "close firs"), []
    lamp, _ = lamp_place(site, shoulder)
    for grove in site.groves:
        way = dice.choice((-1, 1))
        for number in range(grove.count):
            step = (number + 1) // 2 * (way if number % 2 else -way)
            x = grove.x + CLOSE * grove.spread * 2 * step / max(1, grove.count) + 4.0 * dice.bell()
            deep = min(0.95, max(0.06, grove.deep + 0.15 * dice.bell()))
            tall = keys.tall * grove.tall * AGES[number % len(AGES)] * dice.between(0.85, 1.15)
            line = shoulder.line(x, deep)
            tall = min(tall, line - 2.0)
            off = abs(float(wrapped(x, site.house, job.width)))
            clear = CLEAR_OF_HOUSE * site.size + 0.2 * tall
            before = site.lived_in and deep < site.deep and off < clear
            near_lamp = site.lived_in and abs(float(wrapped(x, lamp, job.width))) < CLEAR_OF_LAMP
            if tall > 5 and not before and not near_lamp:
                found.append((deep, x, line, tall))
    return sorted(found, key=lambda one: (-one[0], one[1]))


def plant_firs(
    picture: TonalPicture, job: Job, keys: Keys, shoulder: Shoulder, places: list[tuple]
) -> None:
    """Firs in their places, the far ones first."""
    for deep, x, line, tall in places:
        side = float(shoulder.side[int(x) % job.width])
        dice = Dice(job.seed, "fir", int(x), round(1000 * deep))
        lay_fir(picture, draw_fir(dice, tall, side, keys.snow), x, line)


def cast_firs(
    picture: TonalPicture, shoulder: Shoulder, places: list[tuple], whole: bool = False
) -> None:
    """The shadows of firs on the snow; whole: none is cut off by the layer's last line."""
    for _, x, line, tall in places:
        side = float(shoulder.side[int(x) % picture.tone.shape[1]])
        room = len(picture.tone) - line if whole else np.inf
        shadow = fir_shadow(picture.tone.shape, x, line, tall, side, room)
        cast(picture, shadow, 0.6 * picture.last("shade"))
