"""What a preset says about bridge."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key

RAILS = ("coping", "balusters", "battlement")


@dataclass(frozen=True)
class Keys:
    """Keys of the bridge painter."""

    tiers: int = key(1, "int", "Rows of arches: 2 is an aqueduct.", low=1, high=2)
    height: float = key(0.9, "float", "Height of its deck, a share of the lines.", low=0.2, high=1)
    span: int = key(72, "int", "Width of a usual arch.", low=16, high=256, unit="pixels")
    pier: int = key(24, "int", "Width of a usual pier.", low=8, high=96, unit="pixels")
    deck: int = key(24, "int", "Stone above the arches.", low=8, high=96, unit="pixels")
    variety: float = key(0.6, "float", "How far arches differ in width.", low=0, high=1)
    pointed: bool = key(False, "bool", "Pointed arches in place of round ones.")
    wear: float = key(0.7, "float", "Share of blocks that are worn smooth.", low=0, high=1)
    rail: str = key("coping", "choice", "What stands along the deck's edge.", choices=RAILS)
    crowns: float = key(
        0.0, "float", "Share of piers that rise above the deck to a cap or a statue.", low=0, high=1
    )
    gate: float = key(
        0.0,
        "float",
        "Where a gatehouse stands; 0 nowhere.",
        low=0,
        high=1,
        unit="share of the plane's width",
    )
    broken: int = key(
        0, "int", "Width of a stretch that has fallen; 0 none.", low=0, high=256, unit="pixels"
    )
    broken_at: float = key(
        0.4, "float", "About where it has fallen.", low=0, high=1, unit="share of the plane's width"
    )
    gaps: int = key(
        0, "int", "Stretches more of which only the upper tier has fallen.", low=0, high=4
    )
    lamps: float = key(0.3, "float", "Share of piers with a lamp.", low=0, high=1)
    hung: float = key(
        0.0, "float", "Share of arches with a lantern that hangs from their crown.", low=0, high=1
    )
    halo: int = key(0, "int", "Reach of the lamps' glow; 0 none.", low=0, high=48, unit="pixels")
    growth: float = key(0.3, "float", "Ivy over the edge.", low=0, high=1)
    water: bool = key(False, "bool", "Piers stand in water, which wets and darkens them.")
    shine: int = key(
        0, "int", "Lines at the foot that show its reflection.", low=0, high=64, unit="lines"
    )
