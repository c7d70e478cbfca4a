"""What layered rock is made of: beds of uneven hardness, and the faceted outline of a mass's foot.

Hard beds stand as cliffs, soft ones lie back as slopes, thin ones of both make ledges; no two
follow each other by rule. An outline is where a few upright planes of uneven width overlap, so that
a mass has few large faces and each of them one light.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import cosine, sine

CLIFF = 18.0, 44.0
"""Thickness in pixels of beds that stand as cliffs."""
LEDGE = 2.0, 5.5
"""Thickness of one of the thin beds that make ledges."""
SLOPE = 5.0, 11.0
"""Thickness of soft beds that lie back as slopes."""
LIES_BACK = 0.9
"""Pixels that a slope of soft rock lies back for one that it rises."""
OVERHANG = 1.6
"""Pixels by which soft beds between ledges are hollowed."""
MOST_BACK = 15.0
"""Pixels that a wall steps back in all, or thin towers would die."""
SIDES = 5, 7
"""Faces of an outline, fewest and most."""
UNEVEN = 0.3
"""Share of an even step by which a face may look another way."""


@dataclass(frozen=True, eq=False)
class Beds:
    """By height: off: pixels that the wall steps back; tint: -1..0.5, colour of the bed

    under: 1 just below a hard bed, where it is dark; edge: 1 on a hard bed's upper edge
    """

    off: np.ndarray
    tint: np.ndarray
    under: np.ndarray
    edge: np.ndarray


class _Pile:
    """Beds as they are laid on each other."""

    def __init__(self, count: int, scale: float):
        self.off, self.tint, self.under, self.edge = (np.zeros(count) for _ in range(4))
        self.scale, self.count, self.y, self.base = scale, count, 0, 0.0

    def lay(self, thick: float, tint: float, hollow: float = 0.0, back: float = 0.0) -> None:
        """A bed; hollow: pixels that it is set back, back: those that it lies back to its top."""
        last = min(self.count, self.y + max(1, round(thick * self.scale)))
        rise = np.arange(last - self.y) / max(1, last - self.y)
        self.off[self.y : last] = self.base + (hollow + back * rise) * self.scale
        self.tint[self.y : last] = tint
        if hollow:
            self.under[max(self.y, last - 1) : last] = 1.0
        self.base += back * self.scale
        self.y = last

    def step(self, back: float) -> None:
        """What lies above stands back by some pixels."""
        if back * self.scale > 0.7:
            self.edge[max(0, self.y - 2) : self.y] = 1.0
        self.base += back * self.scale


def draw_beds(dice: Dice, top: float, scale: float = 1.0) -> Beds:
    """Beds up to a height; scale: 1 near, less for what is far off."""
    pile = _Pile(int(top) + 40, scale)
    while pile.y < pile.count:
        _lay_cliff(dice, pile)
        if dice.chance(0.6):
            _lay_ledges(dice, pile)
        else:
            thick = dice.between(*SLOPE)
            pile.lay(thick, dice.between(-0.95, -0.5), 0.01, LIES_BACK * thick)
            pile.step(0.0)
    whole = pile.off[min(pile.count - 1, int(top))]
    most = min(1.0, MOST_BACK * scale / max(float(whole), 0.1))
    return Beds(pile.off * most, pile.tint, pile.under, pile.edge)


def _lay_cliff(dice: Dice, pile: _Pile) -> None:
    """A thick hard bed, at times parted by one thin line, that ends in a ledge."""
    thick, tint = dice.between(*CLIFF), dice.between(-0.1, 0.45)
    if dice.chance(0.45):
        share = dice.between(0.25, 0.75)
        pile.lay(share * thick, tint)
        pile.lay(1.0, tint - 0.5, 0.8)
        thick, tint = (1.0 - share) * thick, tint + dice.between(-0.25, 0.25)
    pile.lay(thick, tint)
    pile.step(dice.between(1.0, 3.5))


def _lay_ledges(dice: Dice, pile: _Pile) -> None:
    """A few thin beds, soft and hard in turn."""
    for _ in range(dice.whole(1, 3)):
        pile.lay(dice.between(1.2, 3.0), dice.between(-1.0, -0.55), OVERHANG)
        pile.lay(dice.between(*LEDGE), dice.between(0.0, 0.5))
        pile.step(dice.between(0.4, 1.6))


def draw_faces(dice: Dice, wide: float, deep: float, turn: float = 0.0) -> np.ndarray:
    """Upright planes (K, 3) that an outline lies within: normal's x and z, distance of each.

    wide, deep: half sizes of the ellipse that they touch; turn: whole turns
    """
    count, start = dice.whole(*SIDES), dice.unit()
    flat_x, flat_z = float(np.sqrt(wide)), float(np.sqrt(deep))  # long sides have more faces
    turn_c, turn_s = float(cosine(turn)), float(sine(turn))
    faces = []
    for number in range(count):
        way = start + (number + dice.between(-UNEVEN, UNEVEN)) / count
        c, s = float(cosine(way)) / flat_x, float(sine(way)) / flat_z
        long = float(np.sqrt(c * c + s * s))
        c, s = c / long, s / long
        reach = float(np.sqrt(wide * wide * c * c + deep * deep * s * s)) * dice.between(0.8, 1.0)
        faces.append((c * turn_c - s * turn_s, c * turn_s + s * turn_c, reach))
    return np.array(faces)
