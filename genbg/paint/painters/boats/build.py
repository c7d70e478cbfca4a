"""The boat of a storm: a hull that climbs a wave, a reefed sail, the courier at the helm."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine
from genbg.paint.craft.solids import Frame, Kind, Stage, beam
from genbg.paint.craft.solids.view import Point
from genbg.paint.families.boats import Hull, hull
from genbg.paint.families.stuff import Stuff, stuff_of
from genbg.paint.painters.boats.keys import NUMBER

STUFF = stuff_of(NUMBER, "hull", "hull", cloth="sail")
MAST = 0.92
"""Height of the mast, as a share of the hull's length."""


@dataclass(frozen=True)
class Pitched(Frame):
    """A frame whose right side is lifted by `pitch` turns."""

    pitch: float = 0.0

    def at(self, right: float, up: float, back: float) -> Point:
        c, s = float(cosine(self.pitch)), float(sine(self.pitch))
        return Frame.at(self, right * c - up * s, right * s + up * c, back)


def lamp_place(frame: Frame, length: float) -> Point:
    """Where a boat hangs its lamp: at the stern, over the helm."""
    return frame.at(-0.44 * length, 0.42 * length, 0.0)


def reefed(stage: Stage, dice: Dice, frame: Frame, length: float, stuff: Stuff) -> None:
    """A boat under a reefed sail, bow to the frame's right, as a gale leaves it."""
    stage.thing()
    hull(stage, frame, length, Hull(0.25, 0.3, 0.9), stuff.wood, stuff.cloth, stuff.wood)
    foot, top = frame.at(0.1 * length, 0.08 * length, 0), frame.at(0.06 * length, MAST * length, 0)
    beam(stage, foot, top, 0.05 * length, stuff.wood, casts=False)
    low, high = 0.26, dice.between(0.62, 0.74)
    yard = [frame.at(share * length, high * length, -0.4) for share in (-0.3, 0.26)]
    boom = [frame.at(share * length, low * length, -0.4) for share in (0.2, -0.36)]
    belly = frame.at(-0.2 * length, 0.5 * (low + high) * length, -0.12 * length)
    stage.sheet([yard[0], yard[1], boom[0], belly], stuff.cloth, Kind.CLOTH, casts=False)
    stage.sheet([yard[0], belly, boom[0], boom[1]], stuff.cloth, Kind.CLOTH, casts=False)
    beam(stage, yard[0], yard[1], 0.035 * length, stuff.wood, casts=False)
    stay = frame.at(0.5 * length, 0.2 * length, 0)
    jib = frame.at(0.14 * length, 0.22 * length, 0.3)
    stage.sheet([top, stay, jib], stuff.cloth, Kind.CLOTH, casts=False)
    helm, head = (
        frame.at(-0.36 * length, 0.1 * length, 0),
        frame.at(-0.34 * length, 0.36 * length, 0),
    )
    beam(stage, helm, head, 0.1 * length, stuff.wood, casts=False)
    lamp_post(stage, frame, length, stuff)


def lamp_post(stage: Stage, frame: Frame, length: float, stuff: Stuff) -> None:
    """The post at the stern that the lamp hangs from."""
    post = frame.at(-0.46 * length, 0.16 * length, 0), frame.at(-0.45 * length, 0.46 * length, 0)
    beam(stage, *post, max(1.15, 0.03 * length), stuff.wood, casts=False)
