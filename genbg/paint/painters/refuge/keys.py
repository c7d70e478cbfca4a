"""What a preset says to the refuge painter."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key


@dataclass(frozen=True)
class Keys:
    """Keys of the refuge painter."""

    place: str = key(
        "any",
        "choice",
        "Where the house stands; any: as the seed says.",
        choices=("any", "crest", "wood", "hollow", "none"),
    )
    size: float = key(1.0, "float", "How large the house is.", low=0.6, high=1.8)
    homely: bool = key(
        False, "bool", "A thick edge of snow and icicles, logs, a path; firs stand close."
    )
    height: float = key(0.5, "float", "How high the shoulder rises.", low=0, high=1)
    level: float = key(
        0.4, "float", "How light level snow is.", low=0, high=1, unit="share of the ramp"
    )
    lamplight: float = key(1.0, "float", "How much lamplight the ground takes.", low=0, high=1)
    trees: float = key(0.6, "float", "How many firs.", low=0, high=1)
    tall: int = key(60, "int", "The tallest fir.", low=10, high=120, unit="pixels")
    snow: float = key(1.0, "float", "How laden firs and roofs are.", low=0, high=1)
