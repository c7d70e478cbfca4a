"""Painter of towns: rows of houses and towers, by day and with lit windows by night.

Houses stand on the cell grid, one rank before the other; a farther rank is paler and its houses
rise above the nearer one's roofs. Whether it is day or night is a matter of `lit` and of colours.
"""

from __future__ import annotations

from dataclasses import dataclass

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.fields import profile
from genbg.paint.houses import House, draw_house
from genbg.paint.pieces import Sheet, Tones
from genbg.paint.scatter import hash_words, pick_one, pick_weighted

CELL = 8
STYLES = {
    "pitched": {"gable": 4, "hip": 4, "steps": 2},
    "flat": {"flat": 6, "battlement": 1, "steps": 1},
    "domes": {"flat": 3, "dome": 3, "battlement": 1},
    "mixed": {"gable": 3, "hip": 3, "flat": 2, "dome": 1, "steps": 2},
}
"""Roofs of each style, with weights."""
TOWERS = {
    "pitched": ("spire", "gable"),
    "flat": ("flat", "battlement"),
    "domes": ("dome", "battlement"),
    "mixed": ("spire", "dome", "battlement"),
}


@dataclass(frozen=True)
class TownKeys:
    """Keys of the town painter."""

    height: float = key(
        0.85, "float", "Height of the tallest house, a share of the lines.", low=0.1, high=1
    )
    density: float = key(0.8, "float", "How closely houses stand.", low=0.05, high=1)
    ranks: int = key(2, "int", "Rows of houses one behind the other.", low=1, high=3)
    width: int = key(40, "int", "Width of a usual house.", low=16, high=128, unit="pixels")
    roofs: str = key("pitched", "choice", "Roofs.", choices=tuple(STYLES))
    towers: float = key(0.2, "float", "Share of houses that are towers.", low=0, high=1)
    storey: int = key(
        16, "int", "Lines of a storey: 8 is a far town, 16 a near one.", low=8, high=16
    )
    windows: float = key(0.8, "float", "Share of places with a window.", low=0, high=1)
    lit: float = key(0.1, "float", "Share of windows that shine.", low=0, high=1)


RAMPS = (
    Ramp("wall", "Stone walls.", ("#33335c", "#6d6d92", "#b6a292", "#ffe8c8"), 4),
    Ramp("plaster", "Painted walls.", ("#492449", "#925b5b", "#dba27f", "#ffe0b6"), 4),
    Ramp("roof", "Roofs.", ("#491832", "#92324c", "#c8584c", "#ff926d"), 4),
    Ramp("behind", "Walls and roofs of the farther ranks.", ("#5c5c8a", "#8a8ab0", "#a8a0b8"), 3),
    Ramp("window", "Windows that shine.", ("#db6d24", "#ffb649", "#ffffb6"), 3, True),
)


def paint_town(job: Job) -> Painting:
    """A town along the whole width, its ground at the layer's last line."""
    keys: TownKeys = job.params
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    for rank in reversed(range(keys.ranks)):
        _build_rank(job, keys, sheet, rank)
    return sheet.painting(("window",))


def _build_rank(job: Job, keys: TownKeys, sheet: Sheet, rank: int) -> None:
    """One row of houses; rank 0 is the nearest."""
    seed = hash_words(job.seed, "rank", rank)
    full = keys.height * job.lines / CELL
    tall = full * (1 - 0.28 * (keys.ranks - 1 - rank) * (1 if keys.ranks > 1 else 0))
    swell = profile(sheet.columns, hash_words(seed, "swell"), 5, 3)
    column = pick_one(seed, 8, "start")
    end = column + sheet.columns
    number = 0
    while column < end:
        own = hash_words(seed, number)
        tower = pick_one(own, 1000, "tower") < keys.towers * 1000
        share = 0.62 + 0.5 * float(swell[column % sheet.columns])
        house = plan_house(keys, own, rank, max(2.0, tall * share), tower, full)
        house = _fit(house, end - column)
        piece = draw_house(sheet.tones, house)
        sheet.put(piece, column % sheet.columns, sheet.foot)
        gap = round((1 - keys.density) * keys.width / CELL * pick_one(own, 4, "gap") / 1.5)
        column += max(1, house.width - pick_one(own, 2, "over")) + gap
        number += 1


def _fit(house: House, room: int) -> House:
    """The last house of a row is as wide as the gap it closes."""
    if house.width <= room or room < 2:
        return house
    side = min(house.side, room - 2)
    return House(
        room - side, house.rows, side, house.roof, house.walls, house.storey, house.windows,
        house.lit, house.seed, house.rank,
    )  # fmt: skip


def plan_house(
    keys: TownKeys, seed: int, rank: int, tall: float, tower: bool, full: float
) -> House:
    """Choose what one house is like; `tall` and `full` are cells it may rise."""
    usual = keys.width / CELL
    if tower:
        columns = max(2, round(usual * 0.4) + pick_one(seed, 2, "wide"))
        names = TOWERS[keys.roofs]
        roof = names[pick_one(seed, len(names), "roof")]
        tall = min(full, tall * 1.45)
    else:
        columns = max(2, round(usual * (0.6 + 0.2 * pick_one(seed, 5, "wide"))))
        names = tuple(STYLES[keys.roofs])
        weights = tuple(STYLES[keys.roofs].values())
        roof = names[int(pick_weighted(seed, weights, 0)[0])]
    side = 0 if columns < 3 or roof == "spire" else pick_one(seed, 3, "side")
    side = min(side, columns // 2)
    walls = "behind" if rank else ("wall", "plaster")[pick_one(seed, 2, "walls")]
    draft = House(columns, 1, side, roof, walls, keys.storey, keys.windows, keys.lit, seed, rank)
    rows = max(1, round(tall) - draft.roof_rows)
    return House(columns, rows, side, roof, walls, keys.storey, keys.windows, keys.lit, seed, rank)


PAINTER = Painter(
    name="town",
    about="Houses and towers by day, and by night with lit windows.",
    params=TownKeys,
    ramps=RAMPS,
    paint=paint_town,
    thrift=0.7,
)
