"""Houses of a canal town: fronts turned a little toward the moon, awnings, steps to the door."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import sine
from genbg.paint.craft.solids import Frame, Kind, Stage, box, gable_roof, hip_roof
from genbg.paint.families.houses import Size, bell_gable, chimney, dormers, stepped_gable
from genbg.paint.families.stuff import Stuff

SHAPES = ("plain", "stepped", "along", "bell", "hip", "along", "jetty", "along")
"""Forms of roofs, as often as they come."""
JUT = 1.8
"""Units by which the upper floors of a jettied house stand out."""


@dataclass(frozen=True)
class Plot:
    """Where a house stands: its left end, the depth of its nearest corner, the ground's height.

    turns: whole turns; above 0 it shows its left side to the eye too
    """

    x: float
    z: float
    y: float
    turns: float

    def frame(self, width: float) -> Frame:
        """The house's frame: whichever corner is nearest stands at the plot's depth."""
        back = max(0.0, -width * float(sine(self.turns)))
        return Frame(self.x, self.y, self.z + back, self.turns)


def street_house(
    stage: Stage, dice: Dice, plot: Plot, size: Size, shape: str, stuff: Stuff
) -> None:
    """A narrow town house under a roof of one of `SHAPES`."""
    stage.thing()
    wall, roof = dice.choice(stuff.walls), dice.choice(stuff.roofs)
    frame = plot.frame(size.width)
    rise = size.width * dice.between(0.45, 0.68)
    body = size.width, size.height, size.depth
    if shape == "hip":
        hip_roof(stage, frame, body, rise, wall, roof, 0.35)
    elif shape == "jetty":
        low = size.height * 0.42
        box(stage, frame, size.width, low, size.depth, stuff.stone, Kind.FRONT)
        top = frame.moved(-0.5, low, -JUT)
        upper = size.width + 1.0, size.height - low, size.depth + JUT
        gable_roof(stage, top, upper, rise, wall, roof, along=False, eaves=1.0)
    else:
        gable_roof(stage, frame, body, rise, wall, roof, along=shape == "along", eaves=1.0)
    if shape == "stepped":
        stepped_gable(stage, frame, size, rise, wall)
    if shape == "bell":
        bell_gable(stage, frame, size, rise, wall)
    if shape in ("along", "hip") and size.width > ROOMY:
        dormers(stage, dice, frame, size, rise, (wall, roof))
    chimney(stage, dice, frame, size, rise * 0.9, stuff.walls[-1], 3.2)


ROOMY = 20.0
"""Width of a house from which there are dormers in its roof."""


def awning(stage: Stage, dice: Dice, plot: Plot, width: float, stuff: Stuff) -> None:
    """A cloth stretched out over the door, on a bar, and a bench of goods under it."""
    stage.thing()
    frame = plot.frame(width)
    wide = min(width * 0.7, dice.between(9.0, 14.0))
    left = dice.between(0.1, 0.9) * (width - wide)
    quad = [
        frame.at(left, 9.6, 0.0),
        frame.at(left + wide, 9.6, 0.0),
        frame.at(left + wide, 6.6, -4.6),
        frame.at(left, 6.6, -4.6),
    ]
    stage.sheet(quad, stuff.cloth, Kind.CLOTH, quad[0], frame.axes()[0], size=(wide, 5.4))
    rim = [quad[3], quad[2], frame.at(left + wide, 5.5, -4.6), frame.at(left, 5.5, -4.6)]
    stage.sheet(rim, stuff.cloth, Kind.CLOTH, quad[3], frame.axes()[0], size=(wide, 1.1))
    if dice.chance(0.6):
        box(stage, frame.moved(left + 1.0, 0.0, -4.0), wide * 0.6, 3.0, 2.4, stuff.wood)


def doorsteps(stage: Stage, dice: Dice, plot: Plot, width: float, stuff: Stuff) -> None:
    """Three steps up along the front."""
    stage.thing()
    frame = plot.frame(width)
    x = dice.between(0.2, 0.6) * width
    for n in range(3):
        box(stage, frame.moved(x + n * 1.6, 0, -2.2), 1.7, 1.2 + n * 1.2, 2.2, stuff.stone)
