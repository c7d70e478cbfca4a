"""What a preset may say of isles that float, and the materials they are painted with."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp
from genbg.paint.families.houses import HOUSES
from genbg.paint.families.towers import TOWERS

KINDS = ("near", "far", "edge")


@dataclass(frozen=True)
class Keys:
    """Keys of the isles painter."""

    kind: str = key(
        "near",
        "choice",
        "With houses, a bridge and trees; bare and pale; or the near edge.",
        choices=KINDS,
    )
    count: int = key(2, "int", "How many.", low=1, high=6)
    size: float = key(
        74.0, "float", "Half the width of the largest.", low=8, high=200, unit="pixels"
    )
    deck: float = key(0.5, "float", "Row of its upper side, a share of the lines.", low=0, high=1)
    trees: float = key(0.6, "float", "Trees on them.", low=0, high=1)
    houses: str = key("harbour", "choice", "How people build here.", choices=tuple(HOUSES))
    tower: str = key("watch", "choice", "The tower on the largest.", choices=("none", *TOWERS))
    fall: bool = key(True, "bool", "Water that falls over the edge.")


def _six(name: str, about: str, anchors: str, lit: bool = False) -> Ramp:
    colours = tuple(f"#{word}" for word in anchors.split())
    return Ramp(name, about, colours, len(colours), lit, hazed=False)


RAMPS = (
    _six("warm", "Rock that the sun lights.", "494949 926d49 b6926d ffb692 ffdbb6"),
    _six("cold", "Rock in shade, lit from the clouds below.", "002449 24246d 49496d 496d92 6d92b6"),
    _six("turf", "Turf and leaves, dark to lit.", "002424 004949 006d49 499249 6db649 dbdb6d"),
    _six("wood", "Trunks, beams, ropes.", "24246d 6d4949 b6926d ffb66d"),
    _six("wall", "Walls: shade, then light.", "494992 6d6db6 9292b6 dbdbb6 ffffdb ffffff"),
    _six("roof", "Roofs: shade, then light.", "49246d 6d2449 922449 b64924 db6d49 ff926d"),
    _six("lamp", "Lamps and lit panes.", "b64924 ffb649 ffffb6", True),
    _six("water", "Water that falls.", "6d92b6 92dbff ffffff"),
)
NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
