"""Painter of ruins: broken walls, columns and arches, fallen stones, and what grows over them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick, pick_one, pick_weighted
from genbg.paint.craft.sheet import Sheet, Tones, digits
from genbg.paint.parts.banks import bank_levels, heap_bank
from genbg.paint.parts.plants import BUSH, FERN, GRASS, TREE, draw_plant, hang_ivy
from genbg.paint.parts.relics import draw_arch, draw_colonnade, draw_rubble, draw_wall
from genbg.paint.parts.temple import WIDTH as TEMPLE
from genbg.paint.parts.temple import draw_temple
from genbg.records import record


@record(frozen=True)
class RuinsKeys:
    """Keys of the ruins painter."""

    height: float = key(
        0.9, "float", "Height of what stands highest, a share of the lines.", low=0.1, high=1
    )
    density: float = key(0.6, "float", "How closely ruins stand.", low=0.05, high=1)
    walls: float = key(0.5, "float", "Share of walls with empty windows.", low=0, high=1)
    columns: float = key(0.5, "float", "Share of columns.", low=0, high=1)
    arches: float = key(0.4, "float", "Share of arches.", low=0, high=1)
    broken: float = key(0.5, "float", "How much has fallen.", low=0, high=1)
    growth: float = key(0.5, "float", "How far plants grow over it.", low=0, high=1)
    rubble: float = key(0.5, "float", "Fallen stones before it.", low=0, high=1)
    pointed: bool = key(False, "bool", "Pointed openings in place of round ones.")
    cluster: int = key(
        1, "int", "Pieces that stand close together before open ground.", low=1, high=6
    )
    temple: bool = key(False, "bool", "One large broken temple with a lamp in its door.")
    place: float = key(
        0.4, "float", "Where the temple is.", low=0, high=1, unit="share of the plane's width"
    )
    bank: int = key(0, "int", "Height of the turf before it; 0 none.", low=0, high=4, unit="cells")
    ranks: int = key(1, "int", "Rows of ruins; the farther one is paler.", low=1, high=2)

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.walls + self.columns + self.arches <= 0:
            yield "walls", "one of walls, columns and arches must be above 0"


SPANS = (6, 4, 8)
"""Cells that arches are wide inside, in turn."""

RAMPS = (
    Ramp("stone", "Stone.", ("#2b2b49", "#61566d", "#9c8c86", "#d6c3a2", "#fff4d0"), 5),
    Ramp("behind", "Stone of the farther rank.", ("#5b6180", "#8a8aa0", "#b6b0b0"), 3),
    Ramp("leaves", "What grows.", ("#0f2b2b", "#1f5b3c", "#4f923c", "#a8c84f"), 5),
    Ramp("soil", "Earth under the turf.", ("#24182b", "#4f3c3c", "#7f6149", "#b6926d"), 4),
    Ramp("glow", "The glow of the temple's lamp, far and near.", ("#924924", "#db8149"), 2, True),
    Ramp("lamp", "The temple's lamp.", ("#ffb649", "#ffffb6"), 2, True),
)


def paint(keys: RuinsKeys, job: Job) -> Painting:
    """Ruins along the whole width, their ground at the layer's last line."""
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    levels = _levels(job, keys, sheet)
    for rank in reversed(range(keys.ranks)):
        _raise_rank(job, keys, sheet, rank, levels)
    if keys.growth:
        _hang(job, keys, sheet)
    if keys.bank:
        heap_bank(sheet, levels)
    if keys.growth:
        _grow(job, keys, sheet, levels)
    if sheet.turned:
        sheet.ink = sheet.ink[:, ::-1]
    return sheet.painting(("lamp",))


def _temple_at(keys: RuinsKeys, sheet: Sheet) -> int:
    """The temple's first cell column."""
    return round(keys.place * sheet.columns) - TEMPLE // 2


def _levels(job: Job, keys: RuinsKeys, sheet: Sheet) -> np.ndarray:
    """Cells (C,) int64 that the ground rises above the layer's foot."""
    if not keys.bank:
        return np.zeros(sheet.columns, dtype=np.int64)
    at = _temple_at(keys, sheet)
    flat = slice(at - 1, at + TEMPLE + 1) if keys.temple else None
    return bank_levels(sheet.columns, keys.bank, flat, job.seed)


