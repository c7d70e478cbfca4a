"""Where things stand: the house, its lamp, groups of firs, dips of the shoulder."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.painters.refuge.keys import Keys

PLACES = ("crest", "wood", "hollow")
SAPLINGS = 4
"""Groups of low firs on the level snow nearest to us."""
SPARED = 0.5
"""Share of the firs that a thrifty picture leaves out."""
NEAR_BODY = {1: (96, 150), -1: (-132, -84)}
"""Columns right of the body where a house may stand, by side: in the view with the body."""


IN_VIEW = 44.0
"""Columns from a homely house's middle to the edge of the first view, at least."""
VIEW = 160
"""Column in the middle of the first view; body and house shall both be in it."""


@dataclass(frozen=True)
class Grove:
    """Firs: x and spread in columns, how many, height in shares of the tallest, depth 0..1."""

    x: float
    spread: float
    count: int
    tall: float
    deep: float


@dataclass(frozen=True)
class Site:
    """middle: column of the body; house: column of the house; deep: its depth 0..1

    lived_in: False where there is no house

    turn: 1: its open gable looks right, -1: left; size: 1 is common
    dip: column where the shoulder is lowest, wide: half its width, low: how far it dips
    lean: pixels by which the shoulder leans to one side
    """

    middle: float
    place: str
    house: float
    lived_in: bool
    deep: float
    turn: int
    size: float
    dip: float
    wide: float
    low: float
    lean: float
    groves: tuple[Grove, ...]


def draw_site(job: Job, keys: Keys) -> Site:
    """The site of a seed."""
    dice = Dice(job.seed, "site")
    middle = job.body.x if job.body else job.width * 0.3
    place = dice.choice(PLACES)
    side = 1 if middle < VIEW - 26 else -1 if middle > VIEW + 40 else dice.choice((-1, 1))
    low, high = NEAR_BODY[side]
    off = dice.between(low, high)
    deep = {
        "crest": dice.between(0.62, 0.74),
        "wood": dice.between(0.52, 0.62),
        "hollow": dice.between(0.4, 0.48),
    }
    size = {
        "crest": dice.between(0.95, 1.05),
        "wood": dice.between(1.05, 1.15),
        "hollow": dice.between(1.2, 1.35),
    }
    if keys.homely:
        room = IN_VIEW * size[place] * keys.size
        off = min(off, 2 * VIEW - room - middle) if side > 0 else max(off, room - middle)
    if keys.place != "any":
        place = keys.place
    spot = place if place in deep else "crest"
    return Site(
        middle=middle,
        place=spot,
        house=(middle + off) % job.width,
        lived_in=place != "none",
        deep=deep[spot],
        turn=-side if dice.unit() < 0.8 else side,
        size=size[spot] * keys.size,
        dip=middle - dice.between(-10, 30) * side,
        wide=dice.between(50, 110),
        low=dice.between(12, 30),
        lean=side * dice.between(-4, 9),
        groves=_groves(dice, job, keys, middle, off, side, spot),
    )


def _groves(
    dice: Dice, job: Job, keys: Keys, middle: float, off: float, side: int, place: str
) -> tuple[Grove, ...]:
    """Firs: a great grove across from the house, one behind it or beside it, single ones."""
    across = middle - side * dice.between(100, 150)
    found = [Grove(across, 44, 6, 1.0, dice.between(0.2, 0.6))]
    if place == "wood":
        found.append(Grove(middle + off + side * 44, 34, 5, 0.95, 0.75))
        found.append(Grove(middle + off - side * 50, 18, 2, 0.6, 0.7))
    else:
        found.append(
            Grove(middle + off + side * dice.between(84, 110), 34, 4, 0.9, dice.between(0.3, 0.6))
        )
    found.append(Grove(middle + 256 + dice.between(-40, 40), 60, 6, 1.0, dice.between(0.2, 0.6)))
    if dice.unit() < 0.5:
        found.append(Grove(middle - side * 60, 10, 2, 0.3, 0.5))
    found.append(Grove(middle + 180 * dice.choice((-1, 1)), 30, 2, 0.35, 0.4))
    for _ in range(round(SAPLINGS * (1.0 - job.thrift))):
        found.append(Grove(middle + dice.between(-256, 256), 26, 2, 0.3, 0.0))
    share = keys.trees / 0.6 * (1.0 - SPARED * job.thrift)
    return tuple(
        Grove(g.x % job.width, g.spread, max(0, round(g.count * share)), g.tall, g.deep)
        for g in found
    )
