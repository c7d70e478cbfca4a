"""What a preset may say of a rocky coast, and the materials it is painted with."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp

KINDS = ("boulders", "headland", "ledge")


@dataclass(frozen=True)
class Keys:
    """Keys of the crags painter."""

    kind: str = key("boulders", "choice", "What stands in the water.", choices=KINDS)
    groups: int = key(2, "int", "Groups of boulders along the plane.", low=1, high=6)
    size: float = key(
        0.6, "float", "Height of the tallest, a share of the lines.", low=0.05, high=1
    )
    foot: float = key(
        0.75, "float", "Row of the waterline, a share of the lines.", low=0.2, high=1.2
    )
    place: float = key(
        -1.0,
        "float",
        "Where the headland stands, a share of the width; -1: the seed says.",
        low=-1,
        high=1,
    )
    turf: float = key(0.6, "float", "Grass on a headland.", low=0, high=1)
    backlit: float = key(
        0.0, "float", "How much the sun stands behind: dark faces, bright rims.", low=0, high=1
    )
    surf: float = key(0.7, "float", "Foam and spray.", low=0, high=1)


RAMPS = (
    Ramp(
        "warm",
        "Stone that the sun lights.",
        ("#000024", "#492449", "#b66d6d", "#ffb692", "#ffdbb6"),
        8,
        hazed=False,
    ),
    Ramp(
        "cold",
        "Stone that the sky lights.",
        ("#000024", "#242449", "#496d92", "#92b6db", "#dbdbff"),
        8,
        hazed=False,
    ),
    Ramp(
        "turf",
        "Grass on a headland, from its shade to its lit edge.",
        ("#244949", "#496d49", "#b6b66d"),
        3,
        hazed=False,
    ),
    Ramp("foam", "Foam, from thin to thick.", ("#496d92", "#92b6db", "#ffffff"), 5, hazed=False),
)
