"""Painter of a harbour: boats at their moorings, a quay with cranes and goods, pilings.

One layer may be the far side with its masts, another the near quay: every part has its own share.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import DEEP, RIM, SHADE, Sheet
from genbg.paint.painters.harbour.quays import (
    GOODS,
    draw_crane,
    draw_goods,
    draw_jetty,
    draw_piling,
    draw_quay,
    draw_side,
)
from genbg.paint.parts.lamps import draw_halo, draw_lamp_post
from genbg.paint.parts.vessels import draw_dinghy, draw_ship, draw_trawler

WALLS = ("stone", "ship")


@dataclass(frozen=True)
class Keys:
    """Keys of the harbour painter."""

    boats: float = key(0.6, "float", "How closely boats lie: 0 none.", low=0, high=1)
    masts: float = key(
        0.9, "float", "Height of the tallest mast, a share of what the layer has.", low=0.2, high=1
    )
    rigging: float = key(
        0.7, "float", "Ropes: above 0.1 shrouds, 0.3 stays, 0.6 rungs.", low=0, high=1
    )
    sails: float = key(0.6, "float", "Share of booms with a rolled sail.", low=0, high=1)
    quay: int = key(0, "int", "Height of the quay's wall.", low=0, high=128, unit="pixels")
    wall: str = key(
        "stone", "choice", "What it is: of stone, or the side of a wooden ship.", choices=WALLS
    )
    cranes: float = key(0.0, "float", "How many cranes stand on the quay.", low=0, high=1)
    goods: float = key(0.5, "float", "Crates, barrels and nets on the quay.", low=0, high=1)
    lamps: float = key(0.5, "float", "Lamp posts on the quay.", low=0, high=1)
    halo: int = key(0, "int", "Reach of the lamps' glow; 0 none.", low=0, high=48, unit="pixels")
    pool: int = key(
        0, "int", "Reach of the lamps' light on the quay.", low=0, high=64, unit="pixels"
    )
    pilings: float = key(0.0, "float", "Posts in the water before it.", low=0, high=1)


HEIGHTS = (0, 3, 1, 4)
"""Cells by which ships, one after the other, stay below the tallest."""

RAMPS = (
    Ramp("hull", "Tarred wood.", ("#240024", "#492449", "#925549", "#dba26d"), 4),
    Ramp("paint", "Stripes and pennants.", ("#6d2449", "#db4949"), 2),
    Ramp("sail", "Canvas and whitewash.", ("#494992", "#b692b6", "#ffdbb6"), 3),
    Ramp("rope", "Ropes.", ("#492449",), 1),
    Ramp("stone", "The quay.", ("#24244a", "#494970", "#7a6d92", "#c8a8a0"), 4),
    Ramp("glow", "The glow in the air, far and near.", ("#b64924", "#ff9249"), 2, True),
    Ramp("lamp", "Lamps and lit panes.", ("#ff9224", "#ffdb6d", "#fffff0"), 3, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """A harbour along the whole width; what is neither boat nor quay is see-through."""
    sheet = Sheet(job, RAMPS)
    quay = (sheet.foot - keys.quay) // CELL * CELL if keys.quay else sheet.foot
    if keys.cranes > 0 and not keys.quay:
        _build_jetties(job, keys, sheet)
    if keys.boats > 0:
        _moor_boats(job, keys, sheet, quay)
    if keys.quay:
        _build_quay(job, keys, sheet, quay)
    if keys.pilings > 0:
        _drive_pilings(job, keys, sheet, quay)
    return sheet.painting(("lamp",))


def _moor_boats(job: Job, keys: Keys, sheet: Sheet, quay: int) -> None:
    """Boats of all sizes in a hashed order; those before a quay hide their keels behind it."""
    seed = hash_words(job.seed, "boats")
    behind = keys.quay > 0
    foot = quay + CELL if behind else (sheet.foot // CELL - 1) * CELL
    rows = max(5, int(keys.masts * foot / CELL))
    spacing = round(9 + 16 * (1 - keys.boats))
    places = jittered(sheet.columns, spacing, seed, 0.5).tolist()
    for n, column in enumerate(places):
        own = hash_words(seed, n)
        kind = (n + pick_one(seed, 4, "first")) % 4
        if kind == 1 or rows < 7:
            piece = draw_trawler(sheet.tones, n // 4, rows, keys.rigging)
        elif kind == 3:
            piece = draw_dinghy(sheet.tones, own)
        else:
            # No two ships of a screen are equally tall.
            tall = max(5, rows - HEIGHTS[n // 2 % len(HEIGHTS)] - pick_one(seed, 2, "tall"))
            piece = draw_ship(sheet.tones, own, tall, keys.rigging, keys.sails)
        bow_right = pick_one(own, 2, "turn") == 1
        sheet.put(piece, column, foot, by_light=False, flip=bow_right)
        if not behind:
            _reflect(sheet, column, piece.shape[1], foot)


def _reflect(sheet: Sheet, column: int, width: int, foot: int) -> None:
    """Broken lines of dark under a boat, fewer the lower."""
    lines = min(CELL, sheet.foot - foot)
    x = np.arange(column * CELL + CELL, column * CELL + width - CELL)
    for n, (gap, run) in enumerate(((0, 8), (3, 8), (0, 4), (4, 8), (0, 3), (5, 8), (0, 2))):
        if n < lines:
            there = x[(x % 8 >= gap) & (x % 8 < run)] if gap < run else x[:0]
            sheet.ink[foot + n, there % sheet.width] = sheet.tones("hull", DEEP)


def _build_jetties(job: Job, keys: Keys, sheet: Sheet) -> None:
    """Where there is no quay, cranes and lamps stand on jetties in the water."""
    seed = hash_words(job.seed, "jetties")
    foot = (sheet.foot // CELL - 1) * CELL
    spacing = round(24 + 40 * (1 - keys.cranes))
    for n, column in enumerate(jittered(sheet.columns, spacing, seed, 0.5).tolist()):
        own = hash_words(seed, n)
        jetty = draw_jetty(sheet.tones, 12 + 2 * pick_one(own, 4, "long"))
        columns = jetty.shape[1] // CELL
        deck = foot - len(jetty)
        sheet.put(jetty, column, foot)
        crane = draw_crane(sheet.tones, own, deck // CELL)
        sheet.put(crane, column, deck, by_light=False, flip=pick_one(own, 2, "turn") == 1)
        if keys.lamps > 0:
            _raise_lamp(keys, sheet, column + columns - 2, deck, 5 - n % 3)
        _reflect(sheet, column, columns * CELL, foot)


def _build_quay(job: Job, keys: Keys, sheet: Sheet, quay: int) -> None:
    """The wall, and what stands on it."""
    seed = hash_words(job.seed, "quay")
    if keys.cranes > 0:
        spacing = round(22 + 42 * (1 - keys.cranes))
        for n, column in enumerate(jittered(sheet.columns, spacing, hash_words(seed, 1), 0.6)):
            crane = draw_crane(sheet.tones, hash_words(seed, "crane", n), quay // CELL)
            sheet.put(crane, int(column), quay)
    lamps = []
    if keys.lamps > 0:
        spacing = round(10 + 22 * (1 - keys.lamps))
        lamps = jittered(sheet.columns, spacing, hash_words(seed, 2), 0.4).tolist()
        for n, column in enumerate(lamps):
            # Posts of three heights in turn: none is like the other on a screen.
            _raise_lamp(keys, sheet, column, quay, 5 - n % 3)
    if keys.goods > 0:
        spacing = round(5 + 16 * (1 - keys.goods))
        # All kinds in turn, in steps of their own: a heap comes back only after all the others.
        kind, step = pick_one(seed, GOODS, "goods"), 1 + pick_one(seed, GOODS - 1, "step")
        for column in jittered(sheet.columns, spacing, hash_words(seed, 3), 0.8).tolist():
            sheet.put(draw_goods(sheet.tones, kind), column, quay)
            kind = (kind + step) % GOODS
    rows = sheet.rows - quay // CELL
    if keys.wall == "ship":
        wall = draw_side(sheet.tones, rows, sheet.columns)
    else:
        wall = draw_quay(sheet.tones, seed, rows, sheet.columns)
    sheet.put(wall, 0, quay + len(wall))
    for column in lamps if keys.pool else ():
        _light_edge(keys, sheet, column, quay)


def _light_edge(keys: Keys, sheet: Sheet, column: int, quay: int) -> None:
    """A pool of light on the edge of the quay below a lamp, brighter in its middle."""
    for line, less in enumerate((0, 0, 8, 16)):
        for reach, ink in (
            (keys.pool - less, sheet.tones("glow", RIM)),
            (keys.pool // 2 - less, sheet.tones("lamp", SHADE)),
        ):
            x = np.arange(-reach, reach) + (column + 1) * CELL
            if 0 <= quay + line < len(sheet.ink):
                sheet.ink[quay + line, x % sheet.width] = ink


def _raise_lamp(keys: Keys, sheet: Sheet, column: int, foot: int, rows: int) -> None:
    """A lamp post `rows` cells high on the border of two cells, and its glow behind it."""
    post = np.pad(draw_lamp_post(sheet.tones, "hull", "lamp", rows), ((0, 0), (4, 4)))
    if keys.halo:
        glow = draw_halo(keys.halo, sheet.tones("glow", DEEP), sheet.tones("glow", RIM))
        reach = len(glow) // 2
        sheet.put(glow, column + 1 - reach // CELL, foot - len(post) + CELL // 2 + reach)
    sheet.put(post, column, foot)


def _drive_pilings(job: Job, keys: Keys, sheet: Sheet, quay: int) -> None:
    """Groups of posts in the water before everything else, as high as the quay or the layer."""
    seed = hash_words(job.seed, "pilings")
    spacing = round(7 + 16 * (1 - keys.pilings))
    for n, column in enumerate(jittered(sheet.columns, spacing, seed, 0.7).tolist()):
        own = hash_words(seed, n)
        wall = (sheet.foot - quay) // CELL or sheet.rows - 1
        rows = max(2, wall + pick_one(own, 3, "high") - 1)
        sheet.put(draw_piling(sheet.tones, own, rows), column, sheet.rows * CELL)


PAINTER = Painter(
    name="harbour",
    about="A harbour: moored boats, masts and rigging, a quay with cranes, pilings.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
)
