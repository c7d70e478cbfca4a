"""The stage of a town canal: two rows of houses on their bank, an opening with what spans it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.craft.solids.stage import Cut
from genbg.paint.families.boats import BOATS
from genbg.paint.families.houses import HOUSES, Size
from genbg.paint.families.lamps import LAMPS
from genbg.paint.families.stuff import Stuff
from genbg.paint.families.towers import TOWERS
from genbg.paint.painters.canal.bridges import Span, gate_house, plank_way, stone_bridge
from genbg.paint.painters.canal.houses import SHAPES, Plot, awning, doorsteps, street_house
from genbg.paint.painters.canal.keys import NUMBER, Keys
from genbg.paint.painters.canal.places import WIDE, build_place, plant_tree
from genbg.paint.painters.canal.ropes import hang_ropes

STUFF = Stuff(
    walls=tuple(NUMBER[name] for name in ("blue", "rose", "jade", "blue")),
    roofs=tuple(NUMBER[name] for name in ("slate", "tile", "slate")),
    stone=NUMBER["stone"],
    wood=NUMBER["wood"],
    lamp=NUMBER["glow"],
    cloth=NUMBER["cloth"],
    leaf=NUMBER["leaf"],
    hulls=tuple(NUMBER[name] for name in ("hull", "wood", "hull")),
)

BANK = 8.0
"""Height of the bank over the water."""
FRONT = 400.0
"""Depth of the bank's edge."""


SPANNED = ("bridge", "arches", "gate", "bridge", "basin", "narrow", "narrow")
"""What may span the side canal, as often as it does."""


@dataclass(frozen=True)
class Town:
    """The lie of the town.

    opening: left and right end of the side canal at the bank's edge; plan: what spans it
    round: units round the whole plane at the bank's edge
    """

    plan: str
    opening: tuple[float, float]
    round: float


def lay_town(dice: Dice, plan: str, width: float) -> Town:
    """The town of a plan; x = 0 lies in the opening's middle."""
    name = dice.choice(SPANNED) if plan == "any" else plan
    half = {"bridge": 44.0, "arches": 76.0, "basin": 66.0, "gate": 30.0, "narrow": 21.0}[name]
    half *= dice.between(0.9, 1.1)
    shift = dice.between(-14, 14)
    return Town(name, (shift - half, shift + half), width)


def build(keys: Keys, town: Town, dice: Dice) -> tuple[Stage, list[Lamp]]:
    """The stage, and its lamps."""
    stage = Stage()
    left, right = town.opening
    build_bank(stage, dice.part("bank"), town)
    row = dice.part("row")
    lamps = build_near_row(stage, row.part(1), keys, town, right + 3, left + town.round - 3)
    build_far_row(stage, row.part(2), keys, right - 30, left + town.round + 30, FRONT + 84)
    build_sides(stage, dice.part("sides"), keys, town)
    lamps += build_spans(stage, dice.part("span"), town)
    if keys.tower != "none":
        side = dice.choice((-1.0, 1.0))
        x = (right + 26 if side > 0 else left - 40) + dice.between(-6, 6)
        frame = Frame(x, BANK, FRONT + 60, 0.08)
        name = dice.choice(("spire", "spire", "bell")) if keys.tower == "any" else keys.tower
        TOWERS[name](stage, dice.part("tower"), frame, dice.between(104, 122), STUFF)
    lamps += set_lamps(stage, dice.part("lamps"), keys, town)
    if keys.ropes:
        lamps += hang_ropes(stage, dice.part("ropes"), _masts(dice, keys, town), STUFF)
    plant(stage, dice.part("trees"), keys, town)
    moor(stage, dice.part("boats"), keys, town)
    return stage, lamps


def _masts(dice: Dice, keys: Keys, town: Town) -> list[Frame]:
    """Masts at the bank's edge, one more than there are ropes; a rope spans the opening."""
    left, right = town.opening
    before = (keys.ropes - 1) // 2
    at = [left - 6 - n * dice.between(*ROPED) for n in range(before, -1, -1)]
    at += [right + 6 + n * dice.between(*ROPED) for n in range(keys.ropes - before)]
    return [Frame(x, BANK, FRONT + 2.0) for x in sorted(at)]


