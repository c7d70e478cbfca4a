"""Towers by region. Each tells where its lamp or bell hangs."""

from __future__ import annotations

from collections.abc import Callable

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box, drum, prism, pyramid
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.stuff import Stuff

Builder = Callable[[Stage, Dice, Frame, float, Stuff], Point]
"""(stage, dice, frame at its front left foot, height, stuff) -> place of lamp or bell."""


BELFRY = 14.0
"""Most height of an open belfry."""
OCTAGON = (
    (1.0, 0.4),
    (0.4, 1.0),
    (-0.4, 1.0),
    (-1.0, 0.4),
    (-1.0, -0.4),
    (-0.4, -1.0),
    (0.4, -1.0),
    (1.0, -0.4),
)
"""Corners of a clock's face."""


def bell_tower(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A square shaft with two string courses, an open belfry and a tiled tent."""
    stage.thing()
    wide, wall = 9.0, stuff.walls[0]
    shaft = max(height * 0.68, height - BELFRY)
    box(stage, frame, wide, shaft, wide, wall, Kind.TOWER)
    for y in (shaft, height):
        box(stage, frame.moved(-0.8, y, -0.8), wide + 1.6, 1.4, wide + 1.6, wall)
    for a, b in ((0.0, 0.0), (wide - 2.2, 0.0), (0.0, wide - 2.2), (wide - 2.2, wide - 2.2)):
        box(stage, frame.moved(a, shaft + 1.4, b), 2.2, height - shaft - 1.4, 2.2, wall)
    box(stage, frame.moved(2.8, shaft + 1.4, 2.8), 3.4, 2.0, 3.4, stuff.wood)
    roof = frame.at(wide / 2, height + 1.4, wide / 2)
    pyramid(stage, roof, wide * 0.72, 10.0, 4, dice.choice(stuff.roofs), turns=0.125 + frame.turns)
    top = (roof[0], roof[1] + 9.0, roof[2])
    beam(stage, top, (top[0], top[1] + 4.5, top[2]), 0.8, stuff.wood)
    return frame.at(wide / 2, (shaft + height) / 2, wide / 2)


def watch_tower(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A round tapering tower with a wider head, battlements and a cone."""
    stage.thing()
    x, y, z = frame.at(5.0, 0, 5.0)
    drum(stage, (x, y, z), 6.6, height * 0.8, stuff.stone, Kind.STONE, 0.2)
    head = y + height * 0.8
    drum(stage, (x, head, z), 6.6, height * 0.16, stuff.stone, Kind.TOWER, sides=10)
    for n in range(6):
        box(
            stage,
            Frame(x - 6.4 + n * 2.4, head + height * 0.16, z - 5.0),
            1.3,
            1.7,
            2.0,
            stuff.stone,
        )
    cone = head + height * 0.16
    prism(stage, (x, cone, z), (5.6, 5.2), 1.4, 10, stuff.stone)
    pyramid(stage, (x, cone + 1.4, z), 6.6, 10.5, 10, dice.choice(stuff.roofs), Kind.ROOF)
    return x, head + 3.0, z - 6.6


def spire_tower(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A town tower: square shaft, clock, eight-sided belfry and a stepped spire."""
    stage.thing()
    wide, wall = 11.0, stuff.stone
    box(stage, frame, wide, height * 0.7, wide, wall, Kind.TOWER)
    for share in (0.3, 0.52, 0.7):
        box(stage, frame.moved(-0.6, height * share, -0.6), wide + 1.2, 1.2, wide + 1.2, wall)
    clock = frame.at(wide / 2, height * 0.61, -0.3)
    right, _ = frame.axes()
    round_face = [
        (clock[0] + right[0] * a * 3.2, clock[1] + b * 3.2, clock[2] + right[2] * a * 3.2)
        for a, b in OCTAGON
    ]
    stage.sheet(round_face, stuff.lamp, Kind.LAMP, casts=False)
    for y, high in ((height * 0.36, 5.0), (height * 0.16, 5.0)):
        slit = [
            frame.at(wide / 2 + a, y + b, -0.3) for a, b in ((-1, 0), (1, 0), (1, high), (-1, high))
        ]
        stage.sheet(slit, stuff.wood, casts=False)
    x, y, z = frame.at(wide / 2, height * 0.7 + 1.2, wide / 2)
    prism(stage, (x, y, z), (4.6, 4.6), height * 0.16, 8, wall, Kind.TOWER)
    for a in (-1.6, 1.6):
        arch = [
            (x + a + b, y + c, z - 4.9) for b, c in ((-0.9, 2), (0.9, 2), (0.9, 11), (-0.9, 11))
        ]
        stage.sheet(arch, stuff.wood, casts=False)
    y += height * 0.16
    roof = stuff.roofs[-1]
    for low, high, rise in ((6.4, 4.0, 3.6), (4.0, 3.0, 2.6), (3.0, 1.2, 2.8), (1.2, 0.02, 9.5)):
        prism(stage, (x, y, z), (low, high), rise, 8, roof)
        y += rise
    return frame.at(wide / 2, height * 0.6, 0)


def light_tower(stage: Stage, dice: Dice, frame: Frame, height: float, stuff: Stuff) -> Point:
    """A lantern post on a mole: plinth, slim shaft, gallery, glass, cap."""
    stage.thing()
    x, y, z = frame.x, frame.y, frame.z
    prism(stage, (x, y, z), (5.0, 4.6), 2.6, 8, stuff.stone)
    prism(stage, (x, y + 2.6, z), (3.3, 2.5), height - 8.4, 8, stuff.stone)
    prism(stage, (x, y + height - 5.8, z), (4.2, 4.2), 1.2, 8, stuff.stone)
    prism(stage, (x, y + height - 4.6, z), (2.4, 2.4), 4.6, 8, stuff.lamp, Kind.LAMP, casts=False)
    pyramid(stage, (x, y + height, z), 3.5, 4.4, 8, stuff.stone)
    return x, y + height - 2.4, z


TOWERS: dict[str, Builder] = {
    "bell": bell_tower,
    "watch": watch_tower,
    "spire": spire_tower,
    "light": light_tower,
}
"""Towers by region."""
