"""Painter of a single landmark: a lighthouse on its rock, a refuge hut, a hut on piles.

One stands on the plane, so that the eye has a place to go to and no screen shows it twice. Its
lamps and windows shine by themselves: in a dark mood they are what the picture is lit by.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.dither import threshold_plane
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick, pick_one
from genbg.paint.craft.sheet import DEEP, RIM, SHADE, Sheet
from genbg.paint.painters.landmark.growth import stand_trees
from genbg.paint.painters.landmark.knoll import cast_pool, drift_against, raise_knoll
from genbg.paint.painters.landmark.rocks import cut_wall, draw_wall, outline_of
from genbg.paint.painters.landmark.surf import break_sea
from genbg.paint.painters.landmark.towers import TOWERS, draw_hut, draw_stilts
from genbg.paint.parts.lamps import draw_halo, draw_lamp_post

GROUNDS = ("rock", "knoll")
KINDS = ("lighthouse", "hut", "stilts", "crag")
LEVEL = {"lighthouse": 6, "hut": 7, "stilts": 8, "crag": 1}
"""Cell columns to each side of the middle on which the rock of each kind is level."""
BEAM = 6
"""Half a beam's width at the lamp, in pixels; it tapers to a point."""
FADE = (16, 16, 8)
"""Of 16 pixels of a beam, how many shine, in equal parts of it from the lamp outward."""
ALSO = {"hull": "wood", "paint": "roof"}
"""Ramps that boats ask for, and which of the painter's own they take."""
REFLECTION = ((0, 8), (3, 8), (0, 4), (4, 8), (0, 3), (5, 8), (0, 2), (6, 8))
"""Of each cell, the pixels that are reflected, line by line."""
DRIPS = np.array([3, 4, 6, 5, 3, 2, 3, 3])
"""How far green hangs over the edge of the rock, column by column."""


@dataclass(frozen=True)
class Keys:
    """Keys of the landmark painter."""

    kind: str = key("lighthouse", "choice", "What stands there.", choices=KINDS)
    tower: str = key("round", "choice", "What a lighthouse's tower is like.", choices=tuple(TOWERS))
    height: float = key(
        0.9, "float", "Height of the whole, rock included, a share of the lines.", low=0.2, high=1
    )
    place: float = key(
        0.5, "float", "Where it stands.", low=0, high=1, unit="share of the plane's width"
    )
    ground: str = key("rock", "choice", "What it stands on.", choices=GROUNDS)
    rock: float = key(
        0.0, "float", "Share of the height that is ground; a crag is all rock.", low=0, high=0.8
    )
    trees: float = key(0.0, "float", "Share of a knoll under conifers.", low=0, high=1)
    halo: int = key(24, "int", "Reach of its lamp's glow; 0 none.", low=0, high=48, unit="pixels")
    beam: int = key(
        0, "int", "Reach of a lighthouse's beams to both sides.", low=0, high=256, unit="pixels"
    )
    surf: float = key(0.0, "float", "How far the sea breaks at its foot.", low=0, high=1)
    shine: int = key(
        0, "int", "Lines at the foot that show its reflection.", low=0, high=32, unit="lines"
    )


