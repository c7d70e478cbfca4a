"""Plans of a canyon land: where masses of rock stand, where the dwelling, dunes and river lie."""

from __future__ import annotations

from dataclasses import dataclass, replace

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.rock import Arch, Mass
from genbg.paint.painters.canyon.dwellings import KINDS
from genbg.paint.painters.canyon.heroes import HEROES, NAMED, others
from genbg.paint.painters.canyon.keys import Keys

ASIDE = 98.0
"""Columns that the rock of a cliff dwelling keeps from the hero's middle."""
TALL = 124.0
"""Height in pixels of the highest mass where the preset's `height` is 0.75."""


@dataclass(frozen=True)
class Range:
    """Masses that share their beds. base: screen line of their foot; scale, air: size and dust."""

    masses: tuple[Mass, ...]
    base: float
    scale: float
    air: float


@dataclass(frozen=True)
class Plan:
    """ranges: the far ones first; sun: side that light comes from, -1 left or 1 right

    shelter: whether there is one; x, line: its foot's middle; size: 1 is common; home: its kind
    river: columns and screen lines it runs through, or none
    """

    ranges: tuple[Range, ...]
    sun: int
    shelter: bool
    x: float
    line: float
    size: float
    river: tuple[tuple[float, float], ...]
    home: str = "domed"


def draw_plan(job: Job, keys: Keys) -> Plan:
    """The plan of a seed."""
    dice = Dice(job.seed, "plan")
    sun = -1 if job.light[0] < 0 else 1
    tall = TALL * keys.height / 0.75
    if keys.rank == "far":
        return _far_plan(dice, job, tall, sun)
    name = dice.choice(tuple(HEROES))
    draw = HEROES[name] if keys.plan == "any" else NAMED[keys.plan]
    hero = draw(dice, tall, -sun * dice.choice((1, 1, -1)))
    masses = hero.masses
    if keys.plan != "sand" and name != "gate":
        masses = masses + others(dice, hero.x, tall)
    base = float(keys.horizon) + dice.between(48, 54)
    homes = tuple(kind for kind in KINDS if keys.plan != "sand" or kind != "cliff")
    home = Dice(job.seed, "dwelling").choice(homes) if keys.home == "any" else keys.home
    x, line, size = hero.home
    if home == "cliff" and keys.shelter:
        aside = x - hero.x
        x = hero.x + (1.0 if aside > 0 else -1.0) * max(abs(aside), ASIDE)
        alcove, line = _alcove(dice, x, tall, size), base - 6.0
        masses = [one for one in masses if _apart(one.x, x, job.width) > one.wide + 20] + [alcove]
        size = min(1.0, size)
    size *= KINDS[home].size
    river = _river(dice, x) if dice.unit() < keys.river else ()
    near = Range(tuple(masses), base, 1.0, 0.0)
    return Plan((near,), sun, keys.shelter, x, line, size, river, home)


def _alcove(dice: Dice, x: float, tall: float, size: float) -> Mass:
    """A wall of rock with an alcove about the dwelling's column, high and deep enough for it."""
    size = min(1.0, size)
    wide, off = dice.between(46, 62), dice.between(-12, 12)
    opening = Arch(x, 10.0, dice.between(31, 36) * size, dice.between(22, 28) * size, 34.0)
    high = max(tall * dice.between(0.4, 0.72), 58.0)
    return Mass(x + off, 38, wide, 24, high, 0.5, 0.0, opening)


def _apart(x: float, other: float, width: int) -> float:
    """Columns from one place to another, the shorter way round."""
    return abs(float(wrapped(x, other, width)))


FAR = ((111.0, 0.45, 0.66, 0.4, 2), (127.0, 0.62, 0.36, 0.56, 3))
"""Far ranges: line of their foot, scale, dust, height (a share of the near ones'), groups."""


def _far_plan(dice: Dice, job: Job, tall: float, sun: int) -> Plan:
    """Two ranges in dust: groups of mesas with open land between them, at times a needle."""
    ranges = []
    for base, scale, air, size, groups in FAR:
        masses: list[Mass] = []
        shift = dice.unit()
        count = max(1, round(groups * job.width / 512))
        for number in range(count):
            x = (number + shift + dice.between(-0.2, 0.2)) * job.width / count
            masses += _far_group(dice, x, tall * size, scale)
        ranges.append(Range(tuple(masses), base, scale, air))
    return Plan(tuple(ranges), sun, False, 0.0, 0.0, 1.0, ())


def _far_group(dice: Dice, x: float, tall: float, scale: float) -> list[Mass]:
    """A mesa, what broke off it on one side, and at times a needle apart."""
    side, wide = dice.choice((-1, 1)), dice.between(34, 74) * scale
    high = tall * dice.between(0.7, 1.0)
    deep = dice.between(12, 18)
    found = [Mass(x, 48, wide, deep, high, 1.9, dice.between(-0.04, 0.04))]
    at = x + side * wide
    for _ in range(dice.whole(1, 3)):
        part = dice.between(8, 26) * scale
        high *= dice.between(0.6, 1.05)
        at += side * (part + dice.between(-6, 16) * scale)
        found.append(Mass(at, dice.between(40, 52), part, 0.5 * part + 5, high, 1.9))
        at += side * part
    if dice.chance(0.5):
        at = x - side * (wide + dice.between(20, 60) * scale)
        found.append(Mass(at, 44, 6 * scale + 2, 6, tall * dice.between(0.7, 1.15), 2.4))
    front = dice.between(-0.7, 0.7) * wide
    found.append(replace(found[0], x=x + front, z=36.0, wide=9.0 * scale + 3, deep=8.0, talus=1.2))
    return found


def _river(dice: Dice, x: float) -> tuple[tuple[float, float], ...]:
    """Columns and screen lines of a dry river that winds toward us beside the shelter."""
    side, found = dice.choice((-1, 1)), []
    for line, swing in (
        (104, 30),
        (112, -24),
        (121, 30),
        (134, -30),
        (152, 26),
        (176, -10),
        (224, 20),
    ):
        found.append((x - side * 76 + side * swing * dice.between(0.6, 1.3), float(line)))
    return tuple(found)
