"""The lie of the land: mounds in terraces, and where on them there is room."""

from __future__ import annotations

from dataclasses import dataclass, replace

from genbg.paint.craft.dice import Dice


@dataclass(frozen=True)
class Level:
    """A terrace: from left to right at y; z: depth of its front edge."""

    left: float
    right: float
    y: float
    z: float


@dataclass(frozen=True)
class Mound:
    """A hill in terraces, lowest first, its cliff at the right.

    bare: rock without houses; stair: x between which one stair climbs all of it; None: it has none
    works: a yard with kilns in place of houses
    """

    levels: tuple[Level, ...]
    bare: bool = False
    stair: tuple[float, float] | None = None
    works: bool = False


@dataclass(frozen=True)
class Land:
    """All mounds, far ones first.

    quay: left and right end of the quay; summit: the level that bears the tower
    """

    plan: str
    mounds: tuple[Mound, ...]
    quay: tuple[float, float]
    summit: Level

    @property
    def left(self) -> float:
        return min(level.left for mound in self.mounds for level in mound.levels)

    @property
    def right(self) -> float:
        return max(level.right for mound in self.mounds for level in mound.levels)


FRONT = 398.0
"""Depth of the lowest terrace."""


def mound(
    dice: Dice,
    at: float,
    half: float,
    count: int,
    rise: float,
    slopes: tuple[float, float] = (0.8, 0.25),
    front: float = FRONT,
    bare: bool = False,
    deep: float = 19.0,
) -> Mound:
    """A hill of `count` terraces, `rise` apart, each `deep` behind the one below.

    slopes: shares of the half width by which its left and right side have drawn in at the top
    """
    levels, y = [], 5.0
    for n in range(count):
        part = n / max(1, count - 1)
        left = at - half * (1 - slopes[0] * part) + dice.between(-0.05, 0.05) * half
        right = at + half * (1 - slopes[1] * part * part) + dice.between(-0.04, 0.04) * half
        levels.append(Level(left, max(right, left + 26), y, front + deep * n))
        y += rise * dice.between(0.88, 1.12)
    return Mound(tuple(levels), bare)


def lay_land(dice: Dice, plan: str) -> Land:
    """The land of a plan, drawn with dice; light comes from the left."""
    name = dice.choice(("peak", "saddle", "cape", "stack")) if plan == "any" else plan
    plans = {
        "peak": _peak,
        "saddle": _saddle,
        "cape": _cape,
        "stack": _stack,
        "stair": _stair,
        "kilns": _kilns,
    }
    mounds = plans[name](dice)
    built = [one for one in mounds if not one.bare]
    summit = max((one.levels[-1] for one in mounds), key=lambda level: level.y)
    low = built[-1].levels[0]
    quay = (
        low.left - dice.between(2, 14),
        low.left + (low.right - low.left) * dice.between(0.6, 0.8),
    )
    return Land(name, tuple(mounds), quay, summit)


def _peak(dice: Dice) -> list[Mound]:
    """One steep hill, its cliff away from the light."""
    return [mound(dice, 0, dice.between(104, 122), 6, dice.between(17, 19.5))]


def _saddle(dice: Dice) -> list[Mound]:
    """Two hills of unlike height with the harbour between them."""
    low, high = dice.between(54, 66), dice.between(64, 78)
    return [
        mound(dice, 56, high, 6, dice.between(17, 19), (0.6, 0.3), FRONT + 22),
        mound(dice, -66, low, 4, dice.between(14, 17), (0.35, 0.6), FRONT + 6),
        mound(dice, -4, 84, 2, 13, (0.3, 0.3)),
    ]


def _cape(dice: Dice) -> list[Mound]:
    """A long low town that ends in a high cape."""
    return [
        mound(dice, 70, dice.between(48, 56), 6, dice.between(17, 19), (0.55, 0.2), FRONT + 18),
        mound(dice, -12, dice.between(104, 116), 3, dice.between(14, 17), (0.45, 0.1)),
    ]


def _stack(dice: Dice) -> list[Mound]:
    """A town hill and a bare stack before the cliff, with the tower on it."""
    return [
        mound(dice, 106, 25, 6, dice.between(17, 18.5), (0.25, 0.3), FRONT + 10, True),
        mound(dice, -34, dice.between(84, 94), 5, dice.between(15, 17.5), (0.7, 0.2)),
    ]


STAIR_WIDE = 38.0
"""Units from side to side of a stair that turns at every terrace."""


def _stair(dice: Dice) -> list[Mound]:
    """A steep hill higher than a screen, climbed by one stair that turns at every terrace."""
    hill = mound(
        dice,
        0,
        dice.between(118, 132),
        12,
        dice.between(29.5, 31.5),
        (dice.between(0.4, 0.62), dice.between(0.4, 0.62)),
        deep=15.0,
    )
    top = hill.levels[-1]
    start = top.left + (top.right - top.left - STAIR_WIDE) * dice.between(0.1, 0.7)
    return [replace(hill, stair=(start, start + STAIR_WIDE))]


def _kilns(dice: Dice) -> list[Mound]:
    """A long yard with kilns, a hill with a few houses behind one end of it."""
    end = dice.between(52, 74)
    return [
        mound(dice, end, dice.between(52, 62), 5, dice.between(15, 18), (0.6, 0.3), FRONT + 66),
        replace(mound(dice, -24, dice.between(116, 132), 2, 3, (0.1, 0.1)), works=True),
    ]
