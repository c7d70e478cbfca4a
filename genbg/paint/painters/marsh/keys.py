"""Keys and ramps of the marsh painter."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp, two_families


@dataclass(frozen=True)
class Keys:
    """Keys of the marsh painter."""

    cover: float = key(
        0.5, "float", "How much reed stands.", low=0, high=1, unit="share of the width"
    )
    tall: int = key(40, "int", "The tallest reed.", low=6, high=120, unit="pixels")
    foot: float = key(
        0.7, "float", "Row where the nearest reeds stand, a share of the lines.", low=0.1, high=1.2
    )
    ranks: int = key(2, "int", "Ranks of reeds, one behind the other.", low=1, high=4)
    heads: float = key(0.35, "float", "How many reeds bear a dark head.", low=0, high=1)
    mirror: float = key(0.6, "float", "How far the water mirrors what stands in it.", low=0, high=1)
    hut: bool = key(False, "bool", "A hut on piles with its lamp and its punt.")
    place: float = key(
        -1.0,
        "float",
        "Where the hut stands, a share of the width; -1: beside the body, as the seed says.",
        low=-1,
        high=1,
    )


RAMPS = (
    Ramp(
        "reed",
        "Reeds, from the dark of their foot to the lit tip.",
        ("#000024", "#002449", "#244949", "#496d49", "#92924a", "#dbb66d"),
        6,
        hazed=False,
        chosen=True,
    ),
    Ramp(
        "head", "Heads of reeds: dark, middle, lit.", ("#490024", "#924924", "#db9249"), 3,
        hazed=False, chosen=True,
    ),
    two_families("wood", "Piles, planks and punt", "000024 240024 492449 6d4949 b66d49 ffb66d"),
    two_families("thatch", "Thatch", "240024 492449 6d4949 926d49 db926d ffdb92"),
    Ramp(
        "lamp", "Lit windows and the lamp: glow, glass, flame.", ("#db6d24", "#ffb649", "#ffffb6"),
        3, True, chosen=True,
    ),
)  # fmt: skip
NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
