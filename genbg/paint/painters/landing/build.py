"""The stage of a landing: piers with water between them, boats, mooring posts, what lies there."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Oblique, Stage, beam, box, prism
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.families.boats import BOATS, Hull, hull
from genbg.paint.families.lamps import LAMPS, glass
from genbg.paint.families.stuff import Stuff
from genbg.paint.painters.landing.keys import NUMBER, Keys
from genbg.paint.painters.landing.piers import Pier, Spot, build_jetty, build_pier, build_stair

STUFF = Stuff(
    walls=(NUMBER["stone"],),
    roofs=(NUMBER["wood"],),
    stone=NUMBER["stone"],
    wood=NUMBER["wood"],
    lamp=NUMBER["glow"],
    cloth=NUMBER["cloth"],
    leaf=NUMBER["grass"],
    hulls=(NUMBER["hull"], NUMBER["wood"], NUMBER["hull"]),
)
HIGH, LOW = 19.0, 11.0
"""Heights of a quay's floor and of a low landing's, in units."""


@dataclass(frozen=True, eq=False)
class Place:
    """The lie of a landing.

    piers: from left to right round the plane; gaps: (left, right) ends of the water between them
    """

    piers: tuple[Pier, ...]
    gaps: tuple[Spot, ...]


def lay_place(dice: Dice, cover: float, width: float, moon: float, eye: Oblique) -> Place:
    """Piers round the plane with water between; the first gap lies under the moon, or near it."""
    count = dice.choice((2, 3, 3))
    shares = [dice.between(0.7, 1.5) for _ in range(count)]
    gaps = [dice.between(0.7, 1.4) for _ in range(count)]
    land, water = width * cover, width * (1 - cover)
    x = moon - eye.x + dice.between(-24, 24) - water * gaps[0] / sum(gaps) / 2
    piers: list[Pier] = []
    open_at: list[Spot] = []
    low = dice.whole(0, count)
    for n, (share, gap) in enumerate(zip(shares, gaps, strict=True)):
        wide = water * gap / sum(gaps)
        open_at.append((x, x + wide))
        x += wide
        long = land * share / sum(shares)
        piers += _piers(dice.part(n), x, x + long, LOW if n == low else HIGH)
        x += long
    return Place(tuple(piers), tuple(open_at))


def _piers(dice: Dice, left: float, right: float, floor: float) -> list[Pier]:
    """One length of quay, or two of unlike depth where it is long enough."""
    if right - left > 110 and dice.chance(0.75):
        middle = left + (right - left) * dice.between(0.35, 0.65)
        out = dice.choice((-1.0, 1.0))
        one = _pier(dice.part(1), left, middle + 6, floor, 7.0 * out)
        two = _pier(dice.part(2), middle - 6, right, floor, -7.0 * out)
        return [one, two] if out > 0 else [two, one]
    return [_pier(dice, left, right, floor, 0.0)]


def _pier(dice: Dice, left: float, right: float, floor: float, out: float) -> Pier:
    """A pier whose edges are not quite level; one end slants, the other is cut nearly square."""
    near = dice.choice(NEAR) - out
    far = 430.0 - out * 0.7 + (4.0 if floor == LOW else 0.0)
    tilt, back = dice.between(-5, 5), dice.between(-4, 4)
    ends = dice.shuffled((dice.between(10, 24), dice.between(2, 5)))
    return Pier(
        (
            (left, far + back),
            (right, far - back),
            (right - ends[0], near - tilt),
            (left + ends[1], near + tilt),
        ),
        floor,
    )


NEAR = (384.0, 396.0, 403.0)
"""Depths at which a pier's wall may face us."""


