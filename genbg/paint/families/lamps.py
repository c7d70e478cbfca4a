"""Lamps by region. Each tells where its light is."""

from __future__ import annotations

from collections.abc import Callable

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Kind, Stage, beam, box, prism, pyramid
from genbg.paint.craft.solids.shapes import Frame
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.stuff import Stuff

Builder = Callable[[Stage, Dice, Frame, float, Stuff], Point]
"""(stage, dice, frame at its foot, height, stuff) -> place of the light."""


def post_lamp(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A street lamp: a slim post with a glass of six sides under a cap."""
    stage.thing()
    x, y, z = frame.x, frame.y, frame.z
    prism(stage, (x, y, z), (1.0, 0.7), 1.6, 6, stuff.wood, casts=False)
    beam(stage, (x, y, z), (x, y + height, z), 0.9, stuff.wood, casts=False)
    glass(stage, (x, y + height, z), 1.5, 2.6, stuff)
    return x, y + height + 1.3, z


def glass(stage: Stage, centre: Point, radius: float, height: float, stuff: Stuff) -> None:
    """A lantern's glass with its cap."""
    x, y, z = centre
    prism(stage, centre, (radius * 0.8, radius), height, 6, stuff.lamp, Kind.LAMP, casts=False)
    pyramid(stage, (x, y + height, z), radius * 1.2, radius * 1.1, 6, stuff.wood)


def bracket_lamp(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A lantern on an arm that stands out of a wall; the frame lies on the wall."""
    stage.thing()
    start, end = frame.at(0, height, 0), frame.at(0, height + 0.6, -4.0)
    beam(stage, start, end, 0.7, stuff.wood, casts=False)
    beam(stage, frame.at(0, height - 3, 0), frame.at(0, height, -2.6), 0.6, stuff.wood, casts=False)
    low = frame.at(0, height - 3.0, -4.0)
    glass(stage, low, 1.3, 2.4, stuff)
    return low[0], low[1] + 1.2, low[2]


def stone_lamp(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A lantern of stone: foot, pillar, light house under a wide cap."""
    stage.thing()
    x, y, z = frame.x, frame.y, frame.z
    box(stage, Frame(x - 1.8, y, z - 1.8), 3.6, 1.0, 3.6, stuff.stone)
    prism(stage, (x, y + 1, z), (1.0, 0.8), height - 1, 6, stuff.stone)
    prism(stage, (x, y + height, z), (1.6, 1.6), 2.0, 6, stuff.lamp, Kind.LAMP, casts=False)
    pyramid(stage, (x, y + height + 2, z), 2.8, 2.2, 6, stuff.stone)
    return x, y + height + 1, z


def hung_lamp(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A paper lantern that hangs from a bent pole."""
    stage.thing()
    x, y, z = frame.x, frame.y, frame.z
    lean = dice.choice((-1.0, 1.0))
    beam(stage, (x, y, z), (x + lean, y + height, z), 0.8, stuff.wood, casts=False)
    beam(stage, (x + lean, y + height, z), (x + lean * 4, y + height + 1, z), 0.7, stuff.wood)
    x = x + lean * 4
    y = y + height - 3.4
    prism(stage, (x, y, z), (0.8, 1.7), 1.2, 7, stuff.lamp, Kind.LAMP, casts=False)
    prism(stage, (x, y + 1.2, z), (1.7, 0.8), 1.4, 7, stuff.lamp, Kind.LAMP, casts=False)
    return x, y + 1.2, z


def hand_lamp(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """The courier's lamp, set down: a glass with a ring to carry it by."""
    stage.thing()
    x, y, z = frame.x, frame.y, frame.z
    prism(stage, (x, y, z), (height * 0.36, height * 0.36), height * 0.14, 6, stuff.wood)
    glass(stage, (x, y + height * 0.14, z), height * 0.3, height * 0.52, stuff)
    return x, y + height * 0.4, z


LAMPS: dict[str, Builder] = {
    "post": post_lamp,
    "bracket": bracket_lamp,
    "stone": stone_lamp,
    "hung": hung_lamp,
    "hand": hand_lamp,
}
"""Lamps by region."""
