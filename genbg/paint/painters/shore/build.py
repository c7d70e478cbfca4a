"""The stage of the near shore: rocks in groups with water between them, and what lies on them."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Oblique, Stage, boulder
from genbg.paint.families.boats import BOATS
from genbg.paint.families.stuff import Stuff
from genbg.paint.painters.shore.keys import NUMBER

STUFF = Stuff(
    walls=(NUMBER["stone"],),
    roofs=(NUMBER["wood"],),
    stone=NUMBER["stone"],
    wood=NUMBER["wood"],
    lamp=NUMBER["glow"],
    cloth=NUMBER["cloth"],
    leaf=NUMBER["grass"],
    hulls=(NUMBER["hull"], NUMBER["cloth"]),
)


@dataclass(frozen=True)
class Group:
    """A group of rocks: its middle, half its width, the height of its highest."""

    x: float
    half: float
    high: float


def place_groups(dice: Dice, cover: float, rise: float, width: float) -> list[Group]:
    """Groups round the plane with gaps of unlike width between them; heights differ."""
    count = dice.choice((2, 2, 3))
    shares = [dice.between(0.6, 1.5) for _ in range(count)]
    gaps = [dice.between(0.5, 1.6) for _ in range(count)]
    land, water = width * cover, width * (1 - cover)
    whole_share, whole_gap = sum(shares), sum(gaps)
    x = dice.between(0, width)
    highs = dice.shuffled([dice.between(36, 46), dice.between(16, 24), dice.between(26, 34)])
    groups = []
    for share, gap, high in zip(shares, gaps, highs, strict=False):
        half = land * share / whole_share / 2
        groups.append(Group((x + half) % width, half, high * rise))
        x += half * 2 + water * gap / whole_gap
    return groups


def beach_boat(stage: Stage, dice: Dice, groups: list[Group], eye: Oblique) -> None:
    """A rowing boat drawn up on the widest group."""
    group = max(groups, key=lambda one: one.half)
    x = group.x - eye.x + group.half * dice.between(0.3, 0.55) * dice.choice((-1.0, 1.0))
    line = dice.between(205, 209)
    frame = Frame(x, BOAT_LIES, eye.depth_at(line, BOAT_LIES), dice.between(-0.07, 0.07))
    BOATS["row"](stage, dice, frame, dice.between(36, 44), STUFF)


def strew(
    stage: Stage, dice: Dice, groups: list[Group], eye: Oblique, count: int, rise: float
) -> None:
    """Boulders in families on the groups and before them: a large one, and small ones beside it.

    What lies nearer to us is larger.
    """
    for n in range(count):
        family = dice.part(n // FAMILY)
        group = family.choice(groups)
        one = dice.part("stone", n)
        spread = one.between(-24, 24) if n % FAMILY else 0.0
        x = group.x - eye.x + group.half * family.between(-1.05, 1.05) + spread
        line = min(family.between(199, 216) + one.between(-3, 7), 222.0)
        size = one.between(9, 14) if n % FAMILY == 0 else one.between(3.5, 7.5)
        size *= rise * (0.75 + 0.022 * (line - 199))
        place = x, size * 0.35 + GROUND * (line < 209), eye.depth_at(line)
        radii = size * one.between(1.1, 1.5), size * one.between(0.8, 1.05), size
        boulder(stage, place, radii, one.seed ^ one.whole(0, 1 << 30), NUMBER["rock"])


FAMILY = 4
"""Boulders that lie together."""
GROUND = 3.0
"""Height of the rocks on which far boulders lie, in units."""
BOAT_LIES = 6.0
"""Height of a beached boat's waterline over the water, in units."""
