"""The stage of a near quay: a paved floor to its rim, a slip, bollards, goods."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.solids import (
    Frame,
    Kind,
    Oblique,
    Seen,
    Stage,
    beam,
    boulder,
    box,
    prism,
)
from genbg.paint.craft.solids.shapes import UP
from genbg.paint.families.boats import BOATS
from genbg.paint.painters.shore.build import STUFF
from genbg.paint.painters.shore.keys import NUMBER

FLOOR = 20.0
"""Height of the paving over the water."""
NEAREST = 232.0
"""Line at which the floor begins, below the screen's foot."""
SLIP = 211.0
"""Line to which the water of the slip comes in."""
COPING = 8.0
"""Units that edge stones are wide and deep."""
BATTER = 15.0
"""Units by which the foot of a slip's wall stands out."""
EDGE = NUMBER["stone"], Kind.RING, None, Kind.RING
"""What edge stones are: material and kind of their sides, of their tops."""
GOODS = 60.0
"""Least length of quay on which goods are set down."""


@dataclass(frozen=True)
class Slab:
    """A length of quay: left and right end, depths of its near and far rim, height of its floor.

    slip: the water comes in here, and the rim lies near us
    """

    left: float
    right: float
    near: float
    rim: float
    floor: float
    slip: bool = False


def place_slabs(dice: Dice, cover: float, width: float, eye: Oblique) -> list[Slab]:
    """Lengths of quay right round the plane, their rims at unlike depths; the first is the slip,
    as wide as `cover` leaves it."""
    count = dice.choice((3, 4))
    shares = [dice.between(0.6, 1.5) for _ in range(count)]
    near, inner = eye.depth_at(NEAREST, FLOOR), eye.depth_at(SLIP, FLOOR)
    x = dice.between(0, width) - width / 2
    after = x + width * (1 - cover)
    slabs = [Slab(x, after, near, inner, FLOOR, slip=True)] if cover < 1 else []
    far = dice.chance(0.5)
    for share in shares:
        long = width * cover * share / sum(shares)
        line = dice.between(184, 189) if far else dice.between(191, 197)
        slabs.append(Slab(after, after + long, near, eye.depth_at(line, FLOOR), FLOOR))
        after, far = after + long, not far
    return slabs


def build_quay(stage: Stage, dice: Dice, slabs: list[Slab], eye: Oblique, boat: bool) -> None:
    """Slabs with their coping, the walls of the slip, and what stands on them.

    boat: one lies in the slip
    """
    stone = NUMBER["stone"]
    for number, slab in enumerate(slabs):
        part = dice.part(number)
        stage.thing()
        if slab.slip:
            left = part.chance(0.5)
            _slip_wall(stage, slab, slabs[1] if left else slabs[-1], left)
            _stair(stage, slab, slabs[-1] if left else slabs[1], left)
            if boat:
                _moor(stage, part.part("boat"), slab, eye)
            continue
        long, deep = slab.right - slab.left, slab.rim - slab.near
        frame = Frame(slab.left - 1, -6, slab.near)
        box(stage, frame, long + 2, slab.floor + 6, deep, stone, Kind.STONE, stone, Kind.FLOOR)
        _cope(stage, part, slab)
        for _ in range(part.whole(1, 2)):
            x = part.between(slab.left + 14, slab.right - 14)
            _bollard(stage, x, slab.floor, slab.rim - part.between(10, 13))
        _rubble(stage, part, slab)
        if part.chance(0.6) and long > GOODS:
            x = part.between(slab.left + 14, slab.right - GOODS + 14)
            _goods(stage, part, x, slab.floor, slab.rim - part.between(16, 22))


def _slip_wall(stage: Stage, slip: Slab, beside: Slab, right: bool) -> None:
    """A side wall of the slip, which leans back as such walls do, and its edge stones."""
    x, out, rim = (slip.right, -BATTER, beside.rim) if right else (slip.left, BATTER, beside.rim)
    stage.thing()
    points = [
        (x, slip.floor, slip.near),
        (x, slip.floor, rim),
        (x + out, -6.0, rim),
        (x + out, -6.0, slip.near),
    ]
    size = rim - slip.near, slip.floor + 6
    stage.sheet(points, NUMBER["stone"], Kind.STONE, points[3], (0.0, 0.0, 1.0), UP, size)
    z = slip.near
    while z < rim - 2:
        left = x if right else x - COPING
        deep = min(COPING * 1.6, rim - z)
        frame = Frame(left, slip.floor, z)
        box(stage, frame, COPING, 1.4, deep - 0.8, *EDGE)
        z += deep


STEPS = 5
"""Steps of the stair into the slip."""
TREAD = 3.0
"""Depth of the worn edge of a step, in units."""


def _stair(stage: Stage, slip: Slab, beside: Slab, left: bool) -> None:
    """Steps down into the slip along its left or right side, a light edge on each."""
    wide, fall = (slip.right - slip.left) * 0.07, slip.floor / STEPS
    for n in range(STEPS):
        stage.thing()
        x = slip.left + n * wide if left else slip.right - (n + 1) * wide
        high = slip.floor - (n + 0.6) * fall
        frame = Frame(x, -6, slip.near)
        stone = NUMBER["stone"]
        deep = beside.rim - 6.0 - slip.near - n * 7
        box(stage, frame, wide - 1.2, high + 6, deep, stone, Kind.STONE, stone, Kind.FLOOR)
        edge = frame.moved(0, high + 6, deep - TREAD)
        box(stage, edge, wide - 1.2, 0.8, TREAD, *EDGE)


