"""The stage of the near shore: rocks in groups with water between them, and what lies on them."""

from __future__ import annotations

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import BOULDER, Frame, Stage, Stone, boulder
from genbg.paint.families.boats import BOATS
from genbg.paint.families.stuff import Stuff
from genbg.paint.shore.keys import NUMBER
from genbg.records import record

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

FLAT = Stone(20, 0.0, 0.62)
"""A rock to stand on."""


@record(frozen=True)
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


def build_rocks(stage: Stage, dice: Dice, groups: list[Group], width: float) -> None:
    """Masses, then rocks half as large in front, then stones at the feet and skerries in gaps."""
    for number, group in enumerate(groups):
        part = dice.part(number)
        left, count = group.x - group.half - width / 2, max(3, int(group.half / 21))
        peak = part.between(0.25, 0.75)
        for n in range(count):
            at = (n + part.between(0.2, 0.8)) / count
            near = 1 - abs(at - peak) / max(peak, 1 - peak)
            high = group.high * (0.35 + 0.65 * near) * part.between(0.8, 1.1)
            x, wide = left + at * group.half * 2, part.between(24, 44)
            _rock(stage, part, x, high * 0.3, part.between(388, 418), (wide, high * 0.92, 22.0))
        for _ in range(count + 1):
            at, size = part.unit(), part.between(10, 19)
            x = left + at * group.half * 2
            _rock(stage, part, x, part.between(-3, 5), part.between(372, 384), (size, size, size))
        for _ in range(count):
            size = part.between(2.5, 6)
            x = left + part.between(-0.1, 1.1) * group.half * 2
            _rock(stage, part, x, 0.0, part.between(378, 396), (size * 1.4, size, size))
    for _ in range(3):
        size = dice.between(5, 10)
        x = dice.between(-width / 2, width / 2)
        _rock(stage, dice, x, 0.0, dice.between(425, 450), (size * 1.9, size * 0.8, size))


def _rock(
    stage: Stage,
    dice: Dice,
    x: float,
    y: float,
    z: float,
    radii: tuple[float, float, float],
) -> None:
    stone = FLAT if dice.chance(0.4) else BOULDER
    seed = dice.seed ^ dice.whole(0, 1 << 30)
    boulder(stage, (x, y, z), radii, seed, NUMBER["rock"], stone)


def beach_boat(stage: Stage, dice: Dice, groups: list[Group], width: float) -> None:
    """A rowing boat at the edge of the widest group."""
    group = max(groups, key=lambda one: one.half)
    side = dice.choice((-1.0, 1.0))
    x = group.x - width / 2 + side * (group.half + 14)
    frame = Frame(x, 0.0, 404.0, dice.between(0.04, 0.1) * side)
    BOATS["row"](stage, dice, frame, dice.between(40, 50), STUFF)
