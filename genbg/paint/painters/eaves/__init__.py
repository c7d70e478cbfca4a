"""Painter of a wood's eaves: near trees whose roots grip a bank, under leaves in heavy masses.

Wood is swept spheres (`craft/wood.py`), leaves are stamped masses (`craft/leaves.py`), the bank is
ridges of turf (`craft/ground.py`) from lit grass to deep leaves before our feet. What lies in the
shade is flat: light alone is drawn out, and pays for its tiles.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.edges import remove_strays
from genbg.paint.craft.repeat import Repeat, repeat_texture
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.eaves.bark import grow_trees, lay_wood
from genbg.paint.painters.eaves.crowns import grow_canopy, light_behind, roof_depth
from genbg.paint.painters.eaves.floor import (
    grow_front,
    grow_plants,
    hide_joints,
    lay_bank,
    lay_boulders,
    lay_reeds,
    lie_of_bank,
    light_on_bank,
)
from genbg.paint.painters.eaves.keys import RAMPS, Keys, stand


def like_cells(thrift: float) -> tuple[Repeat, ...]:
    """Which cells overhead, or of the bank, are one: those that hardly differ, more with thrift."""
    loose = 1.0 + 1.5 * thrift
    leaves = Repeat("leaves", 1, 0.65 * loose, 0.68 * loose, rows=20)
    return leaves, Repeat("bark", 1, 0.35 * loose, 0.25 * loose, rows=64)


def paint(keys: Keys, job: Job) -> Painting:
    """Trees and bank from the layer's first line to its last, see-through between them."""
    picture = TonalPicture(job, RAMPS)
    trees = stand(keys, job)
    middle = job.body.x if job.body else trees[0].x + job.width / 4
    crest = lie_of_bank(keys, job, trees)
    light = light_on_bank(keys, job, trees, crest, middle)
    wood, boughs = grow_trees(keys, job, trees, crest)
    edge = lay_bank(job, picture, 0, crest, light)
    lay_reeds(picture, crest, hash_words(job.seed, "reeds"))
    lay_boulders(keys, job, picture, edge, light, 0)
    grow_plants(keys, job, picture, edge, light, 0)
    edge = lay_bank(job, picture, 1, crest, light)
    lay_wood(keys, job, picture, wood)
    hide_joints(picture, trees, crest, light, hash_words(job.seed, "joints"))
    lay_boulders(keys, job, picture, edge, light, 1)
    grow_plants(keys, job, picture, edge, light, 1)
    if keys.canopy > 0:
        _lay_canopy(keys, job, picture, boughs, middle)
    painting = picture.painting()
    painting = replace(painting, ink=remove_strays(painting.ink))
    painting = repeat_texture(painting, job.top, like_cells(job.thrift))
    front = grow_front(keys, job)
    first = 1 + job.steps["bark"]
    level = np.clip(np.floor(front.level + 0.5), 1, 4).astype(np.int64)
    level = np.minimum(level, job.steps["leaves"] - 1) + first
    return replace(painting, ink=np.where(front.covered, level, painting.ink).astype(np.uint16))


def _lay_canopy(
    keys: Keys, job: Job, picture: TonalPicture, boughs: list[np.ndarray], middle: float
) -> None:
    """Leaves over our heads."""
    glow = light_behind(job.lines, job.width, middle, 100.0) * (1.0 - 0.5 * job.thrift)
    own = hash_words(job.seed, "crown")
    hang = keys.canopy * job.lines * 0.6
    deep = roof_depth(job.width, hang, middle, keys.room * 0.9, hash_words(own, "roof"))
    sheet = grow_canopy(boughs, glow, deep, job.light, own)
    picture.lay(sheet.covered, "leaves", np.clip(np.floor(sheet.level + 0.5), 0, 8))


PAINTER = Painter(
    name="eaves",
    about="Near trees with roots and leaves in masses over a bank of turf, stones and ferns.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
