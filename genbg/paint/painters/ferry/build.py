"""The stage of a ferry seen from abeam: deck, rails, mast, deckhouse, cargo, lamps."""

from __future__ import annotations

from itertools import pairwise

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box, prism
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.lamps import LAMPS, glass
from genbg.paint.families.stuff import Stuff
from genbg.paint.painters.ferry.keys import NUMBER, Keys

WOOD, HULL, CLOTH = (NUMBER[name] for name in ("wood", "hull", "cloth"))
STUFF = Stuff((HULL,), (HULL,), WOOD, WOOD, NUMBER["lamp"], CLOTH, WOOD, (HULL,))
NEAR, DEEP = 400.0, 56.0
"""Depth of the deck's near edge, and how deep it is."""
DECK = 60.0
"""Height of the deck over y = 0, below which a view shows nothing: more hull than is seen."""
RAIL, FAR_RAIL = 10.0, 15.0
"""Height of the near and of the far rail."""
POSTS = 32.0
"""Units from post to post."""
STRONG, REACH = 1.1, 15.0
"""Strength of a lamp, and the units at which it is half as strong."""
BAY = 256.0
"""Length of a part of the hull: parts go on round the plane."""


def build_ferry(stage: Stage, keys: Keys, dice: Dice, width: float) -> list[Lamp]:
    """Build it, x from minus half the width to half; returns the lamps."""
    _hull(stage, width)
    spots = dice.part("spots").shuffled([-116.0, -64.0, 60.0, 112.0])
    mast = dice.between(-24, 24)
    lamps: list[Lamp] = []
    if keys.mast:
        lamps.append(_mast(stage, dice.part("mast"), mast))
    if keys.house:
        _house(stage, dice.part("house"), spots[0])
    number = round(keys.cargo * 8)
    for n in range(number):
        own = dice.part("cargo", n)
        x = spots[1 + n % 3] + own.between(-22, 22) if n < 6 else own.between(-250, 250)
        if keys.house and abs(x - spots[0]) < 48:
            continue
        _cargo(stage, own, x)
    for n in range(max(0, keys.lamps - len(lamps))):
        own = dice.part("lamp", n)
        x = spots[1 + n % 3] + own.between(-14, 14)
        lamps.append(_rail_lamp(stage, own, x))
    _rails(stage, width)
    return lamps


def _hull(stage: Stage, width: float) -> None:
    """The hull's side in strakes, a rubbing strake, the planked deck."""
    for n in range(max(1, round(width / BAY))):
        stage.thing()
        left = n * BAY - width / 2
        foot = Frame(left, 0.0, NEAR)
        box(stage, foot, BAY, DECK, DEEP, HULL, Kind.PLANK, WOOD, Kind.PLANK)
        stage.thing()
        box(stage, Frame(left, DECK - 3.0, NEAR - 2.0), BAY, 3.6, 3.0, WOOD)
        stage.thing()
        box(stage, Frame(left, DECK - 13.0, NEAR - 1.6), BAY, 2.2, 2.0, WOOD)


def _rails(stage: Stage, width: float) -> None:
    """Posts and rails along both sides, with a gap for the gangway in the near one."""
    count = max(1, round(width / POSTS))
    for z, high, lines in ((NEAR + DEEP - 1.5, FAR_RAIL, 2), (NEAR + 1.0, RAIL, 1)):
        for n in range(count):
            x = n * POSTS - width / 2
            stage.thing()
            beam(stage, (x, DECK, z), (x, DECK + high + 1.0, z), 2.4, WOOD)
            for line in range(lines):
                y = DECK + high - 6.5 * line
                beam(stage, (x, y, z), (x + POSTS, y, z), 1.7 if line == 0 else 1.0, WOOD)


def _mast(stage: Stage, dice: Dice, x: float) -> Lamp:
    """The mast with a boom, a furled sail tied to it, shrouds, and the lamp that hangs from it."""
    z, tall = NEAR + 0.55 * DEEP, DECK + 190.0
    way = dice.choice((-1.0, 1.0))
    stage.thing()
    prism(stage, (x, DECK, z), (3.6, 2.8), tall - DECK, 8, WOOD)
    prism(stage, (x, DECK, z), (5.4, 4.6), 5.0, 8, WOOD)
    long = dice.between(84, 104)
    low = DECK + 44.0
    high = low + dice.between(6, 16)
    start, end = (x, low, z - 4.0), (x + way * long, high, z - 4.0)
    stage.thing()
    beam(stage, start, end, 2.6, WOOD)
    _furled(stage, dice, start, end)
    stage.thing()
    beam(stage, (x, tall, z), end, 0.8, WOOD, casts=False)
    for side in (-1.0, 1.0):
        for step in range(3):
            foot = x + side * (26.0 + 9.0 * step), DECK + RAIL, NEAR + DEEP - 3.0
            beam(stage, foot, (x, tall, z), 0.9, WOOD, casts=False)
        for rung in range(1, 9):
            share = rung / 14
            inner, outer = ((w * (1 - share)) for w in (26.0, 44.0))
            y = DECK + RAIL + (tall - DECK - RAIL) * share
            back = (NEAR + DEEP - 3.0) * (1 - share) + z * share
            a, b = (x + side * inner, y, back), (x + side * outer, y, back)
            beam(stage, a, b, 0.7, WOOD, casts=False)
    at = 0.34
    hang = x + way * long * at, low + (high - low) * at - 3.0, z - 8.0
    stage.thing()
    beam(stage, hang, (hang[0], hang[1] - 8.0, hang[2]), 0.7, WOOD, casts=False)
    place = hang[0], hang[1] - 15.0, hang[2]
    glass(stage, place, 2.8, 6.0, STUFF)
    return Lamp((place[0], place[1] + 3.0, place[2]), STRONG, REACH)


