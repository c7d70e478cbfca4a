"""What people have built or pitched in a canyon land, of the shared solids: one kind a seed.

Each builder stands its dwelling about world x = 0 and hangs or sets up the lamp that goes with it.
`k` is the size, 1 is common; `away` the side that the light does not come from, -1 left or 1 right.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box, drum, prism, pyramid
from genbg.paint.craft.solids.shapes import slab
from genbg.paint.families.houses import Size, dome, dome_house
from genbg.paint.families.lamps import bracket_lamp, hand_lamp, hung_lamp, post_lamp, stone_lamp
from genbg.paint.families.stuff import Stuff

FOCAL = 400.0
"""Depth at which one unit is one pixel."""
WALL, CLOTH, WOOD, GLASS, HOLE, HIDE = range(6)
"""Materials of the stage; HOLE: what lies open and dark; HIDE: of animals."""
STUFF = Stuff((WALL,), (WALL,), WALL, WOOD, GLASS, CLOTH, CLOTH, (WOOD,))


@dataclass(frozen=True)
class Dwelling:
    """A kind of dwelling: how it is built, and what of it throws the shadow on the ground.

    half, tall: half its width and its height in units of its size; door: arched doors in fronts
    size: how much larger than a house it is drawn
    """

    build: Callable[[Stage, Dice, float, int], None]
    half: float
    tall: float
    door: bool = False
    size: float = 1.0


def _awning(stage: Stage, home: Frame, left: float, k: float) -> None:
    """A cloth on two posts, its upper edge on the wall; left: where it begins beside the house."""
    high, low = 12 * k, 8.5 * k
    quad = [
        home.at(left, low, -7 * k),
        home.at(left + 14 * k, low, -7 * k),
        home.at(left + 14 * k, high, 8 * k),
        home.at(left, high, 8 * k),
    ]
    slab(stage, quad, CLOTH, Kind.PLAIN, 0.8)
    for across in (0.6, 13.4 * k):
        foot = home.at(left + across, 0, -6.6 * k)
        beam(stage, foot, (foot[0], foot[1] + low, foot[2]), 0.9, WOOD)
    stage.thing()


def _hole(stage: Stage, frame: Frame, wide: float, tall: float) -> None:
    """A dark opening with a slanting head, its left foot at the frame."""
    corners = [frame.at(0, 0, 0), frame.at(wide, 0, 0), frame.at(0.5 * wide, tall, 0)]
    stage.sheet(corners, HOLE, casts=False)


def _bale(stage: Stage, dice: Dice, x: float, z: float, k: float, material: int) -> None:
    """A bale or chest, turned as it was set down."""
    wide, high = dice.between(3.5, 6.0) * k, dice.between(2.5, 4.5) * k
    box(stage, Frame(x, 0.0, FOCAL + z, dice.between(-0.1, 0.1)), wide, high, 0.8 * wide, material)


def _domed(stage: Stage, dice: Dice, k: float, away: int) -> None:
    """A post of clay cubes, one under a dome, an awning at its side."""
    home = Frame(0.0, 0.0, FOCAL, 0.1 * away).moved(-12 * k, 0, 0)
    size = Size(23 * k, dice.between(14, 18) * k, 18 * k)
    dome_house(stage, dice, home, size, STUFF)
    stage.thing()
    _awning(stage, home, size.width + 1 if away > 0 else -15 * k, k)
    post_lamp(stage, dice, Frame(-dice.between(24, 34) * k * away, 0.0, FOCAL - 6), 25 * k, STUFF)


def _wind_tower(stage: Stage, dice: Dice, k: float, away: int) -> None:
    """A low house whose tall tower catches the wind; a lamp hangs from the tower."""
    home = Frame(-15.0 * k, 0.0, FOCAL, 0.1 * away)
    long, high = 30 * k, dice.between(10, 13) * k
    stage.thing()
    box(stage, home, long, high, 15 * k, WALL, Kind.FRONT)
    box(stage, home.moved(-0.4, high, -0.4), long + 0.8, 1.1, 15 * k + 0.8, WALL)
    at = (3.0 if away > 0 else 17.0) * k
    tower, up = home.moved(at, 0, 3 * k), dice.between(29, 38) * k
    stage.thing()
    box(stage, tower, 9 * k, up, 9 * k, WALL, Kind.TOWER)
    box(stage, tower.moved(-0.7, up, -0.7), 9 * k + 1.4, 1.4, 9 * k + 1.4, WALL)
    dome(stage, home.at(long - at - 2 * k, high + 1.0, 7 * k), 5.5 * k, WALL)
    stage.thing()
    _awning(stage, home, long + 1 if away > 0 else -15 * k, 0.8 * k)
    bracket_lamp(stage, dice, tower.moved(4.5 * k, 0, 0), 17 * k, STUFF)


TENTS = (-8.0, 4.0, 1.0), (13.0, 12.0, 0.72), (-27.0, 16.0, 0.6)
"""Where round tents stand, to the side and back, and their sizes."""


def _tents(stage: Stage, dice: Dice, k: float, away: int) -> None:
    """Round tents of striped cloth, bales before them, a lamp on a bent pole."""
    for number, (across, back, size) in enumerate(TENTS):
        if number == 2 and dice.chance(0.4):
            continue
        size *= k * dice.between(0.9, 1.1)
        x, z, radius = across * k * away, FOCAL + back, 11 * size
        stage.thing()
        prism(stage, (x, 0, z), (radius, 0.94 * radius), 8 * size, 8, CLOTH, Kind.CLOTH)
        pyramid(stage, (x, 8 * size, z), 1.14 * radius, 11 * size, 8, CLOTH, Kind.CLOTH)
        beam(stage, (x, 17 * size, z), (x, 22 * size, z), 0.8, WOOD)
        _hole(stage, Frame(x - 3 * size, 0, z - radius - 0.6), 6 * size, 9 * size)
    stage.thing()
    for x in (5.0, 10.0, 22.0):
        _bale(stage, dice, x * k * away, -14 * k, k, dice.choice((WALL, WOOD, CLOTH)))
    stage.thing()
    hung_lamp(stage, dice, Frame(-22 * k * away, 0.0, FOCAL - 8), dice.between(16, 22) * k, STUFF)


def _caravan(stage: Stage, dice: Dice, k: float, away: int) -> None:
    """A caravan at rest: a cloth on poles, animals that lie in its shade, bales, a hand lamp."""
    stage.thing()
    quad = [
        (-17 * k, 9 * k, FOCAL - 9),
        (12 * k, 9 * k, FOCAL - 9),
        (15 * k, 14 * k, FOCAL + 9),
        (-14 * k, 14 * k, FOCAL + 9),
    ]
    slab(stage, quad, CLOTH, Kind.CLOTH, 0.7)
    for x, y, z in quad:
        beam(stage, (x, 0, z), (x, y, z), 0.9, WOOD)
    for x, size in ((-27, 1.15), (-5, 0.9), (24, 1.05)):
        stage.thing()
        _animal(
            stage,
            Frame(x * k * away, 0.0, FOCAL - 2),
            size * k,
            dice.choice((-1, 1)),
            dice.chance(0.5),
        )
    stage.thing()
    for x in (-13.0, 8.0, 12.0, 32.0):
        _bale(stage, dice, x * k * away, -12 * k, k, dice.choice((WALL, WOOD, CLOTH)))
    hand_lamp(stage, dice, Frame(3 * k * away, 0.0, FOCAL - 16 * k), 6 * k, STUFF)


def _animal(stage: Stage, frame: Frame, k: float, ahead: int, lies: bool) -> None:
    """A pack animal, lying or on its feet: body, load, neck and head; ahead: side it looks to."""
    x, z = frame.x, frame.z
    foot = 0.0 if lies else 5.4 * k
    for leg in () if lies else (-3.4, -2.4, 2.6, 3.6):
        beam(stage, (x + leg * k, 0, z), (x + leg * k, 6 * k, z), 1.1 * k, HIDE)
    prism(stage, (x, foot, z), (5.6 * k, 4.6 * k), 4.4 * k, 8, HIDE)
    prism(stage, (x - 0.5 * ahead * k, foot + 4.0 * k, z), (3.6 * k, 1.6 * k), 3.0 * k, 6, CLOTH)
    neck = x + 4.6 * ahead * k, foot + 2.4 * k, z - 1.0
    head = neck[0] + 3.2 * ahead * k, foot + 8.4 * k, neck[2]
    beam(stage, neck, head, 1.8 * k, HIDE)
    beam(stage, head, (head[0] + 2.8 * ahead * k, head[1] - 0.8 * k, head[2]), 1.8 * k, HIDE)


def _gate(stage: Stage, dice: Dice, k: float, away: int) -> None:
    """A ruined gate: two piers, half of the lintel, fallen blocks, a lamp of stone before it."""
    turn, high, low = 0.09 * away, dice.between(30, 38) * k, dice.between(14, 24) * k
    wide, gap = 9.0 * k, dice.between(13, 18) * k
    home = Frame(-(wide + 0.5 * gap), 0.0, FOCAL, turn)
    tall_left = dice.chance(0.5)
    for number, x in enumerate((0.0, wide + gap)):
        pier, up = home.moved(x, 0, 0), high if tall_left == (number == 0) else low
        stage.thing()
        box(stage, pier.moved(-1, 0, -1), wide + 2, 2.6 * k, 11 * k, WALL, Kind.STONE)
        box(stage, pier, wide, up, 9 * k, WALL, Kind.STONE)
        if up == high:
            reach = dice.between(0.4, 0.8) * gap
            start = 0.0 if number == 0 else -reach
            lintel = pier.moved(start - 1, up, -1)
            box(stage, lintel, wide + reach + 1, 4 * k, 10 * k, WALL, Kind.STONE)
            box(stage, pier.moved(1, up + 4 * k, 1), wide - 2, 2.4 * k, 6 * k, WALL, Kind.STONE)
        else:
            box(stage, pier.moved(1.5 * k, up, 1), 0.5 * wide, 2.6 * k, 6 * k, WALL, Kind.STONE)
    stage.thing()
    for x in (-30.0, 26.0, 33.0):
        place = Frame(x * k * away, 0.0, FOCAL - 6 * k, dice.between(0.04, 0.16))
        size = dice.between(4.0, 7.5) * k
        box(stage, place, size, dice.between(0.5, 0.9) * size, size, WALL, Kind.STONE)
    stage.thing()
    stone_lamp(stage, dice, Frame(-26.0 * k * away, 0.0, FOCAL - 6 * k), 12 * k, STUFF)


def _cliff(stage: Stage, dice: Dice, k: float, away: int) -> None:
    """Houses in an alcove, against its back: a round tower, a ladder, a lamp on a wall."""
    x, last = -24.0 * k, Frame(0.0, 0.0, FOCAL)
    for number in range(4):
        wide, high = dice.between(9, 14) * k, dice.between(8, 17) * k
        stage.thing()
        if number == 2:
            drum(stage, (x + 5 * k, 0, FOCAL + 5 * k), 5 * k, high + 7 * k, WALL, Kind.SIDE, 0.14)
            x += 10 * k
            continue
        last = Frame(x, 0.0, FOCAL + dice.between(0, 5) * k, 0.05 * away)
        box(stage, last, wide, high, 12 * k, WALL, Kind.FRONT)
        box(stage, last.moved(-0.3, high, -0.3), wide + 0.6, 0.9, 12 * k, WALL)
        if dice.chance(0.7):
            upper = last.moved(0.25 * wide, high, 4 * k)
            box(stage, upper, 0.7 * wide, 7 * k, 8 * k, WALL, Kind.FRONT)
        x += wide + dice.between(-1, 1) * k
    stage.thing()
    for side in (0.0, 2.4 * k):
        foot = (-12.0 * k + side, 0.0, FOCAL - 3 * k)
        beam(stage, foot, (foot[0] + 1.5 * k, 13 * k, FOCAL - 0.4), 0.8, WOOD, casts=False)
    bracket_lamp(stage, dice, last.moved(2.0 * k, 0, 0), 7.5 * k, STUFF)


KINDS: dict[str, Dwelling] = {
    "domed": Dwelling(_domed, 13.0, 22.0, True),
    "tower": Dwelling(_wind_tower, 15.0, 24.0, True),
    "tents": Dwelling(_tents, 15.0, 17.0, size=1.25),
    "caravan": Dwelling(_caravan, 16.0, 11.0, size=1.35),
    "gate": Dwelling(_gate, 13.0, 30.0),
    "cliff": Dwelling(_cliff, 0.0, 0.0),
}
"""Kinds of dwelling."""
