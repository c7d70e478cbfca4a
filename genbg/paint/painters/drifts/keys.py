"""What a preset says to the drifts painter."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key


@dataclass(frozen=True)
class Keys:
    """Keys of the drifts painter."""

    form: str = key(
        "crests",
        "choice",
        "What the ground is shaped like: sharp crests, or round mounds with a brink.",
        choices=("crests", "mounds"),
    )
    height: float = key(0.6, "float", "How high drifts rise.", low=0, high=1)
    spacing: int = key(140, "int", "How far apart drifts lie.", low=40, high=256, unit="pixels")
    level: float = key(
        0.2, "float", "How light level ground is.", low=0, high=1, unit="share of the ramp"
    )
    edge: float = key(
        0.4, "float", "How ragged the upper edge is: 0 covers all lines.", low=0, high=1
    )
    way: float = key(0.5, "float", "How likely a trodden way is.", low=0, high=1)
    ripples: float = key(0.0, "float", "Ripples that wind left.", low=0, high=1)
    rocks: float = key(0.5, "float", "How many rocks.", low=0, high=1)
    stone: float = key(0.35, "float", "How big rocks are.", low=0, high=1)
    growth: str = key("firs", "choice", "What grows there.", choices=("firs", "scrub", "desert"))
    trees: float = key(0.4, "float", "How many firs or bushes.", low=0, high=1)
    grass: float = key(0.0, "float", "How much grass grows in tufts.", low=0, high=1)
    cap: bool = key(True, "bool", "Snow lies on rocks and firs.")
    gloom: float = key(
        0.0, "float", "How much lies in the shade of something unseen.", low=0, high=1
    )
    contrast: float = key(
        0.7, "float", "How much light and shade differ from form to form.", low=0, high=1
    )
    cool: float = key(0.0, "float", "How much darker it grows toward us.", low=0, high=1)
