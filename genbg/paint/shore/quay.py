"""The stage of a near quay: a paved floor to its rim, slips with steps, bollards, goods, a boat."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.solids import Frame, Kind, Oblique, Seen, Stage, boulder, box, prism
from genbg.paint.craft.solids.rocks import cells
from genbg.paint.families.boats import BOATS
from genbg.paint.families.stuff import Stuff
from genbg.paint.shore.keys import NUMBER
from genbg.records import record

FLOOR = 20.0
"""Height of the paving over the water."""
NEAREST = 232.0
"""Line at which the floor begins, below the screen's foot."""


@record(frozen=True)
class Slab:
    """A length of quay: left and right end, depths of its near and far rim, height of its floor."""

    left: float
    right: float
    near: float
    rim: float
    floor: float


def place_slabs(dice: Dice, cover: float, width: float, eye: Oblique) -> list[Slab]:
    """Lengths of quay round the plane, their rims at unlike depths, with slips of water between."""
    count = dice.choice((2, 3))
    shares = [dice.between(0.7, 1.4) for _ in range(count)]
    gaps = [dice.between(0.6, 1.4) for _ in range(count)]
    x, slabs = dice.between(0, width) - width / 2, []
    for share, gap in zip(shares, gaps, strict=True):
        long = width * cover * share / sum(shares)
        turn = x + long * dice.between(0.3, 0.7)
        rims = dice.shuffled((dice.between(184, 190), dice.between(192, 199)))
        floor = FLOOR + dice.choice((0.0, 0.0, -3.0))
        near, *deep = (eye.depth_at(line, floor) for line in (NEAREST, *rims))
        slabs += [Slab(x, turn, near, deep[0], floor), Slab(turn, x + long, near, deep[1], floor)]
        x += long + width * (1 - cover) * gap / sum(gaps)
    return slabs


def build_quay(stage: Stage, dice: Dice, slabs: list[Slab], stuff: Stuff) -> None:
    """Slabs with their coping, steps down into the slips, and what stands on them."""
    stone = NUMBER["stone"]
    for number, slab in enumerate(slabs):
        part = dice.part(number)
        stage.thing()
        long, deep = slab.right - slab.left, slab.rim - slab.near
        frame = Frame(slab.left - 2, -6, slab.near, part.between(-0.008, 0.008))
        box(stage, frame, long + 4, slab.floor + 6, deep, stone, Kind.STONE, stone, Kind.FLOOR)
        _cope(stage, part, slab)
        if number % 2 == 1:
            _steps(stage, slab)
        for _ in range(part.whole(1, 2)):
            x = part.between(slab.left + 8, slab.right - 8)
            _bollard(stage, x, slab.floor, slab.rim - part.between(5, 8))
        _rubble(stage, part, slab)
        if part.chance(0.75):
            x = part.between(slab.left + 10, max(slab.left + 11, slab.right - 26))
            _goods(stage, part, x, slab.floor, slab.rim - part.between(9, 16))


def _cope(stage: Stage, dice: Dice, slab: Slab) -> None:
    """Worn edge stones, each of its own height."""
    x = slab.left
    stage.thing()
    while x < slab.right - 2:
        long = min(dice.between(9, 17), slab.right - x)
        frame = Frame(x, slab.floor, slab.rim - 3.5)
        box(stage, frame, long - 0.5, dice.between(0.2, 1.6), 3.5, NUMBER["stone"], Kind.PLAIN)
        x += long


def _steps(stage: Stage, slab: Slab) -> None:
    """A flight from the slab's right end down to the water."""
    stage.thing()
    for n in range(6):
        frame = Frame(slab.right + n * 5.0, -6, slab.rim - 26)
        high = slab.floor + 6 - (n + 1) * 3.3
        box(stage, frame, 5.2, high, 18, NUMBER["stone"], Kind.PLAIN)


def _bollard(stage: Stage, x: float, y: float, z: float) -> None:
    stage.thing()
    for low, high, foot, head in ((0, 5, 3.2, 2.4), (5, 7, 3.6, 3.8), (7, 8.6, 3.8, 2.6)):
        prism(stage, (x, y + low, z), (foot, head), float(high - low), 9, NUMBER["wood"])


def _rubble(stage: Stage, dice: Dice, slab: Slab) -> None:
    """Boulders at the rim's foot and at its ends, where walls have settled."""
    for at in (0.0, 0.0, 0.45, 1.0, 1.0, dice.unit()):
        size = dice.between(4, 10)
        x = slab.left + (slab.right - slab.left) * at + dice.between(-9, 9)
        place = x, slab.floor * dice.between(0.2, 0.75), slab.rim + dice.between(-2, 5)
        seed = dice.seed ^ dice.whole(0, 1 << 30)
        boulder(stage, place, (size * 1.3, size, size), seed, NUMBER["rock"])


def _goods(stage: Stage, dice: Dice, x: float, y: float, z: float) -> None:
    """A few crates and barrels, not two of a size."""
    for n in range(dice.whole(2, 4)):
        stage.thing()
        size = dice.between(9, 15)
        if dice.chance(0.5):
            frame = Frame(x, y, z + dice.between(-3, 3), dice.between(-0.08, 0.12))
            box(stage, frame, size, size * 0.8, size, NUMBER["wood"], Kind.PLANK)
        else:
            centre = x + size / 2, y, z + size / 2
            prism(stage, centre, (size * 0.36, size * 0.42), size * 0.5, 10, NUMBER["wood"])
            top = centre[0], y + size * 0.5, centre[2]
            prism(stage, top, (size * 0.42, size * 0.36), size * 0.5, 10, NUMBER["wood"])
        x += size * dice.between(0.8, 1.1)
        z -= n * 1.5


def moor_boat(stage: Stage, dice: Dice, slabs: list[Slab], stuff: Stuff) -> None:
    """A boat in a slip."""
    slab = slabs[1]
    after = slabs[2 % len(slabs)]
    gap = max(after.left - slab.right, 30.0)
    frame = Frame(slab.right + gap * 0.6, 0, 408, dice.between(-0.03, 0.03))
    BOATS[dice.choice(("barge", "row", "mast"))](stage, dice, frame, dice.between(52, 66), stuff)


FLAGS = 16, 6
"""Columns and lines of a flagstone."""
REPEAT = 128
"""Columns after which the paving repeats: its plain stretches then share their patterns."""


def paving(seen: Seen, tone: np.ndarray, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Tones with the flagstones of floors told, and pixels (N, W) bool of the joints.

    Stones are cells of a jittered diagram, each with a shade of its own, a dark joint before it
    and, by chance, a light far edge.
    """
    floor = seen.has & (seen.kind == Kind.FLOOR)
    stone = cells(seen, floor, seed, FLAGS, period=REPEAT)
    chance = unit(seed, stone)
    low = np.where(tone >= 3, 3.0, 0.0)
    worn = np.floor(chance * 3) - 1
    tone = np.where(floor & (chance < 0.8), np.clip(tone + worn, low, low + 2), tone)
    below = shifted(stone, 0, 1) != stone
    joint = floor & (below | (shifted(stone, 1, 0) != stone))
    edge = floor & ~joint & (shifted(stone, 0, -1) != stone) & (chance > 0.45)
    tone = np.where(edge, np.minimum(tone + 1, 5.0), tone)
    return np.where(joint, np.maximum(tone - 2, 0.0), tone), joint
