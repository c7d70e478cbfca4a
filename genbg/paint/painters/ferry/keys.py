"""Keys and ramps of the ferry painter."""

from __future__ import annotations

from genbg.keys import key
from genbg.paint.contract import Ramp, two_families
from genbg.records import record


@record(frozen=True)
class Keys:
    """Keys of the ferry painter."""

    deck: float = key(
        0.86, "float", "Row of the deck's near edge, a share of the lines.", low=0.3, high=1
    )
    mast: bool = key(True, "bool", "A mast with its shrouds and a furled sail.")
    house: bool = key(True, "bool", "A deckhouse with lit windows.")
    cargo: float = key(0.6, "float", "How much lies on deck.", low=0, high=1)
    lamps: int = key(3, "int", "Lit lamps.", low=0, high=6)


RAMPS = (
    two_families("wood", "Planks, rails, mast", "000024 240024 492449 49496d 6d6d92 b6b6db"),
    two_families("hull", "The hull and the deckhouse", "000024 240049 49246d 6d4992 926db6 dbb6db"),
    two_families("cloth", "Canvas and rope", "24246d 49496d 6d6d92 9292b6 b6b6db dbdbff"),
    Ramp(
        "warm", "Wood in lamplight, from its rim inward.",
        ("#492449", "#6d2449", "#924949", "#db924a", "#ffb66d"), 5, True, chosen=True,
    ),
    Ramp(
        "lamp", "Lamps and lit windows: glow, glass, flame.",
        ("#db9249", "#ffb649", "#ffffb6"), 3, True, chosen=True,
    ),
)  # fmt: skip
NUMBER = {ramp.name: place for place, ramp in enumerate(RAMPS)}
