"""Houses by region. Frames stand at the front left foot; each house tells how wide it came out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Kind, Stage, box, gable_roof, hip_roof, prism, pyramid
from genbg.paint.craft.solids.shapes import UP, slab, walls
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.stuff import Stuff


@dataclass(frozen=True)
class Size:
    """Width, height of the walls and depth of a house, in units."""

    width: float
    height: float
    depth: float


Builder = Callable[[Stage, Dice, Frame, Size, Stuff], None]


def chimney(
    stage: Stage, dice: Dice, frame: Frame, size: Size, rise: float, material: int, wide: float
) -> None:
    """A stack through the roof."""
    across, back = size.width * dice.between(0.2, 0.8), size.depth * dice.between(0.35, 0.6)
    foot = frame.moved(across, size.height, back)
    box(stage, foot, wide, rise + 3.0, wide, material)
    box(stage, foot.moved(-0.4, rise + 3.0, -0.4), wide + 0.8, 0.9, wide + 0.8, material)


def plain_house(stage: Stage, dice: Dice, frame: Frame, size: Size, stuff: Stuff) -> None:
    """A plastered house under a low tiled saddle roof, now and then a hip or a lean-to."""
    stage.thing()
    wall, roof = dice.choice(stuff.walls), dice.choice(stuff.roofs)
    rise = dice.between(5.0, 8.5)
    body = size.width, size.height, size.depth
    if dice.chance(0.2):
        hip_roof(stage, frame, body, rise, wall, roof, dice.between(0.15, 0.5))
    else:
        gable_roof(stage, frame, body, rise, wall, roof, along=dice.chance(0.6))
    if dice.chance(0.7):
        chimney(stage, dice, frame, size, rise, wall, 2.4)
    if dice.chance(0.3):
        lean_to(stage, frame, size, wall, roof)


def lean_to(stage: Stage, frame: Frame, size: Size, wall: int, roof: int) -> None:
    """A low wing at the right with a roof of one slope."""
    wide, high = size.width * 0.45, size.height * 0.55
    foot = frame.moved(size.width, 0, size.depth * 0.15)
    box(stage, foot, wide, high, size.depth * 0.7, wall, Kind.FRONT)
    quad = [
        foot.at(wide + 1, high - 0.4, -1),
        foot.at(wide + 1, high - 0.4, size.depth * 0.7 + 1),
        foot.at(0, high + 4, size.depth * 0.7 + 1),
        foot.at(0, high + 4, -1),
    ]
    slab(stage, quad, roof, Kind.ROOF)


def timber_house(stage: Stage, dice: Dice, frame: Frame, size: Size, stuff: Stuff) -> None:
    """A stone floor, an upper floor of planks that juts out, and a steep roof."""
    stage.thing()
    wall, roof = dice.choice(stuff.walls), dice.choice(stuff.roofs)
    low = size.height * 0.42
    box(stage, frame, size.width, low, size.depth, stuff.stone, Kind.FRONT)
    jut = 1.6
    top = frame.moved(-jut, low, -jut)
    body = size.width + 2 * jut, size.height - low, size.depth + 2 * jut
    rise = size.width * dice.between(0.55, 0.75)
    gable_roof(stage, top, body, rise, wall, roof, along=dice.chance(0.3), eaves=1.6)
    for at in (0.2, 0.5, 0.8):
        box(stage, frame.moved(size.width * at - 0.5, low - 1.6, -jut), 1.0, 1.6, jut, stuff.wood)
    chimney(stage, dice, top, Size(*body), rise * 0.8, stuff.stone, 3.0)


def dome_house(stage: Stage, dice: Dice, frame: Frame, size: Size, stuff: Stuff) -> None:
    """Cubes with parapets, one of them under a dome, and an outer stair."""
    stage.thing()
    wall = dice.choice(stuff.walls)
    box(stage, frame, size.width, size.height, size.depth, wall, Kind.FRONT)
    rim = frame.moved(-0.4, size.height, -0.4)
    box(stage, rim, size.width + 0.8, 1.1, size.depth + 0.8, wall)
    if dice.chance(0.55):
        centre = frame.at(size.width * 0.5, size.height + 1.1, size.depth * 0.5)
        radius = min(size.width, size.depth) * 0.4
        dome(stage, centre, radius, dice.choice(stuff.roofs))
    else:
        wide = size.width * 0.55
        box(
            stage,
            frame.moved(size.width * 0.4, size.height + 1, 1.5),
            wide,
            6.5,
            8,
            wall,
            Kind.FRONT,
        )
    steps = int(size.height / 2)
    for n in range(steps):
        box(stage, frame.moved(size.width + n * 1.3, 0, 1), 1.4, size.height - n * 2, 3.4, wall)


def dome(stage: Stage, centre: Point, radius: float, material: int) -> None:
    """Half a ball of rings of flat faces, with a knob."""
    x, y, z = centre
    rings = ((1.0, 0.92, 0.42), (0.92, 0.66, 0.38), (0.66, 0.2, 0.24))
    for low, high, rise in rings:
        prism(stage, (x, y, z), (radius * low, radius * high), radius * rise, 12, material)
        y += radius * rise
    pyramid(stage, (x, y, z), 0.8, 3.4, 6, material)


def long_house(stage: Stage, dice: Dice, frame: Frame, size: Size, stuff: Stuff) -> None:
    """A low house of field stone under slates, a chimney at either end."""
    stage.thing()
    roof = stuff.roofs[-1]
    long = Size(size.width * 1.3, min(size.height, 9.0), size.depth)
    body = long.width, long.height, long.depth
    gable_roof(stage, frame, body, 6.5, stuff.stone, roof, eaves=0.6)
    for at in (0.6, long.width - 3.0):
        foot = frame.moved(at, long.height, long.depth / 2 - 1.2)
        box(stage, foot, 2.6, 9.0, 2.6, stuff.stone)


def tall_house(stage: Stage, dice: Dice, frame: Frame, size: Size, stuff: Stuff) -> None:
    """A narrow town house with a shaped gable to the street: plain, stepped, bell or hipped."""
    stage.thing()
    wall, roof = dice.choice(stuff.walls), dice.choice(stuff.roofs)
    rise = size.width * dice.between(0.45, 0.7)
    shape = dice.choice(("plain", "stepped", "bell", "along", "hip"))
    body = size.width, size.height, size.depth
    if shape == "hip":
        hip_roof(stage, frame, body, rise, wall, roof, 0.35)
    else:
        gable_roof(stage, frame, body, rise, wall, roof, along=shape == "along", eaves=0.8)
    if shape == "stepped":
        stepped_gable(stage, frame, size, rise, wall)
    if shape == "bell":
        bell_gable(stage, frame, size, rise, wall)
    if shape in ("along", "hip"):
        dormers(stage, dice, frame, size, rise, (wall, roof))
    chimney(stage, dice, frame, size, rise * 0.9, stuff.walls[-1], 3.2)
    box(stage, frame.moved(-0.5, size.height - 1.0, -0.9), size.width + 1, 1.2, 1.2, stuff.stone)


def stepped_gable(stage: Stage, frame: Frame, size: Size, rise: float, wall: int) -> None:
    """Steps up to the ridge, a step above the roof."""
    steps = max(3, int(size.width / 5))
    for n in range(steps):
        inset = size.width / 2 * n / steps
        foot = frame.moved(inset, size.height + (rise + 2) * n / steps, -0.7)
        box(stage, foot, size.width - 2 * inset, (rise + 2) / steps + 1.5, 1.6, wall)


def bell_gable(stage: Stage, frame: Frame, size: Size, rise: float, wall: int) -> None:
    """A gable with shoulders and a round head."""
    right, _ = frame.axes()
    high = rise + 4.0

    def there(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        off = np.abs(2 * u / size.width - 1)
        head = np.sqrt(np.maximum(0.0, 1 - (off / 0.42) * (off / 0.42)))
        shoulder = np.maximum(0.0, 1 - off) * (1 - off) * rise * 0.8 + 1.5
        return v < np.maximum(shoulder, np.where(off < 0.42, rise * 0.55 + head * rise * 0.45, 0))

    corners = [frame.at(a, size.height + y, -0.7) for a, y in
               ((0, 0), (size.width, 0), (size.width, high), (0, high))]  # fmt: skip
    stage.sheet(corners, wall, Kind.PLAIN, corners[0], right, UP, (size.width, high), there)


def dormers(
    stage: Stage, dice: Dice, frame: Frame, size: Size, rise: float, stuff: tuple[int, int]
) -> None:
    """Small gabled windows in a roof whose eaves run along the street."""
    count = 1 if size.width < 26 else 2
    for n in range(count):
        at = size.width * (n + 0.5 + dice.between(-0.12, 0.12)) / count
        foot = frame.moved(at - 2.4, size.height + rise * 0.15, size.depth * 0.06)
        planes = walls(foot, 4.8, 4.6, 6.0, stuff[0])
        del planes
        gable_roof(stage, foot, (4.8, 4.6, size.depth * 0.3), 2.6, *stuff, along=False, eaves=0.7)


HOUSES: dict[str, Builder] = {
    "harbour": plain_house,
    "timber": timber_house,
    "dome": dome_house,
    "slate": long_house,
    "canal": tall_house,
}
"""Houses by region."""
