"""Ropes of paper lanterns along the bank and over the opening, from mast to mast."""

from __future__ import annotations

from itertools import pairwise

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, prism
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.stuff import Stuff

MAST = 42.0, 52.0
"""Least and most height of a mast, in units."""
SAG = 0.15
"""How far a rope hangs through, a share of its span."""
APART = 23.0
"""Units from lantern to lantern along a rope."""
PIECES = 10
"""Straight pieces that a rope is drawn in."""
PAPER = ((3.2, 9.2), (4.4, 7.6), (3.6, 6.2))
"""Lanterns: half their width, and their height."""


def hang_ropes(stage: Stage, dice: Dice, masts: list[Frame], stuff: Stuff) -> list[Lamp]:
    """Masts, and a rope of lanterns from each to the next; the lanterns' light."""
    lamps: list[Lamp] = []
    heads = [_mast(stage, dice.part("mast", n), at, stuff) for n, at in enumerate(masts)]
    for n, (one, two) in enumerate(pairwise(heads)):
        lamps += _rope(stage, dice.part("rope", n), one, two, stuff)
    return lamps


def _mast(stage: Stage, dice: Dice, at: Frame, stuff: Stuff) -> Point:
    """A slim mast with a knob; where the ropes are tied to it."""
    stage.thing()
    high = dice.between(*MAST)
    head = at.x + dice.between(-1.2, 1.2), at.y + high, at.z
    beam(stage, (at.x, at.y, at.z), head, 1.3, stuff.wood, casts=False)
    prism(stage, head, (1.2, 0.6), 1.6, 6, stuff.wood)
    return head


def _rope(stage: Stage, dice: Dice, one: Point, two: Point, stuff: Stuff) -> list[Lamp]:
    """A rope that hangs through (nearly a parabola, as a chain drawn tight is) and its lanterns."""
    span = two[0] - one[0]
    drop = span * SAG * dice.between(0.8, 1.2)

    def at(t: float) -> Point:
        y = one[1] + (two[1] - one[1]) * t - drop * 4 * t * (1 - t)
        return one[0] + span * t, y, one[2] + (two[2] - one[2]) * t

    stage.thing()
    for n in range(PIECES):
        start, end = at(n / PIECES), at((n + 1) / PIECES)
        beam(stage, start, end, 0.9, stuff.wood, casts=False)
    count = max(2, int(span / APART))
    lamps = []
    for n in range(count):
        x, y, z = at((n + 0.5) / count)
        lamps.append(_lantern(stage, dice, (x, y - 1.0, z - 0.6), stuff))
    return lamps


def _lantern(stage: Stage, dice: Dice, at: Point, stuff: Stuff) -> Lamp:
    """A paper lantern below a place: narrow at head and foot, wide in the middle."""
    stage.thing()
    wide, high = dice.choice(PAPER)
    x, y, z = at
    half = high / 2
    foot = y - high
    prism(stage, (x, foot, z), (wide * 0.62, wide), half, 7, stuff.lamp, Kind.LAMP, casts=False)
    prism(stage, (x, foot + half, z), (wide, wide * 0.62), half, 7, stuff.lamp, Kind.LAMP,
          casts=False)  # fmt: skip
    prism(stage, (x, y, z), (wide * 0.4, wide * 0.4), 1.0, 6, stuff.wood, casts=False)
    return Lamp((x, foot + half, z), dice.between(0.8, 1.15), 13.0)