RAMPS = (
    Ramp("wall", "Walls.", ("#49496d", "#9292b6", "#dbdbdb", "#ffffff"), 4),
    Ramp("roof", "Roofs and painted rings.", ("#490024", "#922449", "#db4949", "#ff926d"), 4),
    Ramp("wood", "Piles, posts and boats.", ("#240024", "#492449", "#925549", "#dba26d"), 4),
    Ramp("rock", "The rock.", ("#18182d", "#333355", "#5b5b7f", "#8c8ca2", "#d1d1c8"), 5),
    Ramp("knoll", "A knoll.", ("#2449b6", "#496ddb", "#92b6ff", "#ffffff"), 5),
    Ramp("green", "What grows on it.", ("#003324", "#246d24", "#6db624"), 3),
    Ramp("foam", "Surf.", ("#92b6db", "#ffffff"), 2),
    Ramp("glow", "The glow in the air, far and near.", ("#924924", "#db8149"), 2, True),
    Ramp("window", "Lamps and windows that shine.", ("#db6d24", "#ffb649", "#ffffb6"), 3, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """One landmark, its foot at the layer's last line; the rest is see-through."""
    sheet = Sheet(job, RAMPS, ALSO)
    foot = max(1, (sheet.foot - keys.shine) // CELL) * CELL
    rows = max(6, round(keys.height * foot / CELL))
    stone = rows if keys.kind == "crag" else round(keys.rock * rows)
    aside = pick_one(job.seed, 5, "aside") - 2
    middle = (round(keys.place * sheet.columns) + aside) % sheet.columns
    if stone and keys.ground == "knoll" and keys.kind != "crag":
        tops = raise_knoll(job, sheet, middle, foot, stone, LEVEL[keys.kind])
        stand_trees(sheet, tops, keys.trees, hash_words(job.seed, "trees"))
    elif stone:
        raise_rock(job, keys, sheet, middle, foot, stone)
    stand = {"lighthouse": _lighthouse, "hut": _hut, "stilts": _stilts}.get(keys.kind)
    if stand:
        stand(job, keys, sheet, middle, foot - stone * CELL, rows - stone)
    if keys.surf > 0:
        _break(job, keys, sheet, foot)
    if keys.shine:
        _reflect(sheet, foot)
    return sheet.painting(("window",))


def raise_rock(job: Job, keys: Keys, sheet: Sheet, middle: int, foot: int, rows: int) -> None:
    """A crag in place, level where the landmark stands, stepping down to both sides."""
    seed = hash_words(job.seed, "crag")
    wall = cut_wall(sheet.columns, 3, seed, 0 if job.thrift > 0.8 else 4)
    half = sheet.columns // 2
    centre = wall.left + wall.wide // 2
    off = np.abs((centre - middle + half) % sheet.columns - half)
    fall = np.maximum(0, off - LEVEL[keys.kind]) * (
        rows * CELL // 10 + pick(seed, 5, np.arange(len(off)), 8)
    )
    low = 4 * pick(seed, 3, np.arange(len(off)), 9) * (off > LEVEL[keys.kind])
    lines = foot // CELL * CELL
    tops = np.minimum(lines - rows * CELL + (fall + low) // 4 * 4, lines)
    tops = np.where(tops > lines - CELL, lines, tops)
    tones = draw_wall(wall, tops, foot // CELL, job.light, hash_words(seed, "edges"), 2)
    row, green = sheet.tones.row("rock"), sheet.tones.row("green")
    ink = np.where(tones >= 0, row[np.maximum(tones, 0)], 0)
    outline = outline_of(tones)
    flat = np.abs(np.roll(outline, -3) - np.roll(outline, 3)) <= 6
    drip = np.where(flat & (outline < len(tones) - CELL), DRIPS[np.arange(len(flat)) % CELL], 0)
    down = np.arange(len(tones))[:, None] - outline
    leaf = (down >= 0) & (down < drip)
    ink = np.where(leaf, green[np.where(down < 1, 4, np.where(down < drip - 2, 3, 1))], ink)
    sheet.ink[: len(ink)] = np.where(ink > 0, ink, sheet.ink[: len(ink)])


def _lighthouse(job: Job, keys: Keys, sheet: Sheet, middle: int, foot: int, rows: int) -> None:
    """The tower, its glow behind it, and the keeper's house beside it."""
    tower = TOWERS[keys.tower](sheet.tones, rows, job.seed)
    lamp = (foot - len(tower) + 12) // CELL * CELL
    _beam(keys, sheet, middle, lamp)
    _shine(keys, sheet, middle, lamp)
    hut = draw_hut(sheet.tones, job.seed, 4, 2)
    side = -1 if sheet.turned else 1
    sheet.put(hut, middle + (1 if side > 0 else -7), foot)
    sheet.put(tower, middle - 2, foot)


def _hut(job: Job, keys: Keys, sheet: Sheet, middle: int, foot: int, rows: int) -> None:
    """A hut with a lamp on a post before it."""
    hut = draw_hut(sheet.tones, job.seed, 6 if rows > 5 else 4, max(2, rows - 3))
    post = draw_lamp_post(sheet.tones, "wood", "window", 4)
    beside = middle - 7 if sheet.turned else middle + 6
    _shine(keys, sheet, beside, foot - len(post) + 4, half=True)
    sheet.put(hut, middle - 4, foot)
    sheet.put(np.pad(post, ((0, 0), (4, 4))), beside - 1, foot)
    if keys.ground == "knoll" and keys.rock > 0:
        drift_against(sheet, middle - 5, hut.shape[1] // CELL + 2, foot, job.seed)
        for column in (middle, beside):
            cast_pool(sheet, column, foot, 2 * keys.halo)


def _stilts(job: Job, keys: Keys, sheet: Sheet, middle: int, foot: int, rows: int) -> None:
    """The hut on piles."""
    piece = draw_stilts(sheet.tones, job.seed, rows)
    lamp = middle - 6 if sheet.turned else middle + 5
    _shine(keys, sheet, lamp, foot - 2 * CELL - 4 * CELL + 4, half=True)
    sheet.put(piece, middle - 8, foot)


def _shine(keys: Keys, sheet: Sheet, column: int, line: int, half: bool = False) -> None:
    """The glow of a lamp, its middle left of a cell column, at the cell border next to `line`."""
    if not keys.halo:
        return
    glow = draw_halo(keys.halo, sheet.tones("glow", DEEP), sheet.tones("glow", RIM))
    reach = len(glow) // 2
    at = column + (1 if half and sheet.turned else 0)
    sheet.put(glow, at - reach // CELL, (line + 4) // CELL * CELL + reach, by_light=False)


def _beam(keys: Keys, sheet: Sheet, column: int, line: int) -> None:
    """Beams to both sides of a lamp in place: they taper and thin out."""
    y = np.arange(len(sheet.ink))[:, None] - line
    x = np.arange(sheet.width)
    off = (x - column * CELL + sheet.width // 2) % sheet.width - sheet.width // 2
    away = np.where(off < 0, -1 - off, off)[None, :]
    up = np.where(y < 0, -1 - y, y)
    inside = (up * keys.beam < BEAM * (keys.beam - away)) & (away < keys.beam)
    share = np.array(FADE)[np.minimum(away * len(FADE) // max(1, keys.beam), len(FADE) - 1)]
    shown = inside & (threshold_plane(*sheet.ink.shape) < share)
    sheet.ink[shown] = sheet.tones("glow", DEEP)


def _break(job: Job, keys: Keys, sheet: Sheet, foot: int) -> None:
    """Surf along what stands in the sea, in place."""
    wet = sheet.ink[foot - 1] > 0
    foam = break_sea(wet, keys.surf, hash_words(job.seed, "foam"))
    tone = np.where(foam == 1, sheet.tones("foam", DEEP), sheet.tones("foam", RIM))
    place = sheet.ink[foot - CELL : foot]
    place[:] = np.where(foam[-len(place) :] > 0, tone[-len(place) :], place)


def _reflect(sheet: Sheet, foot: int) -> None:
    """Broken dark lines below, in place; wood and rock look alike in water."""
    wet = sheet.ink[foot - 1] > 0
    wet = np.repeat(wet.reshape(-1, CELL).any(axis=1), CELL)
    x = np.arange(sheet.width) % CELL
    lines = sheet.foot - foot
    for n in range(lines):
        gap, run = REFLECTION[n * len(REFLECTION) // lines]
        there = wet & (x >= gap) & (x < run)
        sheet.ink[foot + n, there] = sheet.tones("wood", SHADE if n == 0 else DEEP)


PAINTER = Painter(
    name="landmark",
    about="One lighthouse on its rock, refuge hut or hut on piles, with its lamp.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
)
