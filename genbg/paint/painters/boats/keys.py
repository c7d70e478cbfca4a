"""What a preset may say of boats under way, and the materials they are painted with."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp

KINDS = ("storm", "sail", "mast", "row", "barge")


@dataclass(frozen=True)
class Keys:
    """Keys of the boats painter."""

    kind: str = key("storm", "choice", "What boats they are.", choices=KINDS)
    count: int = key(1, "int", "How many.", low=1, high=5)
    size: int = key(34, "int", "Length of the nearest.", low=8, high=120, unit="pixels")
    foot: float = key(0.8, "float", "Row of its waterline, a share of the lines.", low=0.1, high=1)
    place: float = key(
        -1.0,
        "float",
        "Where it is, a share of the width; -1: beside the body's path.",
        low=-1,
        high=1,
    )
    pitch: float = key(
        0.0, "float", "How far a wave lifts its bow.", low=-0.1, high=0.1, unit="turns"
    )
    lamp: bool = key(True, "bool", "A lit lamp.")
    cut: float = key(
        0.0, "float", "How much of the belly and the seams of sails is told.", low=0, high=1
    )
    wake: float = key(0.6, "float", "Foam at the bow and behind.", low=0, high=1)


RAMPS = (
    Ramp(
        "hull",
        "Tarred wood: three tones in shade, three in light.",
        ("#000024", "#242449", "#242449", "#6d496d", "#b66d6d", "#ffb692"),
        6,
        hazed=False,
    ),
    Ramp(
        "sail",
        "Canvas: three tones in shade, three in light.",
        ("#242449", "#6d496d", "#6d496d", "#b66d6d", "#ffb692", "#ffdbb6"),
        6,
        hazed=False,
    ),
    Ramp(
        "lamp",
        "The lamp: its glow, its glass, its flame.",
        ("#ff9249", "#ffdb92", "#ffffdb"),
        3,
        True,
    ),
    Ramp("foam", "Foam, from thin to thick.", ("#496d92", "#92b6db", "#ffffff"), 3, hazed=False),
)
NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
