"""The stage of a village on cliffs: rock, walls, houses, trees, quay, boats, mole."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import (
    BOULDER,
    CLIFF,
    CROWN,
    Frame,
    Kind,
    Stage,
    Stone,
    beam,
    boulder,
    box,
    prism,
)
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.boats import BOATS
from genbg.paint.families.houses import HOUSES, Size
from genbg.paint.families.lamps import LAMPS
from genbg.paint.families.stuff import Stuff
from genbg.paint.families.towers import TOWERS
from genbg.paint.painters.cliffs.keys import NUMBER, Keys
from genbg.paint.painters.cliffs.kilns import Bricks, Works, build_works
from genbg.paint.painters.cliffs.land import Land, Level, Mound
from genbg.paint.painters.cliffs.stair import climb

STUFF = Stuff(
    walls=tuple(NUMBER[name] for name in ("white", "white", "ochre", "rose")),
    roofs=tuple(NUMBER[name] for name in ("tile", "tile", "tile", "slate")),
    stone=NUMBER["stone"],
    wood=NUMBER["wood"],
    lamp=NUMBER["glow"],
    cloth=NUMBER["white"],
    leaf=NUMBER["leaf"],
    hulls=tuple(NUMBER[name] for name in ("hull", "white", "slate", "hull")),
)


BRICKS = Bricks(
    (NUMBER["rose"], NUMBER["rose"], NUMBER["ochre"]),
    NUMBER["stone"],
    NUMBER["glow"],
)
WALLS = (
    ("white", "white", "white", "ochre"),
    ("white", "white", "ochre", "rose"),
    ("ochre", "rose", "white", "ochre"),
)
"""What walls are plastered with, by place."""
BUILT = ("harbour", "dome", "harbour")
"""How people build, by place."""
MOLE_DEPTH = 342.0
"""Depth at which a mole ends."""


def build(keys: Keys, land: Land, dice: Dice, turned: bool, mole_end: float) -> tuple[Stage, Works]:
    """The stage, and its fires and smoke. mole_end: x at which a mole ends, left of the land."""
    stage = Stage(turned)
    walls = dice.part("walls").choice(WALLS)
    stuff = replace(STUFF, walls=tuple(NUMBER[name] for name in walls))
    if keys.houses == "any":
        keys = replace(keys, houses=dice.part("houses").choice(BUILT))
    works = Works()
    for number, one in enumerate(land.mounds):
        part = dice.part("mound", number)
        raise_rock(stage, part.part("rock"), one, land.quay)
        if one.works:
            works = build_works(stage, part.part("works"), one, stuff, BRICKS)
            continue
        if not one.bare:
            build_walls(stage, part.part("walls"), one)
            build_houses(stage, part.part("houses"), one, keys, stuff)
            if one.stair is None:
                build_stairs(stage, part.part("stairs"), one)
            else:
                climb(stage, part.part("stairs"), one, one.stair, stuff, NUMBER["white"])
        plant(stage, part.part("trees"), one)
    build_tower(stage, dice.part("tower"), land, keys)
    build_quay(stage, dice.part("quay"), land)
    moor_boats(stage, dice.part("boats"), land, keys)
    if keys.mole:
        build_mole(stage, dice.part("mole"), land, mole_end)
    return stage, works


def rock(stage: Stage, dice: Dice, at: Point, radii: Point, stone: Stone = BOULDER) -> None:
    boulder(stage, at, radii, dice.seed ^ dice.whole(0, 1 << 30), NUMBER["rock"], stone)


def raise_rock(stage: Stage, dice: Dice, one: Mound, quay: tuple[float, float]) -> None:
    """Big shapes from the back to the front, then half as large, then stones at the feet.

    quay: its ends; before its wall the water is clear
    """
    for level in reversed(one.levels):
        count = int((level.right - level.left) / 34) + 2
        wide = (level.right - level.left - 18) / max(1, count - 1)
        for n in range(count):
            top = level.y - dice.between(0, 3)
            high = (top + 8) * 0.62
            x = level.left + 10 + wide * n + dice.between(-6, 6)
            deep = dice.between(14, 20)
            edge = n == count - 1
            middle = top * 0.55 - 8 if edge else top - high * 0.8
            radii = dice.between(20, 30), high, deep
            rock(stage, dice, (x, middle, level.z + deep * 0.85 + 2), radii, CLIFF)
    summit, low = one.levels[-1], one.levels[0]
    for n in range(11):
        part = (n + dice.unit()) / 11
        x = summit.right + (low.right - summit.right) * part + dice.between(-4, 12)
        high = max(7.0, (summit.y + 14) * (1 - part) * dice.between(0.7, 1.05))
        z = low.z + 34 - 46 * part + dice.between(-6, 6)
        rock(stage, dice, (x, high * 0.3, z), (dice.between(8, 17), high * 0.62, 11), CLIFF)
    for _ in range(int((low.right - low.left) / 16)):
        x, small = dice.between(low.left - 10, low.right + 18), dice.between(2.5, 6)
        z = low.z - dice.between(4, 12)
        if not quay[0] - 2 * small < x < quay[1] + 2 * small:
            rock(stage, dice, (x, 0.0, z), (small * 1.5, small, small))


def build_walls(stage: Stage, dice: Dice, one: Mound) -> None:
    """Walls that hold the terraces, in lengths, with room between for the rock."""
    for below, level in pairwise(one.levels):
        x = level.left + dice.between(0, 10)
        while x < level.right - 16:
            long = dice.between(18, 46)
            if dice.chance(0.5 if one.stair else 0.66):
                long = min(long, level.right - x - 4)
                frame = Frame(
                    x, below.y - 2, level.z - 2 - dice.between(0, 2), dice.between(-0.01, 0.02)
                )
                stage.thing()
                high = level.y - below.y + 2.5
                box(stage, frame, long, high, 8, NUMBER["stone"], Kind.STONE, NUMBER["grass"])
            x += long + dice.between(3, 14)


STEEP = 6.0
"""Units by which houses on a steep hill are higher: they hide the walls behind them."""


def build_houses(stage: Stage, dice: Dice, one: Mound, keys: Keys, stuff: Stuff) -> None:
    """Houses along every terrace, each turned so that one side is lit and one is not."""
    for number, level in enumerate(one.levels):
        x = level.left + dice.between(2, 8)
        while x < level.right - 20:
            place = dice.part(number, round(x))
            turns = place.between(0.08, 0.15)
            size = Size(
                place.between(15, 24),
                place.choice((10.0, 13.0, 17.0, 20.0 if number else 13.0)) + place.between(-1, 1),
                place.between(13, 18),
            )
            if one.stair:
                size = replace(size, height=size.height + STEEP, width=size.width + 2.0)
            wide = size.width * 0.85 + size.depth * 0.5
            if one.stair and one.stair[0] - wide < x < one.stair[1]:
                x = one.stair[1] + dice.between(2, 6)
                continue
            if dice.chance(keys.town) and x + wide < level.right + 10:
                frame = Frame(x + size.depth * 0.5, level.y, level.z + place.between(3, 8), turns)
                HOUSES[keys.houses](stage, place, frame, size, stuff)
                x += wide
            x += dice.between(-3, 3) if dice.chance(0.6) else dice.between(8, 18)


def build_stairs(stage: Stage, dice: Dice, one: Mound) -> None:
    """A flight from terrace to terrace."""
    for below, level in pairwise(one.levels):
        x = dice.between(level.left + 4, max(level.left + 6, (level.left + level.right) / 2))
        steps = int((level.y - below.y) / 2.2)
        stage.thing()
        for n in range(steps):
            frame = Frame(x + n * 2.0, below.y, level.z - 6)
            box(stage, frame, 2.4, (n + 1) * 2.2, 5, NUMBER["stone"])


def plant(stage: Stage, dice: Dice, one: Mound) -> None:
    """Trees on terraces, and bushes at edges."""
    for _ in range(2 if one.bare else 2 * len(one.levels)):
        level = dice.choice(one.levels)
        x = dice.between(level.left + 4, level.right)
        tree(
            stage,
            dice,
            (x, level.y - 1, level.z + dice.between(1, 14)),
            dice.between(3.5, 6),
            dice.chance(0.4),
        )
    top = one.levels[-1]
    tree(stage, dice, (top.right - 8, top.y - 1, top.z + 8), dice.between(6, 9), False)


def tree(stage: Stage, dice: Dice, at: Point, size: float, tall: bool) -> None:
    """A slim or a broad tree of a few leaf masses."""
    x, y, z = at
    stage.thing()
    beam(stage, at, (x, y + size * 1.2, z), 1.1, NUMBER["wood"])
    for n in range(4 if tall else 5):
        part = n / 4
        if tall:
            centre = x + dice.between(-0.4, 0.4), y + 2 + size * (0.5 + 1.7 * part), z
            radii = size * (0.5 - 0.33 * part) + 0.6, size * 0.75, size * 0.5
        else:
            centre = (
                x + size * dice.between(-0.9, 0.9),
                y + size * dice.between(1.1, 1.7),
                z + dice.between(-1, 1),
            )
            radii = size * dice.between(0.55, 0.9), size * dice.between(0.45, 0.6), size * 0.6
        seed = dice.seed ^ dice.whole(0, 1 << 30)
        boulder(stage, centre, radii, seed, NUMBER["leaf"], CROWN, Kind.LEAF)


def build_tower(stage: Stage, dice: Dice, land: Land, keys: Keys) -> list[Point]:
    """The tower on the summit."""
    if keys.tower == "none":
        return []
    level: Level = land.summit
    x = level.left + (level.right - level.left) * dice.between(0.3, 0.55)
    frame = Frame(x, level.y - 1, level.z + 12, dice.between(0.07, 0.1))
    name = dice.choice(("bell", "bell", "watch")) if keys.tower == "any" else keys.tower
    return [TOWERS[name](stage, dice, frame, dice.between(34, 42), STUFF)]


def build_quay(stage: Stage, dice: Dice, land: Land) -> list[Point]:
    """The quay before the lowest terrace, in two lengths, with steps, goods and a lamp."""
    left, right = land.quay
    middle = left + (right - left) * dice.between(0.4, 0.6)
    stage.thing()
    for start, end, z in ((left, middle, 383.0), (middle, right, 387.0)):
        box(stage, Frame(start, -3, z), end - start, 8.4, 24, NUMBER["stone"], Kind.STONE)
    for n in range(4):
        box(stage, Frame(middle - 12 + n * 2.4, -1, 379.5), 2.6, 5.4 - n * 1.4, 4, NUMBER["stone"])
    lamps = []
    for share in (0.2, 0.75):
        x = left + (right - left) * share
        lamps.append(LAMPS["post"](stage, dice, Frame(x, 5.4, 386.5), 9.0, STUFF))
    for _ in range(9):
        x, small = dice.between(left + 4, right - 4), dice.between(1.0, 1.9)
        stage.thing()
        if dice.chance(0.5):
            prism(stage, (x, 5.4, 388.0), (small, small), small * 2, 7, NUMBER["wood"])
        else:
            frame = Frame(x, 5.4, 388.0, dice.between(0, 0.2))
            box(stage, frame, small * 2, small * 1.6, small * 2, NUMBER["wood"], Kind.PLANK)
    return lamps


def moor_boats(stage: Stage, dice: Dice, land: Land, keys: Keys) -> None:
    """Boats on the water before the quay, each of another kind and turn."""
    left, right = land.quay
    kinds = dice.shuffled(("mast", "row", "row", "mast", "sail", "row", "mast", "row"))
    for n in range(keys.boats):
        x = left + (right - left + 30) * (n + dice.between(0.2, 0.8)) / keys.boats
        long = dice.between(20, 30) if kinds[n] != "row" else dice.between(13, 18)
        turns = dice.between(-0.06, 0.06) + (0.5 if dice.chance(0.5) else 0.0)
        frame = Frame(x, 0, dice.between(346, 372), turns)
        BOATS[kinds[n]](stage, dice.part(n), frame, long, STUFF)


OFFING = (26.0, 54.0), (96.0, 140.0), (165.0, 200.0), (215.0, 250.0)
"""Least and most columns from the light's path to each boat in the offing."""


