"""Where the row of houses opens: a square with stairs, a boatyard, a garden, a lane."""

from __future__ import annotations

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import (
    CROWN,
    Frame,
    Kind,
    Stage,
    beam,
    boulder,
    box,
    gable_roof,
    prism,
)
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.boats import BOATS
from genbg.paint.families.houses import Size
from genbg.paint.families.lamps import LAMPS
from genbg.paint.families.stuff import Stuff
from genbg.paint.painters.canal.houses import Plot, street_house

WIDE = {"square": 58.0, "yard": 62.0, "garden": 40.0, "lane": 15.0}
"""Units of the bank that each place takes."""
STAIRS = 5
"""Steps from a square down to the water."""


def build_place(stage: Stage, dice: Dice, name: str, at: Point, stuff: Stuff) -> list[Lamp]:
    """A place of the row; at: its left end at the front of the houses. Its lamps."""
    return {"square": _square, "yard": _yard, "garden": _garden, "lane": _lane}[name](
        stage, dice, at, stuff
    )


def _square(stage: Stage, dice: Dice, at: Point, stuff: Stuff) -> list[Lamp]:
    """Houses that stand back, stairs as wide as the square, a lamp at their head."""
    x, y, z = at
    wide = WIDE["square"]
    for n, share in enumerate((0.0, 0.36, 0.68)):
        one = dice.part(n)
        size = Size(wide * 0.33, one.between(24, 40), 20.0)
        plot = Plot(x + wide * share, z + 34, y, 0.0)
        street_house(stage, one, plot, size, one.choice(("stepped", "along", "bell")), stuff)
    stage.thing()
    for n in range(STAIRS):
        top = y - 1.6 * n
        frame = Frame(x + 8, -1.0, z - 9 - 3.4 * (n + 1))
        box(stage, frame, wide - 16, top + 1, 3.6, stuff.stone, Kind.STONE, stuff.stone, Kind.FLOOR)
    for side in (4.0, wide - 9.0):
        box(stage, Frame(x + side, 0, z - 9 - 3.4 * 3), 5, y + 3, 11, stuff.stone, Kind.STONE)
    lamp = LAMPS["post"](stage, dice, Frame(x + wide * 0.5, y, z - 4), 12.0, stuff)
    return [Lamp(lamp, 2.2, 20.0)]


def _yard(stage: Stage, dice: Dice, at: Point, stuff: Stuff) -> list[Lamp]:
    """A shed open to the water, a hull on stocks before it, a slip, sheer legs."""
    x, y, z = at
    stage.thing()
    shed = Frame(x + 6, y, z + 16)
    gable_roof(stage, shed, (34, 15, 18), 9, stuff.wood, stuff.roofs[1], along=dice.chance(0.5))
    box(stage, shed.moved(4, 0, -0.3), 26, 11, 0.4, stuff.lamp, Kind.PLAIN, casts=False)
    for n in range(4):
        box(stage, shed.moved(4 + n * 8.2, 0, -0.8), 1.6, 12, 0.8, stuff.wood)
    stage.thing()
    slip = [(x + 22, y, z - 2), (x + 56, y, z - 2), (x + 60, -1, z - 24), (x + 18, -1, z - 24)]
    stage.sheet(slip, stuff.stone, Kind.FLOOR)
    BOATS["row"](stage, dice, Frame(x + 40, y + 2.4, z - 3, 0.02), 32, stuff)
    for post in (28.0, 40.0, 52.0):
        beam(stage, (x + post - 2, y, z - 5), (x + post + 1, y + 5, z - 4), 1.2, stuff.wood)
    top = (x + 50, y + 30, z - 4)
    for foot in (x + 42.0, x + 58.0):
        beam(stage, (foot, y, z - 4), top, 1.2, stuff.wood)
    beam(stage, top, (x + 50, y + 13, z - 4), 0.7, stuff.wood, casts=False)
    lamp = LAMPS["hung"](stage, dice, Frame(x + 14, y, z - 4), 12.0, stuff)
    return [Lamp(lamp, 2.0, 19.0)]


def _garden(stage: Stage, dice: Dice, at: Point, stuff: Stuff) -> list[Lamp]:
    """A wall at the water with trees over it."""
    x, y, z = at
    stage.thing()
    wide = WIDE["garden"]
    box(stage, Frame(x - 2, 0, z - 2), wide + 4, y + 8, 3, stuff.stone, Kind.STONE)
    box(stage, Frame(x - 2, y + 8, z - 2.6), wide + 4, 1.2, 4.2, stuff.stone)
    for n, share in enumerate((0.25, 0.72)):
        one = dice.part(n)
        plant_tree(stage, one, (x + wide * share, y, z + 8), one.between(11, 14), stuff)
    return []


def _lane(stage: Stage, dice: Dice, at: Point, stuff: Stuff) -> list[Lamp]:
    """A gap between houses, an arch over it, a lamp in its depth."""
    x, y, z = at
    stage.thing()
    wide = WIDE["lane"]
    box(stage, Frame(x - 1, y + 15, z + 10), wide + 2, 5, 4, stuff.stone, Kind.STONE)
    for n in range(4):
        box(stage, Frame(x, y, z + n * 8), wide, 1.0 + n * 1.6, 8, stuff.stone)
    lamp = LAMPS["bracket"](stage, dice, Frame(x + 2, y + 2, z + 6), 13.0, stuff)
    return [Lamp(lamp, 2.0, 17.0)]


def plant_tree(stage: Stage, dice: Dice, at: Point, size: float, stuff: Stuff) -> None:
    """A tree with a crown of few large masses, its light side toward the moon."""
    x, y, z = at
    stage.thing()
    beam(stage, at, (x + dice.between(-1, 1), y + size * 1.6, z), 1.5, stuff.wood)
    for n in range(8):
        turn, out = dice.between(-1, 1), dice.between(-0.5, 0.7)
        centre = x + turn * size * 0.9, y + size * (1.5 + out), z - dice.between(-2, 3)
        radius = size * dice.between(0.42, 0.66)
        radii = radius, radius * 0.75, radius
        boulder(stage, centre, radii, dice.seed ^ n, stuff.leaf, CROWN, Kind.LEAF)
    prism(stage, (x, y, z), (1.8, 1.0), 1.6, 6, stuff.wood)