def build_landing(stage: Stage, dice: Dice, place: Place, keys: Keys, thrifty: bool) -> list[Lamp]:
    """All that stands at the landing; its lamps."""
    lamps: list[Lamp] = []
    for number, pier in enumerate(place.piers):
        part = dice.part("pier", number)
        if pier.floor == LOW:
            build_jetty(stage, part, pier)
            continue
        build_pier(stage, part, pier)
        if pier.long > 60 and part.chance(keys.stairs):
            share = part.between(0.25, 0.75)
            build_stair(stage, part, pier, share, part.between(26, 40))
        for _ in range(1 + (pier.long > 90)):
            _bollard(stage, part, pier)
        if not thrifty and part.chance(keys.goods):
            _goods(stage, part.part("goods"), pier)
    widest = sorted(place.piers, key=lambda one: -one.long)
    for number in range(min(keys.lamps, len(widest))):
        lamps.append(_lantern(stage, dice.part("lamp", number), widest[number], number))
    for number, gap in enumerate(place.gaps[1:]):
        if dice.chance(LINKED):
            _planks(stage, dice.part("planks", number), gap)
    _posts(stage, dice.part("posts"), place, keys.posts)
    lamps += _boats(stage, dice.part("boats"), place, keys.boats)
    return lamps


def _lantern(stage: Stage, dice: Dice, pier: Pier, number: int) -> Lamp:
    """A lantern: set down near the edge, or hung from a pole over it."""
    x, z = pier.near(dice.choice((0.12, 0.86)))
    if number % 2 == 0:
        place = LAMPS["hand"](stage, dice, Frame(x, pier.floor, z + 9), 10.0, STUFF)
        return Lamp(place, 2.0, 16.0)
    place = LAMPS["hung"](stage, dice, Frame(x, pier.floor, z + 8), 17.0, STUFF)
    return Lamp(place, 2.0, 18.0)


def _bollard(stage: Stage, dice: Dice, pier: Pier) -> None:
    x, z = pier.near(dice.between(0.06, 0.94))
    stage.thing()
    for low, high, foot, head in ((0, 5, 3.0, 2.2), (5, 7, 3.4, 3.6), (7, 8.4, 3.6, 2.4)):
        at = x, pier.floor + low, z + 9
        prism(stage, at, (foot, head), float(high - low), 9, NUMBER["wood"])


def _goods(stage: Stage, dice: Dice, pier: Pier) -> None:
    """Crates, barrels, sacks and a coil of rope in a heap: tall ones behind, small ones before."""
    x, z = pier.far(dice.between(0.3, 0.7))
    y, wood = pier.floor, NUMBER["wood"]
    for n, off in enumerate((-12.0, 2.0, 14.0)):
        stage.thing()
        size = dice.between(8, 12) * (1.15 if n == 1 else 0.9)
        frame = Frame(x + off, y, z - 13, dice.between(-0.06, 0.09))
        if dice.chance(0.6):
            box(stage, frame, size, size * 0.85, size, wood, Kind.PLANK)
            if n == 1 and dice.chance(0.6):
                box(stage, frame.moved(1, size * 0.85, 1), size * 0.7, 5, 6, wood, Kind.PLANK)
        else:
            _barrel(stage, (x + off + size / 2, y, z - 10), size * 0.95)
    stage.thing()
    cloth = x + dice.choice((-22.0, 27.0)), y, z - 14
    prism(stage, cloth, (5.0, 4.2), 3.4, 8, NUMBER["cloth"])
    prism(stage, (cloth[0], y + 3.4, cloth[2]), (4.2, 0.8), 3.0, 8, NUMBER["cloth"])


def _barrel(stage: Stage, at: tuple[float, float, float], size: float) -> None:
    x, y, z = at
    low, wide = size * 0.36, size * 0.44
    prism(stage, at, (low, wide), size * 0.5, 10, NUMBER["wood"])
    prism(stage, (x, y + size * 0.5, z), (wide, low), size * 0.5, 10, NUMBER["wood"])


LINKED = 0.65
"""Share of gaps, but for the moon's, with planks across."""


