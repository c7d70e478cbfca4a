"""What a preset says to the canyon painter."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key


@dataclass(frozen=True)
class Keys:
    """Keys of the canyon painter."""

    rank: str = key(
        "near",
        "choice",
        "far: mesas and dunes in dust; near: great masses, dunes, the shelter.",
        choices=("far", "near"),
    )
    plan: str = key(
        "any",
        "choice",
        "How the near masses stand; any: as the seed says.",
        choices=(
            "any",
            "butte",
            "gate",
            "arch",
            "spires",
            "table",
            "cleft",
            "balanced",
            "sand",
        ),
    )
    height: float = key(0.75, "float", "How high the rock rises.", low=0.1, high=1)
    dunes: float = key(0.6, "float", "How high and how many dunes are.", low=0, high=1)
    river: float = key(0.5, "float", "How likely a dry river is.", low=0, high=1)
    shelter: bool = key(True, "bool", "Somebody lives there: a dwelling with a lamp.")
    home: str = key(
        "any",
        "choice",
        "What they live in; any: as the seed says.",
        choices=("any", "domed", "tower", "tents", "caravan", "gate", "cliff"),
    )
    dust: float = key(0.5, "float", "How thick the air is.", low=0, high=1)
    horizon: int = key(100, "int", "The horizon.", low=0, high=223, unit="screen line")
