"""Kilns of brick on a yard behind the quay: round bodies, lit mouths, sheds."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box, prism
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.houses import HOUSES, Size
from genbg.paint.families.stuff import Stuff
from genbg.paint.painters.cliffs.land import Mound
from genbg.paint.painters.cliffs.smoke import Puff, plume

PROFILE = (
    (0.0, 1.0),
    (0.22, 1.02),
    (0.38, 0.9),
    (0.54, 0.68),
    (0.7, 0.5),
    (0.95, 0.4),
)
"""A kiln's outline: shares of its height, and of its foot's radius."""
SIDES = 16
YARD = 62.0
"""How deep the yard is."""
MOUTH = (0.26, 0.24)
"""Half width of a mouth as a share of the radius, its height as a share of the kiln's."""
ARCH = 8
"""Pieces of the round head of a mouth."""
FIRE = 8.0
"""Distance in units at which the light of a mouth is half as strong."""


@dataclass(frozen=True)
class Bricks:
    """Numbers of materials: bodies of kilns, bands and lips, fire."""

    body: tuple[int, ...]
    band: int
    fire: int


@dataclass(frozen=True)
class Works:
    """The light of the mouths, and balls of smoke."""

    fires: tuple[Lamp, ...] = ()
    puffs: tuple[Puff, ...] = ()


def build_works(stage: Stage, dice: Dice, one: Mound, stuff: Stuff, bricks: Bricks) -> Works:
    """A yard with kilns and sheds in turn."""
    low = one.levels[0]
    long = low.right - low.left
    stage.thing()
    box(
        stage,
        Frame(low.left, -1.0, low.z + 2),
        long,
        low.y + 1.2,
        YARD,
        stuff.stone,
        Kind.STONE,
    )
    fires: list[Lamp] = []
    puffs: list[Puff] = []
    x, number = low.left + dice.between(2, 10), 0
    wind = dice.choice((-1.0, 1.0))
    while x < low.right - 34:
        part = dice.part("place", number)
        if number % 3 == 2:
            size = Size(part.between(22, 30), part.between(11, 15), part.between(16, 20))
            frame = Frame(x + 7, low.y, low.z + part.between(12, 20), part.between(0.06, 0.12))
            HOUSES[part.choice(("harbour", "timber"))](stage, part, frame, size, stuff)
            x += size.width + 15
        else:
            radius = part.between(15, 20)
            high = radius * part.between(2.7, 3.5)
            at = x + radius, low.y, low.z + 8 + radius
            fires.append(kiln(stage, part, at, radius, high, bricks))
            if number % 3 == 0 or part.chance(0.4):
                puffs += plume(part.part("smoke"), (at[0], at[1] + high, at[2]), wind)
            x += 2 * radius + part.between(1, 9)
        number += 1
    return Works(tuple(fires), tuple(puffs))


def kiln(stage: Stage, dice: Dice, at: Point, radius: float, high: float, bricks: Bricks) -> Lamp:
    """A kiln like a bottle, its mouth toward us; returns the light of its fire."""
    x, y, z = at
    body = dice.choice(bricks.body)
    stage.thing()
    for (low, wide), (top, narrow) in pairwise(PROFILE):
        prism(
            stage,
            (x, y + low * high, z),
            (wide * radius, narrow * radius),
            (top - low) * high,
            SIDES,
            body,
            Kind.STONE,
        )
    for share in (0.22, 0.54, 0.95):
        wide = next(w for s, w in PROFILE if s == share) * radius + 0.8
        prism(stage, (x, y + share * high - 0.8, z), (wide, wide), 1.9, SIDES, bricks.band)
    lean = dice.between(-0.35, 0.35)
    return mouth(stage, (x + lean * radius, y, z), radius, high, bricks)


def mouth(stage: Stage, at: Point, radius: float, high: float, bricks: Bricks) -> Lamp:
    """An arch of stone with fire in it, before a kiln's foot."""
    x, y, z = at
    half, tall = MOUTH[0] * radius, MOUTH[1] * high
    front = z - radius * 1.05
    box(stage, Frame(x - half - 2, y, front), 2 * half + 4, tall + 2.0, 6.0, bricks.band)
    stage.sheet(arch(x, y, front - 0.4, half, tall), bricks.fire, Kind.LAMP, casts=False)
    for side in (-1.0, 1.0):
        beam(
            stage,
            (x + side * (half + 2.4), y, front - 1),
            (x + side * (half + 2.4), y + tall + 3, front - 1),
            1.4,
            bricks.band,
        )
    return Lamp((x, y + tall * 0.5, front - 6.0), 1.5, FIRE)


def arch(x: float, y: float, z: float, half: float, tall: float) -> list[Point]:
    """The outline of an opening with a round head, from its left foot."""
    spring = y + tall - half
    turns = [0.5 - 0.5 * n / ARCH for n in range(ARCH + 1)]
    head = [(x + half * float(cosine(t)), spring + half * float(sine(t)), z) for t in turns]
    return [(x - half, y, z), *head, (x + half, y, z)]
