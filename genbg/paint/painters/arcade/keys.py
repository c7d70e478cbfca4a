"""Keys and ramps of the arcade painter."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp, two_families


@dataclass(frozen=True)
class Keys:
    """Keys of the arcade painter."""

    height: float = key(
        0.7,
        "float",
        "Height of the deck.",
        low=0.2,
        high=1,
        unit="share of the lines over the foot",
    )
    foot: float = key(
        0.85, "float", "Row where the piers stand, a share of the lines.", low=0.3, high=1.2
    )
    span: int = key(72, "int", "From pier to pier.", low=24, high=256, unit="pixels")
    pier: float = key(0.28, "float", "Width of a pier, a share of that.", low=0.12, high=0.5)
    tiers: int = key(1, "int", "Rows of arches: 2 is an aqueduct.", low=1, high=2)
    ruin: float = key(0.0, "float", "How far it has fallen.", low=0, high=1)
    backlit: float = key(
        0.0, "float", "How much the body stands behind: dark faces, bright rims.", low=0, high=1
    )
    growth: float = key(0.3, "float", "Ivy that hangs over the edge.", low=0, high=1)
    lamps: float = key(0.3, "float", "Share of arches with a lantern.", low=0, high=1)
    tower: bool = key(False, "bool", "A gatehouse with a tower on the deck.")
    mirror: float = key(0.6, "float", "How far the water mirrors it.", low=0, high=1)


RAMPS = (
    two_families("stone", "Stone", "240049 49246d 6d496d b6926d dbb692 ffdbb6"),
    Ramp(
        "leaf", "Ivy, from its shade to its lit edge.",
        ("#002424", "#004949", "#006d49", "#249224", "#6db649", "#b6db49"), 6,
        hazed=False, chosen=True,
    ),
    two_families("roof", "Roofs", "240024 490024 6d2424 924924 db6d49 ff926d"),
    Ramp(
        "warm", "Stone in lamplight, from its rim inward.",
        ("#492449", "#924949", "#db924a", "#ffb66d"), 4, True, chosen=True,
    ),
    Ramp(
        "lamp", "Lanterns and lit windows: frame, glow, glass, flame.",
        ("#240024", "#db6d24", "#ffb649", "#ffffb6"), 4, True, chosen=True,
    ),
)  # fmt: skip
NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
