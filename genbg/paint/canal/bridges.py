"""Bridges over a side canal: humped, of several arches, a gate house, a plank way."""

from __future__ import annotations

import numpy as np

from genbg.paint.canal.keys import NUMBER
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine
from genbg.paint.craft.solids import Frame, Kind, Stage, beam, box, gable_roof
from genbg.paint.craft.solids.shapes import UP
from genbg.records import record

RIGHT = (1.0, 0.0, 0.0)
FLAT = 0.8
"""Height of an arch as a share of its half width."""


@record(frozen=True)
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
            a, b = (x - centre) / half, (v - 1.0) / (half * FLAT)
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
    turns = np.arange(15) / 28
    x = (centre - half * cosine(turns)).tolist()
    y = (1.0 + half * FLAT * sine(turns)).tolist()
    for a, b, c, d in zip(x[:-1], y[:-1], x[1:], y[1:], strict=True):
        near, far = span.z, span.z + span.deep
        points = [(a, b, near), (c, d, near), (c, d, far), (a, b, far)]
        stage.sheet(points, NUMBER["wood"], Kind.FLOOR)


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
        stage, Span(span.left, span.right, span.z, span.deep, span.bank + 6, 0.0, span.arches)
    )
    frame = Frame(span.left + 2, span.bank + 8, span.z + 1)
    wall = dice.choice(walls)
    body = wide - 4, dice.between(17, 24), span.deep - 2
    gable_roof(stage, frame, body, dice.between(9, 13), wall, NUMBER["slate"], eaves=1.2)
    box(stage, frame.moved(wide * 0.4, body[1] + 5, 4), 4, 9, 4, NUMBER["brick"])
