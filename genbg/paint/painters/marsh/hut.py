"""The lampkeeper's hut: planks on piles, a steep thatch, a landing with a lamp, a punt below."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box, gable_roof
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.boats import row_boat
from genbg.paint.families.lamps import LAMPS
from genbg.paint.families.stuff import stuff_of
from genbg.paint.painters.marsh.keys import NUMBER

STUFF = stuff_of(NUMBER, "wood", "thatch", wood="wood", leaf="reed")
DEPTH = 400.0
"""Where the hut is, so that one unit is one pixel."""


@dataclass(frozen=True)
class Hut:
    """How a hut comes out: floor over the water, long and deep its landing, house its width.

    way: 1 where the landing runs out to the right, -1 to the left
    """

    floor: float
    long: float
    deep: float
    house: float
    way: float


def draw_hut(dice: Dice, toward: float) -> Hut:
    """A hut of a seed; its landing mostly runs out toward the light."""
    return Hut(
        floor=dice.between(13, 19),
        long=dice.between(74, 104),
        deep=dice.between(24, 30),
        house=dice.between(34, 46),
        way=toward if dice.chance(0.7) else -toward,
    )


def build_hut(stage: Stage, dice: Dice, hut: Hut) -> Point:
    """Build it about x = 0; returns the place of its lamp."""
    turn = dice.between(0.02, 0.05) * hut.way
    frame = Frame(-hut.long / 2, 0.0, DEPTH, turn)
    _landing(stage, dice, frame, hut)
    left = 3.0 if hut.way > 0 else hut.long - hut.house - 3.0
    foot = frame.moved(left, hut.floor, 3.0)
    tall = dice.between(17, 21)
    size = hut.house, tall, hut.deep - 5.0
    stage.thing()
    rise = dice.between(15, 21)
    wood, thatch = NUMBER["wood"], NUMBER["thatch"]
    gable_roof(stage, foot, size, rise, wood, thatch, along=dice.chance(0.6), eaves=2.0)
    if dice.chance(0.6):
        low = dice.between(12, 18)
        at = hut.house if hut.way > 0 else -low
        stage.thing()
        gable_roof(stage, foot.moved(at, 0, 4.0), (low, tall * 0.7, 14.0), 8.0, wood, thatch)
    end = hut.long - 7.0 if hut.way > 0 else 7.0
    lamp = frame.moved(end, hut.floor, 3.0)
    place = LAMPS["hung"](stage, dice.part("lamp"), lamp, dice.between(21, 28), STUFF)
    punt = frame.moved(end + 20.0 * hut.way, 0.0, -12.0, 0.02 * hut.way)
    row_boat(stage, dice.part("punt"), punt, dice.between(28, 36), STUFF)
    return place


def _landing(stage: Stage, dice: Dice, frame: Frame, hut: Hut) -> None:
    """Piles with braces, planks on them, a rail, a ladder."""
    wood = NUMBER["wood"]
    stage.thing()
    box(stage, frame.moved(0, hut.floor - 1.8, 0), hut.long, 1.8, hut.deep, wood, Kind.PLANK)
    stage.thing()
    count = max(4, round(hut.long / 15.0))
    for n in range(count):
        at = 2.0 + (hut.long - 4.0) * n / (count - 1)
        for back in (1.5, hut.deep - 2.0):
            foot, head = frame.at(at, -3.0, back), frame.at(at, hut.floor - 1.0, back)
            beam(stage, foot, head, 2.4 if back < 5 else 1.8, wood)
        if n % 2 == 0 and n + 1 < count:
            far = 2.0 + (hut.long - 4.0) * (n + 1) / (count - 1)
            foot, head = frame.at(at, 2.0, 1.5), frame.at(far, hut.floor - 2.0, 1.5)
            beam(stage, foot, head, 1.2, wood)
    left = hut.house + 6.0 if hut.way > 0 else 1.0
    right = hut.long - 1.0 if hut.way > 0 else hut.long - hut.house - 6.0
    for back in (hut.deep - 1.5,):
        for n in range(5):
            at = left + (right - left) * n / 4
            post = frame.at(at, hut.floor, back), frame.at(at, hut.floor + 7.0, back)
            beam(stage, *post, 1.2, wood)
        rail = frame.at(left, hut.floor + 6.6, back), frame.at(right, hut.floor + 6.6, back)
        beam(stage, *rail, 1.2, wood)
    at = hut.long - 14.0 if hut.way > 0 else 14.0
    for side in (-2.5, 2.5):
        foot, head = frame.at(at + side, -2.0, -3.0), frame.at(at + side, hut.floor + 1.0, -0.5)
        beam(stage, foot, head, 1.1, wood)
    for n in range(4):
        y = 1.0 + n * (hut.floor - 1.0) / 4
        rung = frame.at(at - 2.5, y, -2.4), frame.at(at + 2.5, y, -2.4)
        beam(stage, *rung, 1.0, wood)
