"""Plans of a canyon land: where masses of rock stand, where the shelter, dunes and river lie."""

from __future__ import annotations

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.rock import Arch, Mass
from genbg.paint.painters.canyon.keys import Keys
from genbg.records import record

VIEW = 160.0
"""Column in the middle of the first view."""
TALL = 124.0
"""Height in pixels of the highest mass where the preset's `height` is 0.75."""


@record(frozen=True)
class Range:
    """Masses that share their beds. base: screen line of their foot; scale, air: size and dust."""

    masses: tuple[Mass, ...]
    base: float
    scale: float
    air: float


@record(frozen=True)
class Plan:
    """ranges: the far ones first; sun: side that light comes from, -1 left or 1 right

    shelter: whether there is one; x, line: its foot's middle; size: 1 is common
    river: columns and screen lines it runs through, or none
    """

    ranges: tuple[Range, ...]
    sun: int
    shelter: bool
    x: float
    line: float
    size: float
    river: tuple[tuple[float, float], ...]


def draw_plan(job: Job, keys: Keys) -> Plan:
    """The plan of a seed."""
    dice = Dice(job.seed, "plan")
    sun = -1 if job.light[0] < 0 else 1
    tall = TALL * keys.height / 0.75
    if keys.rank == "far":
        return _far_plan(dice, job, tall, sun)
    name = dice.choice(tuple(PLANS))
    draw = PLANS[name] if keys.plan == "any" else NAMED[keys.plan]
    masses, x, line, size = draw(dice, tall, -sun * dice.choice((1, 1, -1)))
    base = float(keys.horizon + 52)
    river = _river(dice, x) if dice.unit() < keys.river else ()
    whole = tuple(_shifted(mass, dice) for mass in masses)
    return Plan((Range(whole, base, 1.0, 0.0),), sun, keys.shelter, x, line, size, river)


def _shifted(mass: Mass, dice: Dice) -> Mass:
    """The mass a few pixels aside."""
    by = dice.between(-5, 5)
    arch = mass.arch
    if arch is not None:
        arch = Arch(arch.x + by, arch.y, arch.wide, arch.tall)
    return Mass(mass.x + by, mass.z, mass.wide, mass.deep, mass.top, mass.talus, mass.turn, arch)


Drawn = tuple[list[Mass], float, float, float]
"""Masses, and the shelter's column, screen line and size."""


def _butte(dice: Dice, tall: float, away: int) -> Drawn:
    """A great butte in steps, the shelter before its shaded side."""
    x = VIEW + dice.between(-34, 20) * away
    masses = [
        Mass(x, 46, 42, 28, tall, 1, -0.05 * away),
        Mass(x + 38 * away, 50, 52, 28, tall * dice.between(0.66, 0.76), 1, -0.035),
        Mass(x + 72 * away, 46, 30, 22, tall * dice.between(0.46, 0.56)),
        Mass(x - 46 * away, 46, 18, 16, tall * dice.between(0.56, 0.68)),
        Mass(x - 72 * away, 42, 9, 9, tall * dice.between(0.4, 0.46)),
    ]
    if dice.chance(0.6):
        at = x + 112 * away
        masses.append(Mass(at, 48, 42, 14, tall * 0.5, 0.6, 0, Arch(at + 2 * away, 12, 20, 28)))
    return (
        masses + _others(dice, x, tall),
        x + dice.between(70, 92) * away,
        dice.between(158, 163),
        1.0,
    )


def _gate(dice: Dice, tall: float, away: int) -> Drawn:
    """Walls on both sides, the shelter far off in the lit gap."""
    masses = []
    for side in (-1, 1):
        x = VIEW + side * dice.between(122, 140)
        masses += [
            Mass(x, 46, 42, 30, tall * dice.between(0.95, 1.1), 1.1, 0.016 * side),
            Mass(x - 34 * side, 44, 30, 26, tall * dice.between(0.7, 0.86), 1.1, 0.02),
            Mass(x - 70 * side, 50, 13, 13, tall * dice.between(0.5, 0.66)),
            Mass(x + 62 * side, 52, 26, 18, tall * dice.between(0.6, 0.8)),
        ]
    return masses, VIEW + dice.between(-26, 26), dice.between(146, 150), 0.74


