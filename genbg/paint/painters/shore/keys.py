"""Keys and materials of the painter of the near shore."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp, two_families

KINDS = ("rocks", "quay")


@dataclass(frozen=True)
class Keys:
    """Keys of the shore painter."""

    kind: str = key("rocks", "choice", "What we stand on.", choices=KINDS)
    cover: float = key(
        0.65,
        "float",
        "Share of the width that is land; the rest of a quay is a slip.",
        low=0.2,
        high=1,
    )
    rise: float = key(1.0, "float", "How high it rises.", low=0.3, high=2)
    grass: float = key(0.6, "float", "How much grows on it.", low=0, high=1)
    nets: int = key(1, "int", "Nets hung up to dry.", low=0, high=3)
    dim: float = key(0.0, "float", "How much less light falls far from the body.", low=0, high=1)
    lamps: int = key(1, "int", "The courier's lamps, set down.", low=0, high=3)
    boulders: int = key(0, "int", "Boulders that lie on the rocks and before them.", low=0, high=40)
    boat: bool = key(True, "bool", "A boat at the edge of the rocks.")


RAMPS = (
    two_families("rock", "Near rock", "002424 242449 49496d 924949 db6d49 ffb66d"),
    two_families("grass", "Grass and moss", "002424 002449 24496d 496d49 929249 dbdb6d"),
    two_families("wood", "Posts, planks, cords", "242449 242449 492449 924949 b66d49 ffb66d"),
    two_families("stone", "Hewn stone", "002449 242449 49496d 926d6d db926d ffdb92"),
    two_families("hull", "Painted hulls", "002449 242449 49496d 924949 db6d49 ffb692"),
    two_families("cloth", "Sails and tarpaulins", "242449 49496d 6d6d92 db926d ffb692 ffdbb6"),
    Ramp(
        "warm",
        "The ground by lamplight, from the rim of its pool in.",
        ("#6d4949", "#924949", "#b66d49", "#db9249", "#ffdb92"),
        5,
        True,
        chosen=True,
    ),
    Ramp(
        "glow",
        "Lamps, from the rim of their light in.",
        ("#db9249", "#ffdb92", "#ffffb6"),
        3,
        True,
        chosen=True,
    ),
    Ramp(
        "foam",
        "Water at the foot of rocks: in shade, in light.",
        ("#49496d", "#b69292"),
        2,
        hazed=False,
        chosen=True,
    ),
)

NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