def _moor(stage: Stage, dice: Dice, slip: Slab, eye: Oblique) -> None:
    """A boat in the slip, tied up."""
    long = min(64.0, (slip.right - slip.left) * 0.42) * dice.between(0.85, 1.05)
    x = slip.left + (slip.right - slip.left) * dice.between(0.46, 0.56)
    frame = Frame(x, 0, eye.depth_at(dice.between(207, 213)), dice.between(-0.03, 0.03))
    BOATS[dice.choice(("barge", "row"))](stage, dice, frame, long, STUFF)
    y, z = slip.floor, slip.rim + 6.0
    bow = frame.at(long * 0.46, long * 0.13, 0)
    beam(stage, bow, (slip.right + 5, y, z + 24), 0.7, NUMBER["wood"], casts=False)


def _cope(stage: Stage, dice: Dice, slab: Slab) -> None:
    """Worn edge stones, each of its own height."""
    x = slab.left
    stage.thing()
    while x < slab.right - 2:
        long = min(dice.between(9, 17), slab.right - x)
        frame = Frame(x, slab.floor, slab.rim - COPING)
        box(stage, frame, long - 0.8, dice.between(0.6, 1.6), COPING, *EDGE)
        x += long


def slip_tones(seen: Seen, tone: np.ndarray) -> np.ndarray:
    """Tones with edge stones in the light tones, and the slip's walls flat, dark at
    the water."""
    cope = seen.has & (seen.kind == Kind.RING)
    tone = np.where(cope, np.clip(tone + 1, 4.0, 5.0), tone)
    wall = seen.has & (seen.kind == Kind.STONE) & (np.abs(seen.nx) > STEEP)
    dry = np.where(seen.v > TIDE, np.where(tone >= 3, 4.0, 3.0), np.where(tone >= 3, 2.0, 0.0))
    return np.where(wall, dry, tone)


STEEP = 0.8
"""Sideways share of a normal from which a wall is one of the slip's."""
TIDE = 9.0
"""Height on them up to which they are wet."""


def _bollard(stage: Stage, x: float, y: float, z: float) -> None:
    stage.thing()
    for low, high, foot, head in ((0, 5, 3.2, 2.4), (5, 7, 3.6, 3.8), (7, 8.6, 3.8, 2.6)):
        prism(stage, (x, y + low, z), (foot, head), float(high - low), 9, NUMBER["wood"])


def _rubble(stage: Stage, dice: Dice, slab: Slab) -> None:
    """Boulders at the rim's foot, where the wall has settled."""
    for at in (0.35, dice.between(0.3, 0.7)):
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


SETTS = ((13, 3), (12, 4), (11, 4), (10, 5), (9, 6), (8, 7), (7, 8), (6, 8))
"""Rows of paving from the far rim on: stones in `REPEAT` columns, and lines of a row."""
FAREST = 184
"""Line on which the rows begin."""
REPEAT = 128
"""Columns after which the paving repeats: its plain stretches then share their tiles."""
SHEEN = 3.2, 0.055
"""Tone of wet stone at the far rim, where we look along it, and what it loses a line nearer."""
UNEVEN = 1.5
"""Tones by which stones differ."""


def setts(lines: int, width: int, top: int, seed: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Hewn stones in rows that grow toward us: (number of the stone, joints, far edges), (N, W)."""
    number = np.zeros((lines, REPEAT), dtype=np.int64)
    joint, edge = np.zeros((lines, REPEAT), dtype=bool), np.zeros((lines, REPEAT), dtype=bool)
    column, first = np.arange(REPEAT), FAREST - top
    for row, (count, high) in enumerate(SETTS):
        ends = np.arange(count) + 0.5 * (row % 2) + 0.7 * (unit(seed, row, np.arange(count)) - 0.5)
        ends = np.sort(np.floor(ends * REPEAT / count)) % REPEAT
        ends = np.sort(ends).astype(np.int64)
        stone = np.searchsorted(ends, column, side="right") % count
        lie = slice(max(first, 0), min(first + high, lines))
        number[lie] = stone + row * REPEAT
        joint[lie] |= (stone != np.roll(stone, 1))[None, :]
        joint[max(min(first + high - 1, lines - 1), 0)] = True
        edge[max(min(first, lines - 1), 0)] = True
        first += high
    across = (1, -(-width // REPEAT))
    wide = [np.tile(part, across)[:, :width] for part in (number, joint, edge & ~joint)]
    return wide[0], wide[1], wide[2]


def paving(
    seen: Seen, tone: np.ndarray, near: np.ndarray, seed: int
) -> tuple[np.ndarray, np.ndarray]:
    """Tones with the wet stones of floors told, and pixels (N, W) bool of the joints.

    Wet stone mirrors the sky the more, the flatter we look along it, so the far rim is lightest.
    near: (1, W) 0..1, how close the body stands
    """
    lines, width = tone.shape
    floor = seen.has & (seen.kind == Kind.FLOOR)
    stone, joint, edge = setts(lines, width, seen.top, seed)
    chance = unit(seed + 1, stone)
    line = (np.arange(lines) + seen.top - FAREST)[:, None]
    wet = SHEEN[0] - SHEEN[1] * line + UNEVEN * (chance - 0.5) + 1.3 * near
    wet = np.where(edge & (chance > 0.35), wet + 1.0, wet)
    wet = np.where(joint, np.minimum(wet - 1.6, 1.0), wet)
    return np.where(floor, np.clip(np.floor(wet + 0.5), 0.0, 5.0), tone), joint & floor
