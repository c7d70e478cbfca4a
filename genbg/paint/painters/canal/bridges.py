"""Bridges over a side canal: humped, of several arches, a gate house, a plank way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box, gable_roof
from genbg.paint.craft.solids.shapes import UP
from genbg.paint.painters.canal.keys import NUMBER

RIGHT = (1.0, 0.0, 0.0)
FLAT = 0.66
"""Height of an arch over its springing as a share of its half width."""
SPRING = 6.0
"""Height over the water at which arches spring from their jambs."""
RING = 3.2
"""Height of the ring of wedge stones round an arch."""
WEDGES = 13
"""Stones of a ring."""


@dataclass(frozen=True)
class Span:
    """A bridge from left to right at depth z, `deep` across; rise: of its hump over the bank."""

    left: float
    right: float
    z: float
    deep: float
    bank: float
    rise: float
    arches: tuple[tuple[float, float], ...]
    """(centre, half width) of each arch."""

    def deck(self, x: np.ndarray | float) -> np.ndarray | float:
        part = (x - self.left) / (self.right - self.left) * 2 - 1
        return self.bank + self.rise * (1 - part * part)


PARAPET = 4.0


def stone_bridge(stage: Stage, span: Span) -> None:
    """Both faces with their arches cut out, the vaults, the parapets' tops, pillars at the ends."""
    stage.thing()
    stone = NUMBER["stone"]
    high = span.bank + span.rise + PARAPET + 1

    def there(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        x = u + span.left
        solid = v < span.deck(x) + PARAPET
        for centre, half in span.arches:
            a, b = (x - centre) / half, np.maximum(v - SPRING, 0.0) / (half * FLAT)
            solid = solid & (a * a + b * b > 1)
        return solid

    wide = span.right - span.left
    for z in (span.z, span.z + span.deep):
        points = [
            (span.left, 0.0, z),
            (span.right, 0.0, z),
            (span.right, high, z),
            (span.left, high, z),
        ]
        stage.sheet(points, stone, Kind.STONE, points[0], RIGHT, UP, (wide, high + 9), there)
    for centre, half in span.arches:
        _vault(stage, span, centre, half)
        _ring(stage, span, centre, half)
    stage.thing()
    steps = 18
    for n in range(steps):
        a, b = (span.left + wide * k / steps for k in (n, n + 1))
        for z, deep in ((span.z - 0.6, 2.2), (span.z + span.deep - 1.4, 2.0)):
            low, top = float(span.deck(a)) + PARAPET, float(span.deck(b)) + PARAPET
            points = [(a, low, z), (b, top, z), (b, top, z + deep), (a, low, z + deep)]
            stage.sheet(points, stone, Kind.FLOOR)
    stage.thing()
    for x in (span.left - 1, span.right - 5):
        frame = Frame(x, 0, span.z - 2)
        box(stage, frame, 6, span.bank + 8, span.deep + 3, stone, Kind.STONE)
        box(stage, frame.moved(-0.7, span.bank + 8, -0.6), 7.4, 1.6, span.deep + 4, stone)


def _vault(stage: Stage, span: Span, centre: float, half: float) -> None:
    """The inner side of an arch."""
    x, y = _curve(centre, half, 0.0, 14)
    x, y = [x[0], *x, x[-1]], [-1.0, *y, -1.0]
    for a, b, c, d in zip(x[:-1], y[:-1], x[1:], y[1:], strict=True):
        near, far = span.z, span.z + span.deep
        points = [(a, b, near), (c, d, near), (c, d, far), (a, b, far)]
        stage.sheet(points, NUMBER["wood"], Kind.FLOOR)


def _curve(centre: float, half: float, out: float, parts: int) -> tuple[list[float], list[float]]:
    """x and y of the ends of an arch's parts, `out` units outside its edge."""
    turns = np.arange(parts + 1) / (2 * parts)
    x = centre - (half + out) * cosine(turns)
    return x.tolist(), (SPRING + (half * FLAT + out) * sine(turns)).tolist()


def _ring(stage: Stage, span: Span, centre: float, half: float) -> None:
    """Wedge stones round the edge of an arch, a joint between them, and feet at the water."""
    stage.thing()
    stone, z = NUMBER["stone"], span.z - 0.7
    inner, outer = (_curve(centre, half, out, WEDGES) for out in (-0.4, RING))
    for n in range(WEDGES):
        points = [
            (side[0][k], side[1][k], z) for side, k in
            ((inner, n), (inner, n + 1), (outer, n + 1), (outer, n))
        ]  # fmt: skip
        stage.sheet(points, stone, Kind.RING, size=(1.0, 1.0), casts=False)
    for edge, side in ((centre - half, -1.0), (centre + half, 1.0)):
        left = edge - RING if side < 0 else edge - 0.4
        box(stage, Frame(left, 0, z), RING + 0.4, SPRING, 0.7, stone, Kind.RING, casts=False)
        foot = Frame(left - 1.2, -1, z - 1.6)
        box(stage, foot, RING + 2.8, 3.2, 2.2, stone, Kind.RING, casts=False)


def plank_way(stage: Stage, dice: Dice, span: Span) -> None:
    """A low way of planks on posts, with a rail."""
    stage.thing()
    wood = NUMBER["wood"]
    wide, high = span.right - span.left, span.bank - 1.0
    box(stage, Frame(span.left, high, span.z), wide, 1.2, 8, wood, Kind.PLANK)
    count = max(3, int(wide / 14))
    for n in range(count + 1):
        x = span.left + wide * n / count
        for z in (span.z, span.z + 7):
            beam(stage, (x, -1, z), (x, high + 6.5, z), 1.3, wood)
    for y in (4.0, 6.5):
        beam(stage, (span.left, high + y, span.z), (span.right, high + y, span.z), 0.8, wood)


def gate_house(stage: Stage, dice: Dice, span: Span, walls: tuple[int, ...]) -> None:
    """A house over the water on one wide arch."""
    stage.thing()
    wide = span.right - span.left
    stone_bridge(
        stage, Span(span.left, span.right, span.z, span.deep, span.bank + 9, 0.0, span.arches)
    )
    frame = Frame(span.left + 2, span.bank + 11, span.z + 1)
    wall = dice.choice(walls)
    body = wide - 4, dice.between(17, 24), span.deep - 2
    gable_roof(stage, frame, body, dice.between(9, 13), wall, NUMBER["slate"], eaves=1.2)
    box(stage, frame.moved(wide * 0.4, body[1] + 5, 4), 4, 9, 4, NUMBER["rose"])
