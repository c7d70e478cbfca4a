"""What a preset says about terraces."""

from __future__ import annotations

from genbg.keys import key
from genbg.paint.parts.crops import CROPS
from genbg.records import record


@record(frozen=True)
class TerraceKeys:
    """Keys of the terraces painter."""

    height: float = key(
        0.9, "float", "How high the highest hill is, a share of the lines.", low=0.1, high=1
    )
    hills: int = key(3, "int", "Hills across the plane.", low=1, high=12)
    step: int = key(
        16, "int", "Height of a usual field with its wall.", low=8, high=64, unit="lines"
    )
    crop: str = key("mixed", "choice", "What grows on the fields.", choices=tuple(CROPS))
    wall: float = key(0.35, "float", "Height of the walls, a share of the step.", low=0.1, high=0.7)
    mist: float = key(
        0.0, "float", "How far mist rises from the foot, a share of the lines.", low=0, high=1
    )
    mounds: int = key(
        0, "int", "Round hills, cut all around, that stand before the slope.", low=0, high=12
    )
    slope: float = key(
        1.0, "float", "Height of the slope behind the mounds, a share of theirs.", low=0.1, high=1
    )
    house: bool = key(False, "bool", "A house with a light on the tallest mound.")
    trees: float = key(0.3, "float", "How many trees stand on the lips.", low=0, high=1)
    lamps: float = key(0.0, "float", "How many lamps stand on the lips.", low=0, high=1)
