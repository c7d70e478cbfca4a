"""Keys and materials of the painter of canals."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp
from genbg.paint.families.houses import HOUSES
from genbg.paint.families.towers import TOWERS

PLANS = ("any", "bridge", "arches", "basin", "gate", "narrow")


@dataclass(frozen=True)
class Keys:
    """Keys of the canal painter."""

    plan: str = key(
        "any", "choice", "What spans the water; any: drawn from the seed.", choices=PLANS
    )
    houses: str = key("canal", "choice", "How people build here.", choices=tuple(HOUSES))
    tower: str = key(
        "any", "choice", "The town's tower; any: drawn.", choices=("any", "none", *TOWERS)
    )
    lamps: float = key(0.6, "float", "How many lamps stand on the bank.", low=0, high=1)
    glow: float = key(0.16, "float", "Share of windows with a light in them.", low=0, high=1)
    boats: int = key(4, "int", "Boats at the bank.", low=0, high=8)
    trees: float = key(0.5, "float", "How many trees stand on the bank.", low=0, high=1)
    ropes: int = key(0, "int", "Ropes of paper lanterns along the bank.", low=0, high=8)
    horizon: int = key(84, "int", "Line of the eye's height.", low=40, high=160, unit="line")
    eye: float = key(40.0, "float", "How high we stand over the water.", low=10, high=120)
    mirror: int = key(46, "int", "Lines that the mirror is long; 0: none.", low=0, high=100)


def _colours(digits: str) -> tuple[str, ...]:
    """Colours of words of three digits: levels of red, green and blue, 0..7."""
    levels = ("00", "24", "49", "6d", "92", "b6", "db", "ff")
    return tuple("#" + "".join(levels[int(digit)] for digit in word) for word in digits.split())


def _six(name: str, about: str, digits: str) -> Ramp:
    about = f"{about}: three tones in shade, three in moonlight."
    return Ramp(name, about, _colours(digits), 6, hazed=False, chosen=True)


def _warm(name: str, about: str, digits: str) -> Ramp:
    return Ramp(name, f"{about} by lamplight, from the bounce in.", _colours(digits), 5, True,
                chosen=True)  # fmt: skip


RAMPS = (
    _six("blue", "Blue plaster", "001 012 113 124 235 346"),
    _six("rose", "Violet plaster", "001 102 113 224 335 446"),
    _six("jade", "Green plaster", "001 012 112 123 134 245"),
    _six("slate", "Slates", "001 012 113 124 235 346"),
    _six("tile", "Tiles", "001 102 112 213 324 435"),
    Ramp("haze", "What stands in the air: turned away, fronts, toward the moon, edges.",
         _colours("013 124 235 346"), 4, hazed=False, chosen=True),
    _six("stone", "Stone", "001 012 113 123 234 345"),
    _six("wood", "Timber and iron", "001 001 001 012 112 123"),
    _six("leaf", "Leaves", "001 001 012 022 133 133"),
    _six("cloth", "Tarpaulins and sails", "001 012 113 123 234 345"),
    _six("hull", "Hulls", "001 001 102 112 213 224"),
    _warm("gold", "Plaster", "213 422 532 642 753"),
    _warm("ember", "Brick, tiles and wood", "213 311 421 532 642"),
    _warm("amber", "Stone", "213 312 421 532 642"),
    Ramp("pane", "Windows in shade, in moonlight.", _colours("001 012 235"), 3, hazed=False,
         chosen=True),
    Ramp("glow", "Lit windows and lamps, from their rim in.", _colours("421 642 753 776"), 4, True,
         chosen=True),
    Ramp("mirror", "The mirror: three tones of what stands in shade, three of what is lit.",
         _colours("001 012 012 014 124 235"), 6, hazed=False, chosen=True),
    Ramp("warmth", "Lamplight on the water, from its edge in.",
         _colours("102 213 311 421 642 753 776"), 7, True, chosen=True),
    Ramp("thread", "Light where stone meets the water.", _colours("012 124"), 2, hazed=False,
         chosen=True),
)  # fmt: skip

NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
"""Numbers of materials, as a `TonalPicture` counts them."""

WARM = {
    "blue": "gold", "rose": "gold", "jade": "gold", "slate": "amber", "tile": "ember",
    "stone": "amber", "wood": "ember", "leaf": "ember", "cloth": "gold", "hull": "ember",
}  # fmt: skip
"""What each material takes by lamplight."""
