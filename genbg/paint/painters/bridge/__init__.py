"""Painter of bridges: arches that show what lies behind, viaducts on tall piers, aqueducts.

Arches come in few widths, each a whole number of cells, and their piers keep to the cell grid: the
ring of an arch is the same wherever it stands, and all between is one patch of stone repeated.
"""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet
from genbg.paint.painters.bridge.creepers import hang_creepers
from genbg.paint.painters.bridge.crowns import crown_bridge, hang_lanterns
from genbg.paint.painters.bridge.fallen import break_stretch, open_tier
from genbg.paint.painters.bridge.keys import Keys
from genbg.paint.painters.bridge.masonry import blocks
from genbg.paint.painters.bridge.piers import mark_piers, reflect
from genbg.paint.painters.bridge.spans import cut_openings, lower_crown, place_arches

RAMPS = (
    Ramp("stone", "Stone.", ("#332b49", "#6d5b6d", "#a8928a", "#dbc8a8", "#fff4db"), 5),
    Ramp("ivy", "Ivy.", ("#0f3333", "#2b6d33", "#82b649"), 5),
    Ramp("roof", "The gatehouse's roofs.", ("#490024", "#922449", "#db6d49"), 4),
    Ramp("iron", "Lamp posts.", ("#18182b", "#494961"), 2),
    Ramp("glow", "The glow in the air, far and near.", ("#b66d33", "#ffb65b"), 2, True),
    Ramp("lamp", "Lamps and lit windows.", ("#ff9224", "#ffdb6d", "#fffff0"), 3, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """A bridge along the whole width; openings and air are see-through."""
    sheet = Sheet(job, RAMPS, {"window": "lamp"})
    foot = max(CELL, (sheet.foot - keys.shine) // CELL * CELL) if keys.shine else sheet.foot
    top = max(sheet.phase, foot - int(keys.height * (foot - sheet.phase)))
    top = min(-(-top // CELL), max(0, foot // CELL - 1)) * CELL
    arches = place_arches(keys, sheet.columns, job.seed)
    tone = lay_stone(keys, sheet, top, foot, job.seed)
    spring = cut_openings(keys, tone, arches, top, foot)
    mark_piers(keys, tone, arches, spring, top, foot)
    lay_deck(tone, top)
    fallen = np.zeros(sheet.width, dtype=np.int64)
    if keys.broken:
        fallen = break_stretch(keys, tone, arches, top, foot, job.seed)
    if keys.gaps and keys.tiers == 2:
        floor = lower_crown(keys, arches, spring) - CELL
        fallen = np.maximum(fallen, open_tier(keys, tone, arches, top, floor, job.seed))
    row = np.concatenate([[0], sheet.tones.row("stone")])
    sheet.ink = row[tone + 1]
    if keys.hung:
        hang_lanterns(keys, sheet, tone, arches, foot)
    whole = fallen.reshape(-1, CELL).max(axis=1) == 0
    crown_bridge(job, keys, sheet, arches, top, whole)
    if keys.shine:
        reflect(keys, sheet, foot, tone, arches)
    if keys.growth:
        tops = np.where(whole, top, -1)
        seed = hash_words(job.seed, "ivy")
        few = job.thrift > 0.6
        hang_creepers(sheet, sheet.tones.row("ivy"), tops, keys.growth, seed, few)
    if sheet.turned:
        sheet.ink = sheet.ink[:, ::-1]
    return sheet.painting(("lamp",))


def lay_stone(keys: Keys, sheet: Sheet, top: int, foot: int, seed: int) -> np.ndarray:
    """Tones (H, W) int64 of a solid wall from `top` down, -1 above.

    Which blocks are worn differs all over the plane; their cells are few all the same.
    """
    lines = np.arange(len(sheet.ink))[:, None]
    worn = round(keys.wear * 8)
    wall = blocks(sheet.rows, sheet.columns, hash_words(seed, "blocks"), worn, dark=False)
    tone = np.where(lines < top, -1, np.clip(BETWEEN + wall, SHADE, LIT))
    if keys.water:
        tone = np.where(lines >= foot - 2 * CELL, BETWEEN, tone)
        tone = np.where(lines >= foot - CELL, SHADE, tone)
    return np.where(lines < foot, tone, -1)


def lay_deck(tone: np.ndarray, top: int) -> None:
    """The coping, its shadow and the row of corbels that carry it, in place."""
    x = np.arange(tone.shape[1])
    tone[top] = RIM
    tone[top + 1 : top + 4] = LIT
    tone[top + 4] = DEEP
    tone[top + 5 : top + CELL] = np.where((x + 2) % 8 < 4, SHADE, BETWEEN)


PAINTER = Painter(
    name="bridge",
    about="Bridges, viaducts and aqueducts, whose arches show what lies behind.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.8,
)