ROPED = (66.0, 88.0)
"""Units from mast to mast along the bank."""


def build_bank(stage: Stage, dice: Dice, town: Town) -> None:
    """The wall at the water in lengths that stand forward or back, with steps between."""
    left, right = town.opening
    x, end = right, left + town.round
    while x < end - 1:
        long = min(dice.between(38, 84), end - x)
        long = long if end - x - long > 24 else end - x
        out = dice.choice((0.0, 0.0, 3.0, -5.0))
        high = BANK + dice.choice((0.0, 0.0, -3.4, 2.0))
        stage.thing()
        frame = Frame(x, -2, FRONT - out)
        stone = NUMBER["stone"]
        box(stage, frame, long, high + 2, 60 + out, stone, Kind.STONE, stone, Kind.FLOOR)
        if dice.chance(0.45) and long > 36:
            _water_gate(stage, frame.moved(dice.between(6, long - 20), 2, -0.6), high)
        if dice.chance(0.5) and long > 40:
            _steps(stage, frame.moved(dice.between(8, long - 18), 2, -3.6), high)
        x += long


def _water_gate(stage: Stage, frame: Frame, high: float) -> None:
    """A low dark arch in the wall through which boats come in, with a ring of stones."""
    wide = 14.0

    def inside(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        off = (u - wide / 2) / (wide / 2)
        return off * off + (v / (high * 0.82)) * (v / (high * 0.82)) < 1

    for grow, z, material, kind in (
        (0.0, -0.4, "wood", Kind.PLAIN),
        (1.3, 0.0, "stone", Kind.RING),
    ):
        corners = [frame.at(a, y, z) for a, y in ((0, 0), (wide, 0), (wide, high), (0, high))]
        size = wide, high
        if grow:
            corners = [
                frame.at(a, y, z)
                for a, y in ((-grow, 0), (wide + grow, 0), (wide + grow, high), (-grow, high))
            ]
        stage.sheet(
            corners,
            NUMBER[material],
            kind,
            frame.at(0, 0, z),
            frame.axes()[0],
            size=size,
            cut=inside if not grow else _ringed(inside, wide, high),
            casts=False,
        )


def _ringed(inside: Cut, wide: float, high: float) -> Cut:
    """A shape a little larger than the arch it lies behind."""
    return lambda u, v: inside((u - wide / 2) * 0.84 + wide / 2, v * 0.86)


def _steps(stage: Stage, frame: Frame, high: float) -> None:
    """A flight along the wall down to the water."""
    for n in range(5):
        top = max(0.8, high - n * 1.7)
        box(stage, frame.moved(n * 2.4, -1, 0), 2.6, top + 1, 4.0, NUMBER["stone"])


def build_near_row(
    stage: Stage, dice: Dice, keys: Keys, town: Town, start: float, end: float
) -> list[Lamp]:
    """The row at the water: houses of unlike height and form, turned to the moon, and two places
    where it opens. The lamps of those places."""
    lamps: list[Lamp] = []
    names = dice.shuffled(tuple(WIDE))[:PLACES]
    marks = [start + (end - start) * (n + dice.between(0.3, 0.7)) / PLACES for n in range(PLACES)]
    shapes = dice.shuffled(SHAPES)
    x, number = start, 0
    while x < end - 12:
        one = dice.part(number)
        if marks and x > marks[0] and end - x > WIDE[names[-1]] + 20:
            marks.pop(0)
            name = names.pop()
            lamps += build_place(stage, one, name, (x, BANK, FRONT + 9), STUFF)
            x += WIDE[name] + 1
            number += 1
            continue
        wide = min(one.between(18, 34), end - x)
        size = Size(wide - 0.6, _height(one, (x - start) / (end - start)), one.between(24, 30))
        side = 1.0 if x < town.opening[0] + town.round / 2 else -1.0
        turns = side * one.choice(TURNS)
        back = one.choice((0.0, 0.0, 5.0, -15.0))
        plot = Plot(x, FRONT + 9 + back, -1.0 if back < 0 else BANK, turns)
        if keys.houses == "canal":
            street_house(stage, one, plot, size, shapes[number % len(shapes)], STUFF)
        else:
            HOUSES[keys.houses](stage, one, plot.frame(wide), size, STUFF)
        if back >= 0 and one.chance(AWNINGS):
            awning(stage, one, plot, size.width, STUFF)
        elif back > 0:
            doorsteps(stage, one, plot, size.width, STUFF)
        x += wide
        number += 1
    return lamps


PLACES = 2
"""Places where the row opens."""
TURNS = (0.0, 0.035, 0.05, 0.065, 0.08)
"""Whole turns by which houses are turned to the moon."""
AWNINGS = 0.5
"""Share of houses with an awning."""


def _height(dice: Dice, along: float) -> float:
    """Height of a house; they rise toward the opening at either end of the row, and near the
    middle low ones and high ones take turns."""
    toward = abs(along * 2 - 1)
    return dice.between(27, 40) * dice.choice((0.72, 0.9, 1.0, 1.25)) * (0.86 + 0.34 * toward)


def build_far_row(stage: Stage, dice: Dice, keys: Keys, start: float, end: float, z: float) -> None:
    """Houses behind the row, in two heights of unlike length, so that the skyline has swells."""
    x, number, swell, left = start, 0, 1.0, 0
    while x < end - 12:
        one = dice.part(number)
        if left == 0:
            swell, left = one.choice((0.8, 1.05, 1.35)), one.whole(2, 4)
        wide = min(one.between(20, 38), end - x)
        size = Size(wide - 0.6, one.between(34, 42) * swell, one.between(24, 32))
        frame = Frame(x, BANK, z + one.choice((0.0, 6.0, 14.0)), one.between(-0.03, 0.03))
        HOUSES[keys.houses](stage, one, frame, size, STUFF)
        x += wide
        number, left = number + 1, left - 1


def build_sides(stage: Stage, dice: Dice, keys: Keys, town: Town) -> None:
    """Houses along the side canal, one behind the other, and what closes it far off."""
    for side, edge in ((-1.0, town.opening[0]), (1.0, town.opening[1])):
        z = FRONT + 40.0
        for n in range(5):
            one = dice.part(n, int(side) + 2)
            long = one.between(26, 40)
            wide = one.between(22, 30)
            x = edge + 2 if side > 0 else edge - wide - 2
            size = Size(wide, one.between(26, 48), long - 2)
            HOUSES[keys.houses](stage, one, Frame(x, BANK, z), size, STUFF)
            z += long
        stage.thing()
        x = edge if side > 0 else edge - 40
        frame = Frame(x, -2, FRONT + 40)
        box(stage, frame, 40, BANK + 2, z - FRONT - 30, NUMBER["stone"], Kind.STONE)
    far = dice.part("far")
    x = town.opening[0] * 2.2
    while x < town.opening[1] * 2.2:
        wide = far.between(26, 48)
        size = Size(wide, far.between(20, 52), 30)
        HOUSES[keys.houses](stage, far.part(round(x)), Frame(x, 4, 860), size, STUFF)
        x += wide


def build_spans(stage: Stage, dice: Dice, town: Town) -> list[Lamp]:
    """What crosses the opening."""
    left, right = town.opening
    middle, half = (left + right) / 2, (right - left) / 2
    lamps: list[Lamp] = []
    if town.plan == "bridge":
        span = Span(
            left - 16, right + 16, FRONT - 6, 24, BANK, half * 0.5, ((middle, half * 0.82),)
        )
        stone_bridge(stage, span)
    elif town.plan == "arches":
        third = half * 0.6
        arches = (
            (middle - half * 0.68, third * 0.42),
            (middle, third * 0.6),
            (middle + half * 0.68, third * 0.42),
        )
        span = Span(left - 18, right + 18, FRONT + 2, 26, BANK, half * 0.22, arches)
        stone_bridge(stage, span)
    elif town.plan == "gate":
        span = Span(left - 4, right + 4, FRONT + 6, 30, BANK, 0, ((middle, half * 0.72),))
        gate_house(stage, dice, span, STUFF.walls)
    elif town.plan == "narrow":
        span = Span(left - 6, right + 6, FRONT + 96, 14, BANK, 7.0, ((middle, half * 0.8),))
        stone_bridge(stage, span)
        for x, z in (
            (left + 1.5, FRONT + 30),
            (right - 1.5, FRONT + 72),
            (left + 1.5, FRONT + 130),
        ):
            place = LAMPS["hung"](stage, dice, Frame(x, BANK, z), 12.0, STUFF)
            lamps.append(Lamp(place, 1.9, 17.0))
    else:
        span = Span(left, right, FRONT + 92, 12, BANK, 0, ())
        plank_way(stage, dice, span)
    if town.plan in ("bridge", "arches"):
        for x in (left - 12, right + 12):
            y = float(span.deck(x)) + 4.0
            place = LAMPS["post"](stage, dice, Frame(x, y, span.z + 1), 7.0, STUFF)
            lamps.append(Lamp(place, 1.5, 11.0))
    return lamps


def set_lamps(stage: Stage, dice: Dice, keys: Keys, town: Town) -> list[Lamp]:
    """Lamps on the bank, by kinds, far enough apart to leave the dark between them."""
    lamps = []
    x, end = town.opening[1] + dice.between(30, 60), town.opening[0] + town.round - 24
    while x < end and keys.lamps > 0:
        kind = dice.choice(("post", "post", "bracket", "hung"))
        z = FRONT + 8.6 if kind == "bracket" else FRONT + dice.between(2.5, 5)
        high = {"post": 11.0, "bracket": 13.0, "hung": 12.0}[kind]
        place = LAMPS[kind](stage, dice, Frame(x, BANK, z), high, STUFF)
        lamps.append(Lamp(place, dice.between(1.3, 1.9), dice.between(10, 14)))
        x += dice.between(52, 100) / (0.4 + keys.lamps)
    return lamps


def plant(stage: Stage, dice: Dice, keys: Keys, town: Town) -> None:
    """Trees on the bank, their crowns over the water."""
    for n in range(int(7 * keys.trees + 0.5)):
        one = dice.part(n)
        span = town.round - (town.opening[1] - town.opening[0]) - 60
        x = (
            town.opening[1]
            + 30
            + span * (n + one.between(0.1, 0.9)) / max(1, int(7 * keys.trees + 0.5))
        )
        plant_tree(stage, one, (x, BANK, FRONT + 4), one.between(7, 10), STUFF)


def moor(stage: Stage, dice: Dice, keys: Keys, town: Town) -> None:
    """Boats along the bank, and one in the opening."""
    kinds = dice.shuffled(("barge", "row", "mast", "barge", "row", "row", "mast", "row"))
    span = town.round - (town.opening[1] - town.opening[0])
    for n in range(keys.boats):
        one = dice.part(n)
        x = town.opening[1] + span * (n + one.between(0.2, 0.8)) / keys.boats
        long = {"barge": 40.0, "row": 17.0, "mast": 30.0}[kinds[n]] * one.between(0.85, 1.1)
        turns = one.between(-0.025, 0.025) + one.choice((0.0, 0.5))
        for post in range(one.whole(0, 2)):
            foot = x + long * (0.6 + 0.12 * post), -2.0, FRONT - 9 + 3 * post
            top = foot[0] + one.between(-0.8, 0.8), one.between(9, 14), foot[2]
            beam(stage, foot, top, 1.4, NUMBER["wood"], casts=False)
        BOATS[kinds[n]](stage, one, Frame(x, 0, FRONT - one.between(12, 22), turns), long, STUFF)
