"""Hero forms of a canyon land, one for each seed: where their masses stand, and where one lives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.rock import Arch, Mass

VIEW = 160.0
"""Column in the middle of the first view."""


@dataclass(frozen=True)
class Hero:
    """A hero's masses; x: its middle; home: column, screen line and size of the dwelling."""

    masses: list[Mass]
    x: float
    home: tuple[float, float, float]


Draw = Callable[[Dice, float, int], Hero]
"""(dice, height in pixels of the highest mass, side away from the sun) -> hero."""


def broken(dice: Dice, mass: Mass, count: int | None = None) -> list[Mass]:
    """A mass with buttresses before it: uneven in place, size and height."""
    found = [mass]
    count = round(mass.wide * dice.between(0.03, 0.075)) + 1 if count is None else count
    for _ in range(count):
        at = dice.between(-0.95, 0.95)
        wide = dice.between(5.0, 9.0) * (0.7 + mass.wide / 90.0)
        front = mass.deep * (1.0 - 0.5 * at * at)
        top = mass.top * dice.choice((0.38, 0.6, 0.8, 0.93)) * dice.between(0.9, 1.06)
        z = max(12.0, mass.z - front + dice.between(-3.0, 4.0))
        turn = dice.between(0.0, 0.2)
        found.append(Mass(mass.x + at * mass.wide, z, wide, dice.between(6, 12), top, 0.6, turn))
    return found


def _butte(dice: Dice, tall: float, away: int) -> Hero:
    """A great butte, shoulders at both sides, a pillar that parted from it."""
    x = VIEW + dice.between(-66, 40) * away
    wide = dice.between(34, 56)
    main = Mass(x, 52, wide, 30, tall * dice.between(0.86, 1.0), 1.5, dice.between(-0.05, 0.05))
    low = Mass(
        x + (wide + dice.between(4, 22)) * away, 54, dice.between(30, 52), 26,
        tall * dice.between(0.42, 0.62), 1.3, dice.between(-0.04, 0.04),
    )  # fmt: skip
    side = Mass(
        x - (wide + dice.between(-4, 10)) * away, 46, dice.between(12, 22), 16,
        tall * dice.between(0.4, 0.72), 1.2,
    )  # fmt: skip
    masses = broken(dice, main) + broken(dice, low) + [side]
    if dice.chance(0.6):
        at = x - (wide + dice.between(30, 48)) * away
        masses.append(Mass(at, 42, 8, 8, tall * dice.between(0.3, 0.5), 1.4))
    home = x + (wide + dice.between(26, 52)) * away
    return Hero(masses, x, (home, dice.between(157, 163), dice.between(0.85, 1.15)))


def _gate(dice: Dice, tall: float, away: int) -> Hero:
    """Walls on both sides, the dwelling far off in the lit gap."""
    masses, middle = [], VIEW + dice.between(-36, 36)
    for side in (-1, 1):
        x = middle + side * dice.between(104, 138)
        high = dice.between(0.8, 1.1) if side == away else dice.between(0.55, 0.9)
        masses += broken(dice, Mass(x, 50, dice.between(40, 56), 32, tall * high, 1.3, 0.0))
        at = x - (dice.between(42, 56)) * side
        masses += broken(dice, Mass(at, 46, 16, 18, tall * dice.between(0.3, 0.6), 1.2), 1)
        masses.append(Mass(x + 66 * side, 56, 34, 18, tall * dice.between(0.5, 0.75)))
    return Hero(masses, middle, (middle + dice.between(-20, 20), dice.between(147, 151), 0.74))


def _arch(dice: Dice, tall: float, away: int) -> Hero:
    """One great arch, the dwelling near us beside it."""
    x = VIEW - dice.between(-40, 84) * away
    wide, high = dice.between(22, 54), dice.between(0.6, 0.92)
    arch = Arch(x + dice.between(-10, 16) * away, 14, wide, (high - 0.32) * tall)
    body = Mass(x, 44, wide + dice.between(26, 40), 17, tall * high, 0.9, 0.006, arch)
    masses = [
        body,
        *broken(
            dice, Mass(x - (wide + 42) * away, 50, 26, 22, tall * dice.between(0.5, 1.05), 1.3), 2
        ),
        Mass(x + (wide + dice.between(40, 54)) * away, 46, 13, 12, tall * dice.between(0.25, 0.6)),
    ]
    home = x + (wide + dice.between(50, 84)) * away
    return Hero(masses, x, (home, dice.between(157, 164), dice.between(0.95, 1.3)))


def _spires(dice: Dice, tall: float, away: int) -> Hero:
    """Twin towers on one broad foot, one of them higher; a low bank of rock behind."""
    x = VIEW + dice.between(-70, 30) * away
    gap, wide = dice.between(17, 30), dice.between(9, 15)
    foot = Mass(x, 50, gap + dice.between(22, 38), 24, tall * dice.between(0.2, 0.34), 1.6)
    masses = [
        *broken(dice, foot, 3),
        Mass(x - gap * away, 48, wide, wide, tall * dice.between(0.92, 1.08), 0.0, 0.05),
        Mass(x + gap * away, 50, wide * 0.85, wide, tall * dice.between(0.62, 0.86), 0.0),
        Mass(x + (gap - 11) * away, 46, wide * 0.5, wide * 0.6, tall * dice.between(0.4, 0.5), 0.0),
    ]
    at = x + dice.between(70, 110) * away
    masses += broken(dice, Mass(at, 60, dice.between(36, 60), 16, tall * dice.between(0.28, 0.4)))
    home = x + (gap + dice.between(56, 84)) * away
    return Hero(masses, x, (home, dice.between(156, 163), dice.between(0.95, 1.2)))


