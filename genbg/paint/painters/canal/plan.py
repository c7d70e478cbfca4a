"""The value plan of a canal town: few tones a house, told by where its faces look.

Steps of the near ramps, dark to light: 0 gaps and eaves, 1 what turns away from the moon, 2 and 3
fronts (each house has one of them), 4 sides and roofs that turn to the moon, 5 their edges. What
stands in the second row and behind is in the air: four tones of haze, lighter than the near shade
and nowhere as bright as the near light.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.solids import Kind, Seen
from genbg.paint.painters.canal.keys import NUMBER

HAZY = 452.0
"""Depth from which things stand in the air."""
FAINT = 640.0
"""Depth from which they are shapes of one or two tones."""
LEVEL = 0.25
"""Upward share of a normal from which a face is a roof."""
PALE = 0.52
"""Share of houses whose fronts are of the darker of two tones."""
NEAR_MOON, FAR_MOON = 0.30, 0.10
"""Strength of the moon above which fronts are pale, and below which nothing is fully lit."""
STRIPE = 2.2
"""Units that a stripe of an awning is wide."""
BUILT = tuple(NUMBER[name] for name in ("blue", "rose", "jade", "slate", "tile"))
"""Materials of houses."""


def house_tones(seen: Seen, tone: np.ndarray, sign: np.ndarray, near: np.ndarray, seed: int
                ) -> np.ndarray:  # fmt: skip
    """Tones (N, W) with those of houses after the plan.

    sign: (1, W) 1 right of the moon, -1 left of it; near: (1, W) 0..1, how strong it is there
    """
    house = seen.has & np.isin(seen.material, BUILT) & (seen.kind != Kind.TOWER)
    across = np.abs(seen.nx) > np.abs(seen.nz)
    to, off = across & (-seen.nx * sign > 0), across & (seen.nx * sign > 0)
    roof = house & ((seen.kind == Kind.ROOF) | (seen.ny > LEVEL))
    strong, weak = near > NEAR_MOON, near < FAR_MOON
    chance = unit(seed, seen.thing)
    front = np.where(chance > np.where(weak, PALE + 0.2, PALE), 3.0, 2.0)
    side = np.where(to, np.where(weak, 3.0, 4.0), np.where(off, 1.0, front))
    slope = np.where(weak, 3.0, np.where(strong, 4.0, 3.0 + (chance > 0.4)))
    top = np.where(off, np.where(chance > PALE, 2.0, 1.0), slope)
    tone = np.where(house, side, tone)
    cloth = seen.has & (seen.kind == Kind.CLOTH) & (seen.height > 0)
    tone = np.where(cloth, np.where(np.mod(np.floor(seen.u / STRIPE), 2) < 1, 4.0, 1.0), tone)
    return np.where(roof, top, tone)


def tiled(seen: Seen, tone: np.ndarray, seed: int) -> np.ndarray:
    """Roofs with a light ridge, a dark line over the eaves, and a few courses of tiles where they
    show; the rest of a slope is calm."""
    roof = seen.has & (seen.kind == Kind.ROOF) & (seen.height > 0) & (seen.depth < HAZY)
    lines, width = tone.shape
    course = np.floor(seen.v / 3.0)
    part = seen.v - course * 3.0
    worn = fractal(width, lines, seed, 21, 0.06, octaves=2)
    told = unit(seed + 1, seen.thing, course.astype(np.int64)) > 0.45
    row = roof & (part < 1.0) & (worn > 0.14) & told
    tone = np.where(row & (tone >= 2), tone - 1, tone)
    ridge = roof & (seen.v > seen.height - 1.2) & (tone >= 2)
    return np.where(ridge, np.minimum(tone + 1, 5.0), tone)


def ringed(seen: Seen, tone: np.ndarray) -> np.ndarray:
    """The wedge stones of an arch a tone lighter than the stones about them."""
    ring = seen.has & (seen.kind == Kind.RING)
    return np.where(ring, np.minimum(tone + 1, np.where(tone >= 3, 5.0, 2.0)), tone)


def in_the_air(seen: Seen, tone: np.ndarray, near: np.ndarray) -> np.ndarray:
    """Give far things the material `haze`, and tell their tones (N, W): 0 .. 3."""
    far = seen.has & (seen.depth > HAZY) & (seen.kind != Kind.TOWER) & (seen.kind != Kind.LAMP)
    far &= ~((seen.material == NUMBER["stone"]) & (seen.y > SPIRE))
    strong = near > NEAR_MOON
    lit = np.where(tone >= 4, 1.0 + strong + (strong & (tone > 4)), np.where(tone >= 2, 1.0, 0.0))
    faint = np.where((tone >= 4) & strong, 1.0, 0.0)
    seen.material[far] = NUMBER["haze"]
    return np.where(far, np.where(seen.depth > FAINT, faint, lit), tone)


SPIRE = 70.0
"""Height over the water from which stone is the tower's, which stands clear of the air."""
