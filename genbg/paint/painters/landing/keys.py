"""Keys and materials of the painter of landings."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp


@dataclass(frozen=True)
class Keys:
    """Keys of the landing painter."""

    cover: float = key(0.62, "float", "Share of the width that is quay.", low=0.2, high=0.9)
    lamps: int = key(2, "int", "Lanterns set down on the quay.", low=0, high=4)
    boats: int = key(3, "int", "Boats that are moored here.", low=0, high=6)
    stairs: float = key(0.8, "float", "Share of long quays with a stair.", low=0, high=1)
    posts: int = key(5, "int", "Groups of mooring posts.", low=0, high=10)
    goods: float = key(0.7, "float", "How much stands on the quay.", low=0, high=1)
    plants: float = key(0.5, "float", "How much grows at the edges.", low=0, high=1)


def _colours(digits: str) -> tuple[str, ...]:
    """Colours of words of three digits: levels of red, green and blue, 0..7."""
    levels = ("00", "24", "49", "6d", "92", "b6", "db", "ff")
    return tuple("#" + "".join(levels[int(digit)] for digit in word) for word in digits.split())


def _six(name: str, about: str, digits: str) -> Ramp:
    about = f"{about}: from gaps and feet to edges in the light."
    return Ramp(name, about, _colours(digits), 6, hazed=False, chosen=True)


RAMPS = (
    _six("stone", "Hewn stone", "001 012 113 124 235 346"),
    _six("wood", "Posts, planks, crates", "001 001 102 113 213 335"),
    _six("grass", "Moss and plants", "001 001 012 022 133 244"),
    _six("hull", "Painted hulls", "001 001 012 113 224 335"),
    _six("cloth", "Tarpaulins and sails", "001 012 113 123 234 345"),
    Ramp("warm", "Whatever stands in lamplight, from the rim of its pool in.",
         _colours("213 421 532 642 753"), 5, True, chosen=True),
    Ramp("glow", "Lanterns, from their rim in.", _colours("642 753 776"), 3, True, chosen=True),
    Ramp("water", "The water at the wall: its mirror, ripples, their light.",
         _colours("001 002 013 124"), 4, hazed=False, chosen=True),
    Ramp("warmth", "Lamplight on the water, from its edge in.",
         _colours("213 421 532 753 776"), 5, True, chosen=True),
)  # fmt: skip

NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
"""Numbers of materials, as a `TonalPicture` counts them."""
