"""What stands on near ground in a dry land: heaps of boulders that overlap, plants of four kinds.

A heap has a great stone, a flat one it lies on or leans to, upright ones behind and chips about it;
no two are of one build. Plants grow at the feet of heaps, and some alone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scrub import LEAF, STEM, Bush, draw_bush, draw_clump, draw_rosette
from genbg.paint.craft.terrain import cast, put
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.field import Field, ground_line
from genbg.paint.painters.drifts.keys import Keys
from genbg.paint.painters.drifts.things import set_rock

HEAPS = 4
"""Heaps of boulders on 512 columns where the preset's `rocks` is 1."""
ALONE = 9
"""Plants that stand alone on 512 columns where the preset's `trees` is 1."""
BUILDS = (
    ((0.0, 0.0, 1.0, 0.66), (0.62, 4.0, 0.5, 0.5), (-0.6, 6.0, 0.34, 0.7)),
    ((0.0, 0.0, 0.7, 0.92), (0.5, 5.0, 0.8, 0.36), (-0.45, 3.0, 0.44, 0.7)),
    ((0.0, 2.0, 1.25, 0.34), (-0.2, -5.0, 0.7, 0.8), (0.7, 6.0, 0.3, 0.7), (0.34, -3.0, 0.5, 0.8)),
    ((0.0, 0.0, 0.8, 0.8), (0.66, -2.0, 0.72, 0.9), (0.3, 7.0, 0.5, 0.42)),
    ((0.0, 0.0, 0.7, 0.5),),
)
"""Builds of heaps: for each stone its column off the middle, lines toward us, width, steepness."""
LARGE = 62.0
"""Width in pixels of the largest stones where the preset's `stone` is 1."""


@dataclass(frozen=True)
class Thing:
    """What stands there: the line of its foot, its column, and either a size or a plant's kind."""

    line: float
    x: float
    wide: float
    tall: float
    plant: str = ""


def set_desert(picture: TonalPicture, job: Job, keys: Keys, field: Field) -> None:
    """Heaps of boulders and plants, the far ones first."""
    dice = Dice(job.seed, "desert")
    todo = _place_heaps(dice, job, keys)
    todo += _place_plants(dice, job, keys)
    for thing in sorted(todo, key=lambda one: one.line):
        y = ground_line(field, thing.x, thing.line)
        if y < 6 or y - field.top[int(thing.x) % job.width] < 2:
            continue
        side = float(field.side[int(thing.x) % job.width])
        if thing.plant:
            _set_plant(picture, dice, thing, y, side)
        else:
            fits = min(1.0, (y - 2.0) / (1.15 * thing.tall))
            size = thing.wide * (0.5 + 0.5 * fits), thing.tall * fits
            set_rock(picture, dice, thing.x, y, size, side, keys.cap)


def _place_heaps(dice: Dice, job: Job, keys: Keys) -> list[Thing]:
    """Heaps in uneven gaps, of uneven size, and plants at their feet."""
    found: list[Thing] = []
    count = max(1, round(HEAPS * job.width / 512)) if keys.rocks > 0 else 0
    builds = dice.shuffled(BUILDS)
    for number in range(count):
        x = (number + 0.7 * dice.unit()) * job.width / count
        size = LARGE * (0.4 + 0.6 * keys.stone) * dice.choice((0.6, 1.0, 1.3)) * keys.rocks
        line, turn = job.lines * dice.between(0.66, 1.02), dice.choice((-1, 1))
        for across, down, wide, steep in builds[number % len(builds)]:
            part = size * wide * dice.between(0.85, 1.15)
            at = x + turn * across * size
            found.append(Thing(line + down * size / LARGE, at, part, part * steep))
        for _ in range(dice.whole(2, 4)):
            part = dice.between(4, 11)
            off = dice.choice((-1, 1)) * (0.5 * size + dice.between(2, 26))
            found.append(Thing(line + dice.between(0, 9), x + off, part, 0.65 * part))
        for _ in range(dice.whole(0, 2)):
            off = dice.choice((-1, 1)) * (0.5 * size + dice.between(0, 14))
            found.append(_plant(dice, job, x + off, line + dice.between(-6, 6)))
    return found


def _place_plants(dice: Dice, job: Job, keys: Keys) -> list[Thing]:
    """Plants that stand alone or two together."""
    found: list[Thing] = []
    count = round(ALONE * keys.trees * job.width / 512)
    for number in range(count):
        x = (number + dice.unit()) * job.width / max(1, count)
        line = job.lines * dice.between(0.3, 1.12)
        found.append(_plant(dice, job, x, line))
        if dice.chance(0.35):
            found.append(_plant(dice, job, x + dice.between(12, 26), line + dice.between(-4, 5)))
    return found


def _plant(dice: Dice, job: Job, x: float, line: float) -> Thing:
    """A plant of some kind, taller toward us."""
    kind = dice.choice(("bush", "bush", "rosette", "clump", "clump", "stalk"))
    near = 0.6 + 0.7 * line / job.lines
    tall = {"bush": 17.0, "rosette": 12.0, "clump": 9.0, "stalk": 10.0}[kind]
    return Thing(line, x, 0.0, tall * near * dice.between(0.75, 1.2), kind)


def _set_plant(picture: TonalPicture, dice: Dice, thing: Thing, y: int, side: float) -> None:
    """A plant over its shadow, no higher than there is room."""
    tall = min(thing.tall, y - 1.0)
    lines, width = picture.tone.shape
    reach = 0.7 if thing.plant == "bush" else 0.5
    off = wrapped(np.arange(width)[None, :], thing.x - side * tall * reach, width) / (0.9 * tall)
    down = (np.arange(lines)[:, None] - y - 1) / 2.2
    cast(picture, off * off + down * down < 1.0, 0.4 * picture.last("shade"))
    draw: dict[str, Callable[[], Bush]] = {
        "bush": lambda: draw_bush(dice, tall, side, dice.between(0.25, 0.6)),
        "rosette": lambda: draw_rosette(dice, tall, side),
        "stalk": lambda: draw_rosette(dice, tall, side, min(y - 1.0, tall * 3.0)),
        "clump": lambda: draw_clump(dice, tall, side),
    }
    plant = draw[thing.plant]()
    left, top = int(thing.x) - plant.x, y - plant.y
    for material, ramp in ((STEM, "rock"), (LEAF, "leaf")):
        tone = plant.tone * picture.last(ramp)
        put(picture, plant.material == material, ramp, tone, left, top)