def _arch(dice: Dice, tall: float, away: int) -> Drawn:
    """One great arch, the shelter near us beside it."""
    off = dice.between(-24, 84)
    x = VIEW - off * away
    wide = dice.between(28, 56)
    high = dice.between(0.62, 0.95)
    masses = [
        Mass(
            x,
            42,
            wide + 34,
            19,
            tall * high,
            0.7,
            0.006,
            Arch(x + 8 * away, 16, wide, (high - 0.34) * tall),
        ),
        Mass(x - (wide + 40) * away, 50, 26, 24, tall * dice.between(0.5, 1.05)),
        Mass(x + (wide + 46) * away, 44, 14, 12, tall * dice.between(0.3, 0.6)),
    ]
    beside = min(wide + 72, off + 108)
    return masses + _others(dice, x, tall), x + beside * away, dice.between(158, 164), 1.25


def _spires(dice: Dice, tall: float, away: int) -> Drawn:
    """A row of thin towers, the tallest beside the shelter."""
    x, masses = VIEW - 70 * away, []
    for number in range(6):
        size = (0.5, 0.72, 1.05, 0.82, 0.56, 0.4)[number] * dice.between(0.9, 1.08)
        wide = dice.between(10, 17) * (1.25 if number == 2 else 1.0)
        masses.append(
            Mass(
                x + number * dice.between(25, 31) * away,
                42 + 4 * (number % 3),
                wide,
                wide,
                tall * size,
                1.2,
            )
        )
    masses.append(Mass(x + 40 * away, 58, 70, 18, tall * 0.34, 1.2))
    return (
        masses + _others(dice, x, tall),
        x + dice.between(100, 120) * away,
        dice.between(156, 162),
        1.05,
    )


def _table(dice: Dice, tall: float, away: int) -> Drawn:
    """A long table mountain on one side and a single needle on the other."""
    x = VIEW - dice.between(70, 96) * away
    masses = [
        Mass(x, 52, 92, 26, tall * dice.between(0.56, 0.66), 1.1),
        Mass(x - 40 * away, 46, 34, 24, tall * dice.between(0.72, 0.8)),
        Mass(x + 74 * away, 46, 20, 18, tall * dice.between(0.4, 0.5)),
        Mass(x + 172 * away, 46, 12, 12, tall * dice.between(0.8, 0.95), 1.3),
        Mass(x + 188 * away, 48, 20, 16, tall * dice.between(0.3, 0.4), 1.2),
    ]
    return (
        masses + _others(dice, x, tall),
        x + dice.between(112, 132) * away,
        dice.between(156, 162),
        1.1,
    )


def _sand(dice: Dice, tall: float, away: int) -> Drawn:
    """Dunes, and low rock that they have all but buried."""
    x = VIEW + dice.between(40, 80) * away
    masses = [
        Mass(x, 48, 30, 20, tall * dice.between(0.2, 0.3)),
        Mass(x + 190 * away, 50, 44, 20, tall * dice.between(0.26, 0.36)),
    ]
    return (
        masses,
        VIEW + dice.between(-40, 20) * away,
        dice.between(154, 162),
        dice.between(0.95, 1.2),
    )


PLANS = {"butte": _butte, "gate": _gate, "arch": _arch, "spires": _spires, "table": _table}
"""Plans that a seed may draw."""
NAMED = {**PLANS, "sand": _sand}
"""Plans that a preset may ask for."""


def _others(dice: Dice, x: float, tall: float) -> list[Mass]:
    """Masses on the far side of the plane, so that the view is never empty."""
    found, at = [], x + dice.between(196, 226)
    for number in range(dice.whole(2, 3)):
        wide = dice.between(14, 34)
        found.append(
            Mass(
                at + 44 * number,
                48 + 3 * number,
                wide,
                0.7 * wide + 4,
                tall * dice.between(0.4, 0.8),
            )
        )
    return found


def _far_plan(dice: Dice, job: Job, tall: float, sun: int) -> Plan:
    """Two ranges in dust: small pale ones behind, larger ones before them, with gaps."""
    ranges = []
    for base, scale, air, size, gap in ((112, 0.45, 0.66, 0.36, 46), (128, 0.6, 0.36, 0.52, 96)):
        masses, x = [], dice.between(0, 40)
        while x < job.width - 10:
            thin = dice.chance(0.4)
            wide = dice.between(8, 12) if thin else dice.between(18, 46)
            high = tall * size * (dice.between(1.0, 1.35) if thin else dice.between(0.55, 1.0))
            masses.append(Mass(x, dice.between(38, 52), wide, min(18.0, wide * 0.7 + 2), high))
            x += wide + dice.between(0.3, 1.5) * gap
        ranges.append(Range(tuple(masses), float(base), scale, air))
    return Plan(tuple(ranges), sun, False, 0.0, 0.0, 1.0, ())


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
