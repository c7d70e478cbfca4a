"""Painter of a glade: far slices of a wood in the light of a clearing, and the bank before them.

All that is far is one number, the light of the air (`craft/air.py`), so that a wood of four depths
takes one ramp. Below the bank the layer is see-through: there lies water, or a meadow.
"""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.air import cell_steps, light_field
from genbg.paint.craft.exact import blur, smooth
from genbg.paint.craft.repeat import Repeat, repeat_texture
from genbg.paint.craft.scatter import between, hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.glade.hills import far_hills
from genbg.paint.painters.glade.keys import RAMPS, Keys, Stage, body, stage
from genbg.paint.painters.glade.shafts import AIR_TONES, shaft_wood
from genbg.paint.painters.glade.shore import (
    Shore,
    fell_trunk,
    lay_bank,
    lay_stones,
    lie_of_land,
    plant_bank,
    plant_grove,
    sow_front,
    water_stones,
)
from genbg.paint.painters.glade.sights import raise_sight
from genbg.paint.painters.glade.slices import far_wood, ray_places

FLAT = (Repeat("leaves", 1, 1.2, 1.6, rows=64),)
"""Flat air keeps its own pixels."""
GRAIN, THIN = 64, 0.55
"""Columns after which the grain of a flat bank comes again, and how much of its turf grows."""
LIT_AIR = 5.5 / 8.0
"""Light from which air is kept as it is painted."""
REPEATS = Repeat("air", 1, 0.65, 0.6, calm=True), Repeat("leaves", 4, 2.0)
"""Far leaves look the same wherever they are as light."""


def paint(keys: Keys, job: Job) -> Painting:
    """Air, trees and the far bank, see-through below its waterline."""
    place = stage(keys, job)
    picture = TonalPicture(job, RAMPS)
    last = max(1, picture.last("air"))
    air, soft = _far(keys, job, place, last)
    own = hash_words(job.seed, "wood")
    rays = ray_places(place, 0.0 if keys.open else keys.rays, hash_words(own, "rays"))
    shore = lie_of_land(place, job.width, keys.bank, rays, hash_words(job.seed, "shore"))
    above = np.arange(job.lines)[:, None] <= np.floor(shore.water + 0.5)
    picture.lay(above, "air", air * last, soft)
    if keys.shafts:  # the light's flat steps: few cells, and each one kept
        picture.shape |= above & (air >= LIT_AIR)
    period = GRAIN if keys.shafts else job.width
    lay_bank(picture, shore, keys.water, hash_words(job.seed, "bank"), period)
    lay_stones(picture, _stones(place, shore, job.seed), job.light, shore.light, job.seed)
    feature = hash_words(job.seed, "feature")
    if keys.water and place.feature != "stones":
        fell_trunk(picture, place, shore, job.light, feature)
    if keys.grove > 0:
        plant_grove(picture, keys.grove, place, shore, job.light, hash_words(job.seed, "grove"))
    lush = THIN if keys.shafts else 1.0
    plant_bank(picture, place, shore, job.light, hash_words(job.seed, "plants"), lush)
    raise_sight(picture, place, shore, job.light, hash_words(job.seed, "sight"))
    sow_front(picture, place, shore, hash_words(job.seed, "front"))
    if keys.water and place.feature != "trunk":
        stones = water_stones(place, shore, feature)
        lay_stones(picture, stones, job.light, shore.light, hash_words(feature, "stones"))
    repeats = REPEATS[1:] if keys.open else REPEATS  # an open sky keeps its own pixels
    return repeat_texture(picture.painting(), job.top, FLAT if keys.shafts else repeats)


def _far(keys: Keys, job: Job, place: Stage, last: int) -> tuple[np.ndarray, np.ndarray]:
    """Light (N, W), 0..1, of all that is far, and over what share of a step it is dithered."""
    own = hash_words(job.seed, "wood")
    if keys.shafts and not keys.open:
        tone, soft = shaft_wood(job.lines, job.width, keys, place, job.light, own)
        return tone / AIR_TONES, soft
    field = _light(keys, job, place)
    field = cell_steps(field, last, job.top, 1.0 if keys.open else 0.0) / last
    if keys.open:
        return far_hills(field, place, job.light, own)
    return far_wood(field, last, keys, place, job.light, own, job.thrift)


def _light(keys: Keys, job: Job, place: Stage) -> np.ndarray:
    """The light (N, W) of the air: clearings between trees, or a sky that pales to its foot."""
    seed = hash_words(job.seed, "light")
    if not keys.open:
        return light_field(job.lines, job.width, place.clearings, seed)
    y = np.arange(job.lines)[:, None] / place.shore
    sky = 0.44 + 0.32 * smooth(y, 0.0, 0.9)
    glow = light_field(job.lines, job.width, place.clearings, seed, 0.0, 1.0)
    return blur(np.clip(sky + (1.0 - sky) * glow, 0.0, 1.0), 10, 0)


def _stones(place: Stage, shore: Shore, seed: int) -> list[tuple[float, float, float]]:
    """Stones in families along the waterline: x, y, half width."""
    found = []
    for n, base in enumerate((place.focus - 44, place.focus + 52, place.clearings[1].x + 70)):
        for k in range(2 + hash_words(seed, "stones", n) % 2):
            x = base + (9 - 2 * k) * k * (1 if k % 2 else -1) + between(seed, -5, 5, n, k)
            size = between(seed, 5, 9, n, k, 1) / (1 + 0.5 * k)
            found.append((x, float(shore.water[int(x) % len(shore.water)]) - 1 + k, size))
    return found


PAINTER = Painter(
    name="glade",
    about="Far trees in the light of a clearing, with shafts, and the bank before them.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
    body=body,
)