def _planks(stage: Stage, dice: Dice, gap: Spot) -> None:
    """A way of planks over the water from pier to pier, on posts, with a rail."""
    left, right = gap[0] - 4, gap[1] + 4
    z, wood = dice.between(424, 429), NUMBER["wood"]
    stage.thing()
    box(stage, Frame(left, 14.0, z), right - left, 1.6, 9.0, wood, Kind.PLANK, wood, Kind.PLANK)
    count = max(2, int((right - left) / 22))
    for n in range(count + 1):
        x = left + (right - left) * n / count
        beam(stage, (x, SUNK, z), (x, 23.0, z), 1.8, wood)
    stage.thing()
    beam(stage, (left, 21.5, z), (right, 21.5, z), 1.1, wood)


def _posts(stage: Stage, dice: Dice, place: Place, count: int) -> None:
    """Mooring posts in groups of one to three: in the open water and before the walls."""
    for n in range(count):
        one = dice.part(n)
        if n % 2 == 0:
            left, right = place.gaps[n // 2 % len(place.gaps)]
            x, z, top = one.between(left, right), one.between(404, 424), one.between(19, 26)
        else:
            pier = place.piers[n % len(place.piers)]
            x, z = pier.near(one.choice((0.0, 0.06, 0.94, 1.0)))
            z, top = z - one.between(7, 12), one.between(25, 32)
        for k in range(one.choice((1, 2, 3))):
            stage.thing()
            foot = (x + k * one.between(4.5, 7), SUNK, z + one.between(-4, 4))
            lean = one.between(-1.6, 1.6)
            head = (foot[0] + lean, top - k * one.between(2, 6), foot[2])
            beam(stage, foot, head, 2.6, NUMBER["wood"])
            cap = (head[0], head[1], head[2])
            prism(stage, cap, (1.9, 1.2), 1.6, 6, NUMBER["wood"])


SUNK = -4.0
"""Height of a post's foot."""


def _boats(stage: Stage, dice: Dice, place: Place, count: int) -> list[Lamp]:
    """Boats: one in each gap, others before the walls; in most landings one of them is long, low
    and carries its own lamp."""
    lamps: list[Lamp] = []
    own = dice.whole(0, 2)
    for n in range(count):
        one = dice.part(n)
        if n < len(place.gaps):
            left, right = place.gaps[n]
            x, z = left + (right - left) * one.between(0.3, 0.7), one.between(395, 412)
            most = max(30.0, (right - left) * 0.75)
        else:
            pier = place.piers[(n * 2 + 1) % len(place.piers)]
            x, z = pier.near(one.between(0.2, 0.8))
            z, most = z - one.between(11, 15), 70.0
        frame = Frame(x, 0, z, one.between(-0.04, 0.04) + one.choice((0.0, 0.5)))
        if n == own:
            lamps.append(work_boat(stage, one, frame, min(most, one.between(76, 92))))
        else:
            kind = one.choice(("row", "barge", "row"))
            BOATS[kind](stage, one, frame, min(most, one.between(44, 62)), STUFF)
    return lamps


def work_boat(stage: Stage, dice: Dice, frame: Frame, long: float) -> Lamp:
    """A long low boat with high ends, bales under a cloth amidships, a lamp at its bow."""
    stage.thing()
    form = Hull(0.13, 0.11, 1.5, 2.2, 12)
    hull(stage, frame, long, form, NUMBER["hull"], NUMBER["cloth"], NUMBER["wood"])
    for end in (-0.5, 0.5):
        foot = frame.at(long * end * 0.96, long * 0.13, 0)
        head = frame.at(long * end * 1.02, long * 0.26, 0)
        beam(stage, foot, head, 1.8, NUMBER["wood"], casts=False)
    for at, wide in ((-0.16, 0.14), (0.0, 0.16)):
        bale = frame.moved(long * at, long * 0.05, -long * 0.045)
        box(stage, bale, long * wide, long * dice.between(0.06, 0.1), long * 0.09, NUMBER["cloth"])
    stage.thing()
    foot = frame.at(long * 0.34, long * 0.08, 0)
    head = (foot[0], foot[1] + long * 0.2, foot[2])
    beam(stage, foot, head, 1.0, NUMBER["wood"], casts=False)
    glass(stage, head, 2.2, 4.4, STUFF)
    return Lamp((head[0], head[1] + 2.0, head[2]), 2.0, 15.0)
