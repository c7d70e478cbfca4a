"""The stair of a steep hill: it turns at every terrace, and at every turn stands a lamp."""

from __future__ import annotations

from itertools import pairwise

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, box
from genbg.paint.families.lamps import LAMPS
from genbg.paint.families.stuff import Stuff
from genbg.paint.painters.cliffs.land import Mound

STEP = 2.2
"""Height of a step."""
LANDING = 5.0
"""Units from a flight to the end of its landing."""
DEEP = 6.0
RAIL = 2.8
"""Height of the white parapet that shows where the stair goes."""


def climb(
    stage: Stage, dice: Dice, one: Mound, ends: tuple[float, float], stuff: Stuff, white: int
) -> None:
    """A stair over all terraces. ends: x between which it turns; white: what its parapet is of."""
    right = dice.chance(0.5)
    for below, level in pairwise(one.levels):
        z = level.z - DEEP - 1.0
        stage.thing()
        flight(stage, (below.y, level.y, z), ends, right, stuff)
        parapet(stage, (below.y, level.y, z - 0.4), ends, right, white)
        lamp = ends[1] - 2.0 if right else ends[0] + 2.0
        LAMPS["post"](stage, dice, Frame(lamp, level.y, z + 2), 9.0, stuff)
        right = not right


def flight(
    stage: Stage,
    at: tuple[float, float, float],
    ends: tuple[float, float],
    right: bool,
    stuff: Stuff,
) -> None:
    """Steps up to the right or left, and the landing at their head. at: foot, head, depth."""
    foot, head, z = at
    low, high = ends[0] + LANDING, ends[1] - LANDING
    rise = head - foot
    count = max(2, round(rise / STEP))
    wide = (high - low) / count
    for n in range(count):
        x = low + n * wide if right else high - (n + 1) * wide
        tall = 1 + rise * (n + 1) / count
        box(
            stage,
            Frame(x, foot - 1, z),
            wide + 0.2,
            tall,
            DEEP,
            stuff.stone,
            Kind.STONE,
            casts=False,
        )
    end = high if right else ends[0]
    box(stage, Frame(end, foot, z), LANDING, rise, DEEP + 3, stuff.stone, Kind.STONE)


def parapet(
    stage: Stage, at: tuple[float, float, float], ends: tuple[float, float], right: bool, white: int
) -> None:
    """A low white wall before a flight and its landing. at: foot, head, depth."""
    foot, head, z = at
    low, high = ends[0] + LANDING, ends[1] - LANDING
    start, end = (low, high) if right else (high, low)
    last = ends[1] if right else ends[0]
    ways = (((start, foot), (end, head)), ((end, head), (last, head)))
    for (xa, ya), (xb, yb) in ways:
        sheet = [(xa, ya - 0.6, z), (xb, yb - 0.6, z), (xb, yb + RAIL, z), (xa, ya + RAIL, z)]
        stage.sheet(sheet, white, casts=False)