def sail_out(stage: Stage, dice: Dice, keys: Keys, path: float, focal: float) -> None:
    """Boats under sail on the open water beyond the light's path, which lies at column `path`
    from the land's middle."""
    for n in range(keys.offing):
        one = dice.part(n)
        column, z = path - one.between(*OFFING[n]), one.between(400, 560)
        frame = Frame(column * z / focal, 0, z, one.between(-0.05, 0.05) + one.choice((0.0, 0.5)))
        BOATS["sail"](stage, one, frame, one.between(24, 32), STUFF)


def build_mole(stage: Stage, dice: Dice, land: Land, end: float) -> list[Point]:
    """A mole in three legs toward the light and toward us, rubble at its foot, a lantern post.

    end: x at which it ends
    """
    start = land.quay[0]
    reach = max(start - end, 12.0)
    xs = [start + 4, start - reach * 0.38, start - reach * 0.75, start - reach]
    zs = [392.0, 384.0, 364.0 + dice.between(-4, 4), MOLE_DEPTH]
    stage.thing()
    for (xa, za), (xb, zb) in pairwise(zip(xs, zs, strict=True)):
        low, high = [(xa, -3.0, za), (xb, -3.0, zb)], [(xb, 6.0, zb), (xa, 6.0, za)]
        deep = 12.0
        top = [(xa, 6.0, za), (xb, 6.0, zb), (xb, 6.0, zb + deep), (xa, 6.0, za + deep)]
        stage.sheet(top, NUMBER["stone"], Kind.FLOOR)
        long = xa - xb
        stage.sheet([*low, *high], NUMBER["stone"], Kind.STONE, low[1], size=(long, 9.0))
    for n in range(14):
        part = 1 - dice.unit() * dice.unit() * 0.95
        leg = min(2, int(part * 3))
        on = part * 3 - leg
        x = xs[leg] * (1 - on) + xs[leg + 1] * on + dice.between(-3, 3)
        z = zs[leg] * (1 - on) + zs[leg + 1] * on - dice.between(1, 4)
        small = dice.between(1.8, 3.4) * (0.8 + 0.7 * part)
        rock(stage, dice.part(n), (x, -0.6, z), (small * 1.5, small, small))
    frame = Frame(xs[-1] - 1, 5.0, zs[-1] + 6)
    prism(stage, (frame.x, -3.0, frame.z), (10.5, 9.5), 9.0, 10, NUMBER["stone"], Kind.STONE)
    post = replace(STUFF, stone=NUMBER["post"])
    return [TOWERS["light"](stage, dice, frame, 32.0, post)]