def _table(dice: Dice, tall: float, away: int) -> Hero:
    """A long table mountain on one side and a single needle on the other."""
    x = VIEW - dice.between(50, 96) * away
    wide = dice.between(70, 96)
    needle = x + (wide + dice.between(60, 90)) * away
    masses = [
        *broken(dice, Mass(x, 56, wide, 26, tall * dice.between(0.52, 0.66), 1.6)),
        *broken(dice, Mass(x - 40 * away, 48, 30, 24, tall * dice.between(0.7, 0.84), 1.3)),
        Mass(needle, 46, 10, 10, tall * dice.between(0.7, 0.95), 1.8),
        Mass(needle + 34 * away, 48, 20, 16, tall * dice.between(0.2, 0.34), 1.2),
    ]
    home = x + (wide + dice.between(18, 40)) * away
    return Hero(masses, x, (home, dice.between(156, 162), dice.between(0.9, 1.2)))


def _cleft(dice: Dice, tall: float, away: int) -> Hero:
    """A great wall split from top to foot; the part toward the sun is lower, so light falls in."""
    x = VIEW + dice.between(-40, 60)
    half, high = dice.between(0, 5), tall * dice.between(0.78, 1.0)
    left, right = dice.between(44, 70), dice.between(46, 76)
    masses = broken(
        dice, Mass(x - (left + half) * away, 50, left, 24, 0.62 * high, 1.3, 0.01 * away)
    )
    masses += broken(dice, Mass(x + (right + half) * away, 52, right, 30, high, 1.3))
    masses.append(Mass(x + (right * 1.9) * away, 48, 22, 20, high * dice.between(0.4, 0.7), 1.3))
    home = x - dice.between(30, 80) * away if dice.chance(0.4) else x + dice.between(60, 120) * away
    return Hero(masses, x, (home, dice.between(157, 163), dice.between(0.8, 1.1)))


def _balanced(dice: Dice, tall: float, away: int) -> Hero:
    """A great block that lies on a thin neck, low rock beside it."""
    x = VIEW + dice.between(-76, 20) * away
    neck, block = dice.between(0.34, 0.48) * tall, dice.between(15, 24)
    lean = dice.between(-5, 5)
    high = neck + block * dice.between(1.1, 1.7)
    masses = [
        *broken(dice, Mass(x, 50, dice.between(24, 36), 22, 0.42 * neck, 1.7), 2),
        Mass(x, 50, 0.75 * block, 14, 0.8 * neck, 0.0, 0.03),
        Mass(x + 0.5 * lean, 50, 0.5 * block, 11, neck + 12.0, 0.0),
        Mass(x + lean, 50, block, 17, high, 0.0, 0.04, None, neck),
        Mass(
            x - 0.35 * block, 46, 0.7 * block, 13, 0.3 * neck + 0.7 * high, 0.0, 0.1, None, neck + 3
        ),
    ]
    at = x + dice.between(84, 130) * away
    masses += broken(
        dice, Mass(at, 56, dice.between(36, 60), 22, tall * dice.between(0.3, 0.5), 1.4)
    )
    home = x + dice.between(50, 76) * away
    return Hero(masses, x, (home, dice.between(157, 163), dice.between(0.9, 1.2)))


def _sand(dice: Dice, tall: float, away: int) -> Hero:
    """Dunes, and low rock that they have all but buried."""
    x = VIEW + dice.between(40, 80) * away
    masses = [
        *broken(dice, Mass(x, 48, 30, 20, tall * dice.between(0.2, 0.3))),
        *broken(dice, Mass(x + 190 * away, 50, 44, 20, tall * dice.between(0.26, 0.36))),
    ]
    home = VIEW + dice.between(-40, 20) * away
    return Hero(masses, x, (home, dice.between(154, 162), dice.between(0.95, 1.2)))


HEROES: dict[str, Draw] = {
    "butte": _butte,
    "gate": _gate,
    "arch": _arch,
    "spires": _spires,
    "table": _table,
    "cleft": _cleft,
    "balanced": _balanced,
}
"""Heroes that a seed may draw."""
NAMED: dict[str, Draw] = {**HEROES, "sand": _sand}
"""Heroes that a preset may ask for."""


def others(dice: Dice, x: float, tall: float) -> list[Mass]:
    """Masses on the far side of the plane, so that the view is never empty."""
    found: list[Mass] = []
    at = x + dice.between(206, 240)
    for number in range(dice.whole(2, 3)):
        wide = dice.between(12, 34)
        high = tall * dice.between(0.3, 0.72)
        mass = Mass(at, 48 + 3 * number, wide, 0.7 * wide + 4, high, 1.3)
        found += broken(dice, mass, dice.whole(0, 2))
        at += wide + dice.between(10, 40)
    return found
