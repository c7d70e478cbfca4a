"""Plans of a mountain view: where summits stand beside the sun or moon, what the valley holds.

Offsets are columns of a plane 512 wide, right of the body; heights are shares of the highest
summit's. A plan is turned about by the seed, so the great peak stands right or left.
"""

from __future__ import annotations

from dataclasses import dataclass

from genbg.paint.craft.dice import Dice

VALLEYS = ("river", "lake", "meadow")
VALLEY_ODDS = ("river", "river", "lake", "meadow", "river", "lake")


@dataclass(frozen=True)
class Summit:
    """off: columns right of the body; depth: pixels; height: share of the highest; steep: slope"""

    off: float
    depth: float
    height: float
    steep: float = 1.0


@dataclass(frozen=True)
class Plan:
    """summits: the great peaks; gap: columns about the body where the far chain stays low

    turn: 1, or -1 where the plan is turned about; valley: one of `VALLEYS`
    bend: a number 0..1 that says how water swings
    """

    summits: tuple[Summit, ...]
    gap: float
    turn: int
    valley: str
    bend: float


def _gap(dice: Dice) -> list[Summit]:
    """The body over a valley gap; one great peak with a shoulder, lower ones across."""
    great = dice.between(98, 124)
    shoulder = dice.choice((great - dice.between(44, 56), great + dice.between(52, 66)))
    return [
        Summit(great, 78, 1.0, dice.between(0.95, 1.15)),
        Summit(shoulder, 62, dice.between(0.5, 0.62)),
        Summit(-dice.between(112, 138), 70, dice.between(0.6, 0.78), dice.between(0.9, 1.2)),
        Summit(-dice.between(196, 214), 58, dice.between(0.38, 0.56)),
    ]


def _saddle(dice: Dice) -> list[Summit]:
    """Two peaks of about one height, the body in the saddle between them."""
    left, right = dice.between(74, 92), dice.between(78, 104)
    return [
        Summit(-left, 74, dice.between(0.8, 0.92), dice.between(1.0, 1.3)),
        Summit(right, 78, 1.0, dice.between(0.9, 1.2)),
        Summit(-left - dice.between(52, 70), 60, dice.between(0.45, 0.6)),
        Summit(right + dice.between(70, 96), 56, dice.between(0.4, 0.6)),
        Summit(244, 66, dice.between(0.5, 0.7)),
    ]


def _horn(dice: Dice) -> list[Summit]:
    """One steep horn near the body, long low ridges on both sides."""
    horn = dice.between(58, 84)
    return [
        Summit(horn, 80, 1.0, dice.between(1.45, 1.7)),
        Summit(horn + dice.between(30, 40), 66, dice.between(0.5, 0.6), 1.2),
        Summit(horn + 104, 60, dice.between(0.34, 0.46), 0.8),
        Summit(-dice.between(96, 120), 60, dice.between(0.36, 0.5), 0.75),
        Summit(-dice.between(190, 220), 64, dice.between(0.5, 0.62), 0.9),
    ]


def _wall(dice: Dice) -> list[Summit]:
    """A wall of summits on one side, open country on the other."""
    start, found = dice.between(60, 76), []
    for number in range(4):
        high = (0.72, 1.0, 0.84, 0.6)[number] * dice.between(0.9, 1.0)
        found.append(Summit(start + number * dice.between(40, 50), 80 - 6 * number, high))
    found.append(Summit(-dice.between(140, 190), 52, dice.between(0.26, 0.38), 0.7))
    return found


PLANS = {"gap": _gap, "saddle": _saddle, "horn": _horn, "wall": _wall}


def draw_plan(seed: int, plan: str, valley: str) -> Plan:
    """The plan of a seed; plan, valley: names, or "any"."""
    dice = Dice(seed, "plan")
    name = dice.choice(tuple(PLANS))
    turn, holds, bend = dice.choice((-1, 1)), dice.choice(VALLEY_ODDS), dice.unit()
    summits = PLANS[name if plan == "any" else plan](dice)
    gap = 30.0 if name == "saddle" else dice.between(40, 60)
    turned = tuple(Summit(turn * s.off, s.depth, s.height, s.steep) for s in summits)
    return Plan(turned, gap, turn, holds if valley == "any" else valley, bend)
