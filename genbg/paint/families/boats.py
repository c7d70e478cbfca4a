"""Boats by region: hulls of strips, with what stands in them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import power
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box
from genbg.paint.craft.solids.shapes import UP
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.stuff import Stuff

MAST, STAY = 1.15, 0.7
"""Thickness of masts and of stays in units: a mast never falls between two pixels."""
Builder = Callable[[Stage, Dice, Frame, float, Stuff], None]
"""(stage, dice, frame at its middle on the water, length, stuff)."""


@dataclass(frozen=True)
class Hull:
    """The form of a hull, as shares of half its length.

    beam: half its width; side: height of its side amidships; sheer: rise of the rail to the ends
    full: how full its ends are (the power by which it narrows); strips: how many a side
    """

    beam: float = 0.27
    side: float = 0.26
    sheer: float = 0.8
    full: float = 2.4
    strips: int = 8


def hull(
    stage: Stage, frame: Frame, length: float, form: Hull, skin: int, rail: int, inside: int
) -> None:
    """A hull on the water, bow to the frame's right."""
    right, _ = frame.axes()
    half = length / 2
    at = np.arange(form.strips + 1) * 2 / form.strips - 1
    out = np.abs(at)
    wide = (form.beam * half * np.sqrt(1 - power(out, form.full)) + 0.12).tolist()
    bow = np.maximum(0.0, at)
    high = (form.side * half * (1 + form.sheer * (at * at + 0.6 * bow * bow * bow))).tolist()
    places = (at * half).tolist()

    def point(n: int, side: float, share: float, y: float, pull: float = 1.0) -> Point:
        return frame.at(places[n] * pull, y, side * wide[n] * share)

    for n in range(form.strips):
        m = n + 1
        for side in (-1.0, 1.0):
            low = [point(k, side, 0.55, -0.4, 0.84) for k in (n, m)]
            top = [point(k, side, 1.0, high[k]) for k in (m, n)]
            stage.sheet([*low, *top], skin, Kind.PLAIN, low[0], right, UP, casts=False)
            edge = [point(k, side, 1.04, high[k] - 0.5) for k in (n, m)]
            edge += [point(k, side, 1.04, high[k] + 0.5) for k in (m, n)]
            stage.sheet(edge, rail, casts=False)
        floor = [point(n, -1, 0.95, high[n] - 1), point(m, -1, 0.95, high[m] - 1)]
        floor += [point(m, 1, 0.95, high[m] - 1), point(n, 1, 0.95, high[n] - 1)]
        stage.sheet(floor, inside, casts=False)


def row_boat(stage: Stage, dice: Dice, frame: Frame, length: float, stuff: Stuff) -> None:
    """An open boat with thwarts and a pair of oars laid in."""
    stage.thing()
    form = Hull(0.3, 0.24, 0.7)
    hull(stage, frame, length, form, dice.choice(stuff.hulls), stuff.cloth, stuff.wood)
    for at in (-0.2, 0.15):
        foot = frame.moved(length * at, length * 0.11, -length * 0.13)
        box(stage, foot, 1.2, 0.6, length * 0.26, stuff.wood, casts=False)
    stern, bow = (
        frame.at(-length * 0.3, length * 0.17, 0.4),
        frame.at(length * 0.34, length * 0.2, 1),
    )
    beam(stage, stern, bow, 0.6, stuff.wood, casts=False)


def mast_boat(stage: Stage, dice: Dice, frame: Frame, length: float, stuff: Stuff) -> None:
    """A fishing boat with a mast, its sail furled along the boom."""
    stage.thing()
    hull(stage, frame, length, Hull(), dice.choice(stuff.hulls), stuff.cloth, stuff.wood)
    x, y, z = frame.at(length * 0.08, 1.0, 0)
    top = (x, y + length * 1.05, z)
    beam(stage, (x, y, z), top, MAST, stuff.wood, casts=False)
    boom = y + length * 0.3
    stern = frame.at(-length * 0.4, 0, 0)
    beam(stage, (x, boom, z), (stern[0], boom + 0.8, stern[2]), 1.7, stuff.cloth, casts=False)
    bow = frame.at(length * 0.48, length * 0.25, 0)
    beam(stage, top, bow, STAY, stuff.wood, casts=False)


def sail_boat(stage: Stage, dice: Dice, frame: Frame, length: float, stuff: Stuff) -> None:
    """A boat under a slanting sail, hung from a long yard."""
    stage.thing()
    hull(
        stage,
        frame,
        length,
        Hull(0.24, 0.22, 1.1),
        dice.choice(stuff.hulls),
        stuff.wood,
        stuff.wood,
    )
    x, y, z = frame.at(length * 0.1, 1.0, 0)
    beam(stage, (x, y, z), (x, y + length * 0.75, z), MAST, stuff.wood, casts=False)
    low, high = (
        frame.at(length * 0.42, length * 0.3, -0.4),
        frame.at(-length * 0.2, length * 1.1, -0.4),
    )
    beam(stage, low, high, 0.7, stuff.wood, casts=False)
    clew = frame.at(-length * 0.42, length * 0.28, -0.4)
    stage.sheet([low, high, clew], stuff.cloth, Kind.CLOTH, casts=False)


def barge(stage: Stage, dice: Dice, frame: Frame, length: float, stuff: Stuff) -> None:
    """A broad barge with a ridged tarpaulin over its load."""
    stage.thing()
    form = Hull(0.3, 0.17, 0.5, 3.4, 10)
    hull(stage, frame, length, form, dice.choice(stuff.hulls), stuff.stone, stuff.wood)
    wide, low = length * 0.13, length * 0.09
    ridge = length * dice.between(0.15, 0.19)
    ends = (-length * 0.34, length * 0.22)
    right, _ = frame.axes()
    for side in (-1, 1):
        quad = [frame.at(a, low, side * wide) for a in ends]
        quad += [frame.at(a, ridge, 0) for a in reversed(ends)]
        stage.sheet(quad, stuff.cloth, Kind.CLOTH, quad[0], right, UP, casts=False)
    for a in ends:
        points = [frame.at(a, low, -wide), frame.at(a, low, wide), frame.at(a, ridge, 0)]
        stage.sheet(points, stuff.cloth, casts=False)


BOATS: dict[str, Builder] = {
    "row": row_boat,
    "mast": mast_boat,
    "sail": sail_boat,
    "barge": barge,
}
"""Boats by region."""
