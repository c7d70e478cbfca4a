"""Painter of towns: rows of houses and towers, by day and with lit windows by night.

Houses stand on the cell grid, one rank before the other; a farther rank is paler and its houses
rise above the nearer one's roofs. Whether it is day or night is a matter of `lit` and of colours.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import profile
from genbg.paint.craft.paths import draw_paths
from genbg.paint.craft.scatter import hash_words, pick_one, pick_weighted
from genbg.paint.craft.sheet import BETWEEN, DEEP, RIM, SHADE, Sheet
from genbg.paint.painters.town.kilns import NECK, SHOULDER, draw_kiln, draw_smoke
from genbg.paint.parts.houses import House, draw_house
from genbg.paint.parts.roofs import roof_rows

STYLES = {
    "pitched": {"gable": 4, "hip": 4, "steps": 2},
    "flat": {"flat": 6, "battlement": 1, "steps": 1},
    "domes": {"flat": 3, "dome": 3, "battlement": 1},
    "mixed": {"gable": 3, "hip": 3, "flat": 2, "dome": 1, "steps": 2},
}
"""Roofs of each style, with weights."""
TOWERS = {
    "pitched": ("spire", "spire", "gable"),
    "flat": ("flat", "battlement"),
    "domes": ("dome", "battlement", "spire"),
    "mixed": ("spire", "dome", "battlement"),
}
"""Roofs of towers of each style."""
SMOKE = 5
"""Cell rows of smoke over a kiln."""
LOW = (1, 3, 0, 4, 2)
"""Cell rows by which kilns are lower than the highest, in turn; each once, so that no two of a row
are alike."""
WET = ((0, 8), (1, 8), (0, 8), (0, 6), (2, 8), (0, 5), (4, 8), (0, 0), (1, 6), (0, 0), (4, 8))
"""Of each cell, the pixels in which water mirrors a house, from the shore on."""


@dataclass(frozen=True)
class Keys:
    """Keys of the town painter."""

    height: float = key(
        0.9, "float", "Height of the tallest house, a share of the lines.", low=0.1, high=1
    )
    density: float = key(0.9, "float", "How closely houses stand.", low=0.05, high=1)
    cluster: int = key(
        0,
        "int",
        "Houses that stand together, each over its neighbour's edge; 0: as density has it.",
        low=0,
        high=12,
    )
    ranks: int = key(2, "int", "Rows of houses one behind the other.", low=1, high=3)
    width: int = key(40, "int", "Width of a usual house.", low=16, high=128, unit="pixels")
    roofs: str = key("pitched", "choice", "Roofs.", choices=tuple(STYLES))
    towers: float = key(0.2, "float", "Share of houses that are towers.", low=0, high=1)
    storey: int = key(
        16, "int", "Lines of a storey, in whole cells: 8 a far town, 16 a near one.", low=8, high=16
    )
    kilns: float = key(0.0, "float", "Share of houses that are smoking kilns.", low=0, high=1)
    timber: float = key(0.3, "float", "Share of painted houses framed in wood.", low=0, high=1)
    windows: float = key(0.8, "float", "Share of places with a window.", low=0, high=1)
    lit: float = key(0.1, "float", "Share of windows that shine.", low=0, high=1)
    shore: int = key(
        0,
        "int",
        "Lines at the foot that are a stony shore and houses mirrored in the water before it.",
        low=0,
        high=32,
        unit="lines",
    )


RAMPS = (
    Ramp("wall", "Stone walls.", ("#33335c", "#6d6d92", "#b6a292", "#ffe8c8"), 4),
    Ramp("plaster", "Painted walls.", ("#492449", "#925b5b", "#dba27f", "#ffe0b6"), 4),
    Ramp("roof", "Roofs.", ("#491832", "#92324c", "#c8584c", "#ff926d"), 4),
    Ramp("behind", "Walls of the farther ranks.", ("#5c5c8a", "#8a8ab0", "#a8a0b8"), 3),
    Ramp("ridges", "Roofs of the farther ranks.", ("#6d4973", "#a86d86"), 2),
    Ramp("smoke", "Smoke of the kilns.", ("#5c4968", "#8a6d86", "#b692a2"), 3),
    Ramp("window", "Windows that shine.", ("#db6d24", "#ffb649", "#ffffb6"), 3, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """A town along the whole width, its ground at the layer's last line or above its shore."""
    sheet = Sheet(job, RAMPS)
    shore = min(keys.shore, job.lines // 2) // CELL * CELL
    sheet.foot -= shore
    for rank in reversed(range(keys.ranks)):
        _build_rank(job, keys, sheet, rank)
    if shore:
        _lay_shore(job, sheet, shore)
    return sheet.painting(("window",))


def _build_rank(job: Job, keys: Keys, sheet: Sheet, rank: int) -> None:
    """One row of houses; rank 0 is the nearest and the lowest."""
    seed = hash_words(job.seed, "rank", rank)
    full = keys.height * (sheet.foot - sheet.phase) / CELL
    tall = full * (1 - 0.16 * (keys.ranks - 1 - rank))
    swell = profile(sheet.columns, hash_words(seed, "swell"), 5, 3)
    swell = (swell - swell.min()) / max(float(swell.max() - swell.min()), 0.01)
    column, end = 0, sheet.columns
    number, kilns, last = 0, 0, ""
    while column < end:
        own = hash_words(seed, number)
        share = 0.76 + 0.26 * float(swell[column % sheet.columns]) - 0.06 * pick_one(own, 4, "low")
        house = plan_house(keys, own, rank, tall * min(share, 1.0), full, last)
        last = house.roof
        if number == 0:
            # The first house stands across the wrap, so that no wall ends there.
            column = -(house.width // 2)
            end += column
        house = _fit(house, end - column)
        kiln = pick_one(own, 1000, "kiln") < keys.kilns * 1000 and house.width > 3
        if kiln and kilns < len(LOW):
            _build_kiln(sheet, house, column, round(full) - SMOKE - LOW[kilns])
            kilns += 1
        else:
            sheet.put(draw_house(sheet.tones, house), column % sheet.columns, sheet.foot)
        gap = pick_one(own, 1 + round((1 - keys.density) * keys.width / CELL * 2), "gap")
        if keys.cluster:
            first = (number + 1) % keys.cluster == 0
            street = max(3, round((1 - keys.density) * keys.width / CELL * 2))
            gap = street if first else -pick_one(own, 2, "into")
        column += max(1, house.width - pick_one(own, 2, "over") + gap)
        number += 1


def _lay_shore(job: Job, sheet: Sheet, lines: int) -> None:
    """Stones with an uneven waterline below the houses, and broken images of these, in place."""
    foot, tones = sheet.foot, sheet.tones
    middles = sheet.ink[foot - 1, CELL // 2 :: CELL]
    x = np.arange(sheet.width) % CELL
    for ramp in ("wall", "plaster", "behind"):
        house = np.repeat(tones.holds(middles, ramp), CELL)
        for n in range(lines):
            left, right = WET[n * len(WET) // lines]
            ink = tones(ramp, BETWEEN) if n < lines // 2 else tones("roof", SHADE)
            sheet.ink[foot + n, house & (x >= left) & (x < right)] = ink
    line = profile(sheet.columns, hash_words(job.seed, "shore"), 9, 2)
    line = (line - line.min()) / max(float(line.max() - line.min()), 0.01)
    ends = 4 + 2 * np.floor(2.0 * line + 0.5).astype(np.int64)
    edge = draw_paths(np.append(ends, ends[0])[None], hash_words(job.seed, "stones"), 1, 0)[0]
    down = np.arange(CELL)[:, None]
    tone = np.where(down < edge // 2, RIM, np.where(down < edge - 1, SHADE, DEEP))
    bank = sheet.ink[foot : foot + CELL]
    bank[:] = np.where(down < edge, tones.row("wall")[tone], bank)


def _build_kiln(sheet: Sheet, house: House, column: int, rows: int) -> None:
    """A kiln about `rows` cells high in a house's place, with its smoke."""
    high = max(NECK + SHOULDER + 2, rows)
    wide = 4 if house.width < 6 else 6
    walls = house.walls if house.far else "wall"
    kiln = draw_kiln(sheet.tones, walls, wide, high, house.seed, house.far)
    sheet.put(kiln, column % sheet.columns, sheet.foot)
    if not house.far:
        smoke = draw_smoke(sheet.tones, 8, SMOKE + 1)
        middle = (column + wide // 2) % sheet.columns
        left = middle - 7 if sheet.turned else middle - 1
        sheet.put(smoke, left, sheet.foot - high * CELL + 2)


def _fit(house: House, room: int) -> House:
    """The last house of a row is as wide as the gap it closes."""
    if house.width <= room or room < 2:
        return house
    side = min(house.side, max(0, room - 3))
    grown = roof_rows(house.roof, house.columns) - roof_rows(house.roof, room - side)
    return replace(house, columns=room - side, side=side, rows=max(1, house.rows + grown))


def plan_house(keys: Keys, seed: int, rank: int, tall: float, full: float, last: str) -> House:
    """Choose what one house is like.

    tall: cells it should rise, full: cells it may rise; last: its neighbour's roof
    """
    usual = keys.width / CELL
    tower = pick_one(seed, 1000, "tower") < keys.towers * 1000
    if tower:
        columns = min(4, max(2, round(usual * 0.35) + pick_one(seed, 2, "wide")))
        names = [name for name in TOWERS[keys.roofs] if name != last] or list(TOWERS[keys.roofs])
        roof = names[pick_one(seed, len(names), "roof")]
        tall = min(full, max(1.15 * tall, roof_rows(roof, columns) + 5.0))
    else:
        columns = max(2, round(usual * (0.6 + 0.2 * pick_one(seed, 4, "wide"))))
        weights = {name: n for name, n in STYLES[keys.roofs].items() if name != last}
        roof = tuple(weights)[int(pick_weighted(seed, tuple(weights.values()), 0)[0])]
        columns = min(columns, 5) if roof == "dome" else columns
        tall *= 0.92 if rank else 0.84
    side = 0 if columns < 3 or roof in ("spire", "dome", "steps") else pick_one(seed, 3, "side")
    painted = pick_one(seed, 2, "walls") == 1
    rows = max(1, round(tall) - (1 if roof == "flat" else roof_rows(roof, columns)))
    return House(
        columns,
        rows,
        min(side, columns // 2),
        roof,
        "behind" if rank else ("plaster" if painted else "wall"),
        "ridges" if rank else "roof",
        keys.storey // CELL * CELL,
        keys.windows,
        keys.lit,
        seed,
        timber=painted and not tower and pick_one(seed, 1000, "timber") < keys.timber * 1000,
        round=roof == "spire",
        far=rank > 0,
    )


PAINTER = Painter(
    name="town",
    about="Houses and towers by day, and by night with lit windows.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
)
