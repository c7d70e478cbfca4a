"""Keys and materials of the painter of cliffs."""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.paint.contract import Ramp, two_families
from genbg.paint.families.houses import HOUSES
from genbg.paint.families.towers import TOWERS

PLANS = ("any", "peak", "saddle", "cape", "stack", "stair", "kilns")


@dataclass(frozen=True)
class Keys:
    """Keys of the cliffs painter."""

    plan: str = key(
        "any", "choice", "The lie of the land; any: drawn from the seed.", choices=PLANS
    )
    houses: str = key(
        "harbour", "choice", "How people build here; any: drawn.", choices=("any", *HOUSES)
    )
    tower: str = key(
        "any", "choice", "The tower at the top; any: drawn.", choices=("any", "none", *TOWERS)
    )
    town: float = key(0.8, "float", "How much of the terraces is built on.", low=0, high=1)
    boats: int = key(4, "int", "Boats at the quay.", low=0, high=8)
    offing: int = key(0, "int", "Boats under sail beyond the light's path.", low=0, high=4)
    mole: bool = key(True, "bool", "A mole with a lantern post that shelters the harbour.")
    glow: float = key(
        0.35, "float", "Share of windows in shade with a light in them.", low=0, high=1
    )
    horizon: int = key(88, "int", "Line on which the sea ends.", low=40, high=320, unit="line")
    eye: float = key(46.0, "float", "How high we stand over the water.", low=10, high=240)
    noon: float = key(
        0.0,
        "float",
        "How high the light stands: 0 low behind the place .. 1 high before it.",
        low=0,
        high=1,
    )
    mirror: int = key(26, "int", "Lines that the mirror is long; 0: none.", low=0, high=100)
    offset: float = key(
        0.0,
        "float",
        "Columns by which the place is moved off where it would lie.",
        low=-512,
        high=512,
    )


RAMPS = (
    two_families("rock", "Cliffs", "492449 49496d 6d496d 924949 b66d49 db926d"),
    two_families("grass", "Dry grass on tops", "242449 24496d 49496d 496d49 929249 dbdb6d"),
    two_families("white", "Whitewash", "49496d 6d6d92 9292b6 ffdb92 ffdbb6 ffffdb"),
    two_families("ochre", "Ochre plaster", "49496d 6d496d 926d92 db9249 ffb66d ffdb92"),
    two_families("rose", "Rose plaster", "492449 6d496d 924949 db926d ffb692 ffdbb6"),
    two_families("tile", "Roof tiles", "492449 6d2449 924949 db6d49 ff9249 ffb66d"),
    two_families("slate", "Slates and pale stone", "242449 49496d 6d6d92 b69292 dbb6b6 ffdbb6"),
    two_families("stone", "Quay and walls", "242449 49496d 6d6d92 b6926d dbb692 ffdbb6"),
    two_families("wood", "Timber, posts, cords", "242449 492449 6d496d 924949 b66d49 db926d"),
    two_families(
        "post", "What stands before the light", "002424 242449 492449 492449 924949 ffb66d"
    ),
    two_families("leaf", "Trees and hanging green", "002449 24496d 24496d 496d49 929249 dbdb6d"),
    two_families("hull", "Painted hulls", "242449 49496d 6d496d 924949 db6d49 ffb692"),
    Ramp(
        "pane",
        "Windows, from in shade to in light.",
        ("#242449", "#49496d", "#6d6d92"),
        3,
        hazed=False,
        chosen=True,
    ),
    Ramp(
        "glow",
        "Lit windows and lamps, from their rim in.",
        ("#db9249", "#ffdb92", "#ffffb6"),
        3,
        True,
        chosen=True,
    ),
    Ramp(
        "mirror",
        "The mirror: three tones of what stands in shade, three of what is lit.",
        ("#242449", "#24496d", "#49496d", "#926d6d", "#db926d", "#ffdb92"),
        6,
        hazed=False,
        chosen=True,
    ),
    Ramp(
        "thread",
        "Light where stone meets the water.",
        ("#6d6d92", "#dbb6b6"),
        2,
        hazed=False,
        chosen=True,
    ),
)

NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
"""Numbers of materials, as a `TonalPicture` counts them."""
