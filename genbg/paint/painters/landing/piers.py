"""Piers of a landing: walls that face us, stairs down to the water, worn edge stones."""

from __future__ import annotations

import math
from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Plane, Stage, beam, box
from genbg.paint.craft.solids.shapes import UP
from genbg.paint.craft.solids.view import Point, dot
from genbg.paint.painters.landing.keys import NUMBER

Spot = tuple[float, float]
"""A place on the ground: x, z."""
EDGE_STONE = 6.5
"""Units that edge stones are deep."""
STEPS = 5
"""Steps of a stair."""
TREAD = 6.0
"""Depth of a step, in units."""
SUNK = -8.0
"""Height of the foot of what stands in the water."""


@dataclass(frozen=True)
class Pier:
    """A length of quay: four corners (far left, far right, near right, near left) and its height.

    The far edge is the longer, so that both ends are seen.
    """

    corners: tuple[Spot, Spot, Spot, Spot]
    floor: float

    def near(self, share: float) -> Spot:
        """The place at a share of the near edge, from its left end."""
        return _between(self.corners[3], self.corners[2], share)

    def far(self, share: float) -> Spot:
        """The place at a share of the far edge, from its left end."""
        return _between(self.corners[0], self.corners[1], share)

    @property
    def long(self) -> float:
        """Length of the near edge, in units."""
        return self.corners[2][0] - self.corners[3][0]


def _between(one: Spot, two: Spot, share: float) -> Spot:
    return one[0] + (two[0] - one[0]) * share, one[1] + (two[1] - one[1]) * share


def block(
    stage: Stage,
    corners: tuple[Spot, ...],
    low: float,
    high: float,
    kind: Kind,
    top: Kind,
    casts: bool = True,
) -> None:
    """A body of stone with upright sides over a convex plan whose corners run with the clock as
    seen from above with +z up (far left, far right, near right, near left)."""
    stone = NUMBER["stone"]
    planes = []
    for (ax, az), (bx, bz) in zip(corners, [*corners[1:], corners[0]], strict=True):
        long = math.sqrt((bx - ax) * (bx - ax) + (bz - az) * (bz - az))
        along = (bx - ax) / long, 0.0, (bz - az) / long
        out: Point = (-along[2], 0.0, along[0])
        start = ax, low, az
        planes.append(Plane(out, dot(out, start), stone, kind, start, along, UP, long, high - low))
    planes.append(Plane(UP, high, stone, top, (0.0, high, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    places = [(x, y, z) for x, z in corners for y in (low, high)]
    stage.solid(planes, places, casts)


def build_pier(stage: Stage, dice: Dice, pier: Pier) -> None:
    """The body of a pier and the edge stones along what is seen of its rim."""
    stage.thing()
    block(stage, pier.corners, SUNK, pier.floor, Kind.STONE, Kind.FLOOR)
    far_left, far_right, near_right, near_left = pier.corners
    for number, (one, two) in enumerate(
        ((near_left, near_right), (far_left, near_left), (near_right, far_right))
    ):
        _edge_stones(stage, dice.part(number), one, two, pier.floor)


def _edge_stones(stage: Stage, dice: Dice, one: Spot, two: Spot, floor: float) -> None:
    """Stones along an edge from its left end, each worn to a height of its own; some are gone."""
    dx, dz = two[0] - one[0], two[1] - one[1]
    whole = math.sqrt(dx * dx + dz * dz)
    in_x, in_z = -dz / whole * EDGE_STONE, dx / whole * EDGE_STONE
    at = 0.0
    stage.thing()
    while at < whole - 2:
        long = min(dice.between(9, 17), whole - at)
        out = dice.between(-1.2, 0.6)
        a, b = at / whole, (at + long - 0.9) / whole
        left, right = _between(one, two, a), _between(one, two, b)
        corners = (
            (left[0] + in_x, left[1] + in_z),
            (right[0] + in_x, right[1] + in_z),
            (right[0] - in_x * out / 6, right[1] - in_z * out / 6),
            (left[0] - in_x * out / 6, left[1] - in_z * out / 6),
        )
        if not dice.chance(0.08):
            high = floor + dice.between(0.2, 1.0)
            block(stage, corners, floor - 2.4, high, Kind.PLAIN, Kind.RING)
        at += long


def build_stair(stage: Stage, dice: Dice, pier: Pier, share: float, wide: float) -> None:
    """A stair from the pier's near edge down to the water, toward us, with a low wall at a side."""
    x, z = pier.near(share)
    drop = (pier.floor + 1.0) / STEPS
    for n in range(STEPS):
        stage.thing()
        top = pier.floor - (n + 0.6) * drop
        near, far = z - TREAD * (n + 1), z + 8.0
        worn = dice.between(-1.5, 1.5)
        left, right = x - wide / 2 + worn, x + wide / 2 + dice.between(-1.5, 1.5)
        block(
            stage, ((left, far), (right, far), (right, near), (left, near)),
            SUNK, top, Kind.PLAIN, Kind.FLOOR,
        )  # fmt: skip
        rim = near + 2.2
        block(
            stage, ((left, rim), (right, rim), (right, near - 0.3), (left, near - 0.3)),
            top - 0.8, top + 0.5, Kind.PLAIN, Kind.RING, casts=False,
        )  # fmt: skip
    side = x + (wide / 2 + 3) * dice.choice((-1.0, 1.0))
    stage.thing()
    block(
        stage, ((side - 3, z + 6), (side + 3, z + 6), (side + 3, z - 20), (side - 3, z - 20)),
        SUNK, pier.floor - 4, Kind.STONE, Kind.RING,
    )  # fmt: skip


def build_jetty(stage: Stage, dice: Dice, pier: Pier) -> None:
    """A jetty in a pier's place: a deck of planks on piles, two of which stand up as posts."""
    wood, high = NUMBER["wood"], pier.floor
    far, near = pier.far(0.0)[1], pier.near(0.0)[1] + 2.0
    left, right = pier.near(0.0)[0] - 6.0, pier.near(1.0)[0] + 6.0
    stage.thing()
    frame = Frame(left, high - 2.0, near)
    box(stage, frame, right - left, 2.0, far - near, wood, Kind.PLANK, wood, Kind.PLANK)
    box(stage, frame.moved(0, 1.4, -0.6), right - left, 1.2, 1.6, wood, Kind.PLAIN, wood, Kind.RING)
    count = max(2, int((right - left) / 17))
    for n in range(count + 1):
        stage.thing()
        x = left + 2 + (right - left - 4) * n / count
        head = high + (dice.between(6, 12) if dice.chance(0.35) else -1.0)
        beam(
            stage, (x, SUNK, near - 1.4), (x + dice.between(-0.6, 0.6), head, near - 1.4), 2.4, wood
        )
        beam(stage, (x, SUNK, far - 3), (x, high - 1.0, far - 3), 2.0, wood)