def _furled(stage: Stage, dice: Dice, start: Point, end: Point) -> None:
    """Canvas gathered on a boom, thick and thin between its ties."""
    parts = 9
    points, thick = [], []
    for n in range(parts + 1):
        share = 0.04 + 0.9 * n / parts
        fat = 8.4 * (1.0 - 0.55 * share) * dice.between(0.8, 1.15)
        y = start[1] + (end[1] - start[1]) * share + 1.4 + fat / 2
        points.append((start[0] + (end[0] - start[0]) * share, y, start[2]))
        thick.append(fat)
    for n, (a, b) in enumerate(pairwise(points)):
        stage.thing()
        beam(stage, a, b, thick[n], CLOTH)


def _house(stage: Stage, dice: Dice, x: float) -> None:
    """A deckhouse with a flat roof that stands out, lit windows, a pipe."""
    wide, high, deep = dice.between(56, 72), dice.between(27, 32), 26.0
    frame = Frame(x - wide / 2, DECK, NEAR + 22.0)
    stage.thing()
    box(stage, frame, wide, high, deep, HULL, Kind.FRONT)
    stage.thing()
    box(stage, frame.moved(-2.5, high, -3.0), wide + 5, 2.2, deep + 4, WOOD)
    stage.thing()
    prism(stage, (x + dice.between(-16, 16), DECK + high + 2, NEAR + 36), (2.6, 2.6), 15, 8, HULL)
    stage.thing()
    hatch = frame.moved(dice.choice((-20.0, wide + 5.0)), 0, 2.0)
    box(stage, hatch, 15.0, 8.0, 14.0, WOOD, Kind.PLANK, WOOD, Kind.PLANK)


def _cargo(stage: Stage, dice: Dice, x: float) -> None:
    """A crate, some under canvas, a cask, a coil of rope, sacks."""
    z = NEAR + dice.between(14, 34)
    what = dice.choice(("crate", "crate", "cask", "coil", "sacks", "covered"))
    stage.thing()
    if what in ("crate", "covered"):
        size = dice.between(12, 19)
        frame = Frame(x, DECK, z, dice.between(-0.06, 0.06))
        high = size * dice.between(0.7, 0.95)
        box(stage, frame, size, high, size * 0.8, WOOD, Kind.PLANK, WOOD, Kind.PLANK)
        if what == "covered":
            lid = frame.moved(-1.0, high * 0.45, -1.0)
            box(stage, lid, size + 2, high * 0.6, size * 0.8 + 2, CLOTH, Kind.CLOTH, CLOTH)
    elif what == "cask":
        prism(stage, (x, DECK, z), (4.6, 6.0), 6.5, 10, WOOD, Kind.PLANK)
        prism(stage, (x, DECK + 6.5, z), (6.0, 4.6), 6.5, 10, WOOD, Kind.PLANK)
    elif what == "coil":
        for n in range(3):
            wide = 7.0 - 0.8 * n
            prism(stage, (x, DECK + 1.7 * n, z), (wide, wide), 1.5, 12, CLOTH if n % 2 else WOOD)
    else:
        for n, (a, b) in enumerate(((-5.5, 0.0), (5.5, 0.0), (0.0, 5.0))):
            prism(stage, (x + a, DECK + b, z + n), (6.0, 3.4), 5.4, 9, CLOTH)


def _rail_lamp(stage: Stage, dice: Dice, x: float) -> Lamp:
    """The courier's lamp, set down on deck, or one on a post at the rail."""
    if dice.chance(0.5):
        frame, high = Frame(x, DECK, NEAR + 9.0), 12.0
        return Lamp(LAMPS["hand"](stage, dice, frame, high, STUFF), STRONG, REACH)
    frame, high = Frame(x, DECK, NEAR + DEEP - 4.0), 32.0
    return Lamp(LAMPS["hung"](stage, dice, frame, high, STUFF), STRONG, REACH)