def _raise_rank(job: Job, keys: RuinsKeys, sheet: Sheet, rank: int, levels: np.ndarray) -> None:
    """Groups of ruins with open ground between them; rank 0 is the nearest."""
    seed = hash_words(job.seed, "rank", rank)
    stone = "behind" if rank else "stone"
    full = max(3, int(keys.height * job.lines / CELL) - keys.bank)
    rows = full if rank == keys.ranks - 1 else max(3, full * 3 // 4)
    weights = [round(1000 * share) for share in (keys.walls, keys.columns, keys.arches)]
    # The first piece stands across the wrap, so that no wall ends there.
    column, number, last, turn = 0, 0, -1, -1
    if keys.temple and rank == 0:
        turn = _temple_at(keys, sheet)
        temple = draw_temple(sheet.tones, stone, max(11, full), hash_words(seed, "temple"))
        _stand(sheet, temple, turn, levels)
        column, rows = TEMPLE + 1, max(4, full * 2 // 3)
    while column < sheet.columns - 4:
        own = hash_words(seed, number)
        kind = int(pick_weighted(own, weights, 0)[0])
        if kind == last and pick_one(own, 2, "again"):
            kind = int(pick_weighted(own, weights, 1)[0])
        room = sheet.columns - column
        high = rows - pick_one(own, 1 + rows // 3, "low")
        piece = _piece(keys, sheet.tones, stone, kind, high, number, own)
        if piece.shape[1] > room * CELL:
            break
        _stand(sheet, piece, column + turn, levels)
        gap = round((1 - keys.density) * (8 + pick_one(own, 9, "gap")))
        if keys.cluster > 1:
            gap = 0 if (number + 1) % keys.cluster else gap * keys.cluster
        if keys.rubble and pick_one(own, 1000, "rubble") < keys.rubble * 1200:
            at = column + piece.shape[1] // CELL - 1 - pick_one(own, 3, "at")
            _stand(sheet, draw_rubble(sheet.tones, stone, own), at + turn, levels)
        column += piece.shape[1] // CELL + gap
        number, last = number + 1, kind


def _stand(sheet: Sheet, piece: np.ndarray, column: int, levels: np.ndarray) -> None:
    """Put a piece on the lowest ground under it, so that the bank reaches up its sides."""
    under = levels[(column + np.arange(piece.shape[1] // CELL)) % sheet.columns]
    sheet.put(piece, column % sheet.columns, sheet.foot - CELL * int(under.min()), False)


def _piece(
    keys: RuinsKeys, tones: Tones, stone: str, kind: int, rows: int, number: int, seed: int
) -> np.ndarray:
    """One wall, colonnade or arch, about `rows` cells high; number: how many stand before it."""
    if kind == 0:
        columns = 6 + pick_one(seed, 9, "long")
        return draw_wall(tones, stone, columns, max(3, rows), keys.broken, keys.pointed, seed)
    if kind == 1:
        count = 2 + pick_one(seed, 4, "count")
        return draw_colonnade(tones, stone, max(5, rows), count, keys.broken, seed)
    # An arch is unlike the two pieces before it, so that none is seen twice on a screen.
    span = SPANS[number % len(SPANS)]
    half = number % 2 == pick_one(seed, 2, "half") and keys.broken > 0.2
    return draw_arch(tones, stone, span, max(span, rows - 1), half, keys.pointed, seed)


def _hang(job: Job, keys: RuinsKeys, sheet: Sheet) -> None:
    """Ivy over the edges and small trees on top, in place."""
    seed = hash_words(job.seed, "plants")
    inks = digits(sheet.tones, "leaves")
    solid = sheet.ink > 0
    tops = _edges(solid)
    hang_ivy(sheet, inks, tops, solid, keys.growth, seed)
    column = np.arange(sheet.columns)
    trees = (pick(seed, 1000, column, 5) < keys.growth * 60) & (tops > 2 * CELL)
    tree = draw_plant(TREE, inks)
    for place in np.flatnonzero(trees).tolist():
        sheet.put(tree, place - 1, int(tops[place]) + 2, False)


def _grow(job: Job, keys: RuinsKeys, sheet: Sheet, levels: np.ndarray) -> None:
    """Bushes, ferns and grass on the ground, in place."""
    seed = hash_words(job.seed, "plants")
    inks = digits(sheet.tones, "leaves")
    stamps = [draw_plant(text, inks) for text in (*GRASS, BUSH, FERN)]
    column = np.arange(sheet.columns)
    # A bank has grass of its own: only bushes and ferns stand on it, away from the temple's steps.
    share = keys.growth * (300 if keys.bank else 1800)
    here = pick(seed, 1000, column, 6) < share
    if keys.temple:
        at = _temple_at(keys, sheet)
        here[np.arange(at, at + TEMPLE - 2) % sheet.columns] = False
    for place in np.flatnonzero(here).tolist():
        luck = pick_one(seed, 10, place, "kind")
        kind = 2 if luck == 0 else 3 if luck < 3 else luck % 2
        kind = 2 + luck % 2 if keys.bank else kind
        foot = sheet.foot - CELL * int(levels[place]) + (4 if keys.bank else 0)
        sheet.put(stamps[kind], place, foot, False)


def _edges(solid: np.ndarray) -> np.ndarray:
    """First line (C,) int64 from which a cell column is solid over its whole width, or -1."""
    lines, width = solid.shape
    full = solid.reshape(lines, width // CELL, CELL).all(axis=2)
    return np.where(full.any(axis=0), full.argmax(axis=0), -1)


PAINTER = Painter(
    name="ruins",
    about="Broken walls, columns and arches, overgrown.",
    params=RuinsKeys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.6,
)
