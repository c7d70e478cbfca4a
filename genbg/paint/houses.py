"""Houses and towers as pieces: walls on whole cells, roofs at whole slopes, windows as stamps.

A house shows its front, and at its right a narrower side in shade; the light comes from the left.
Rows of a piece are cell rows, so walls of all houses share their patterns.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft import CELL
from genbg.paint.masonry import dome_mask
from genbg.paint.pieces import BETWEEN, DEEP, LIT, RIM, SHADE, Tones, art, lay
from genbg.paint.scatter import pick, pick_one

ROOFS = ("gable", "hip", "flat", "dome", "spire", "steps", "battlement")

SMALL = (
    "........ .PP..PP. .PP..PP. .PP..PP. ........ ........ ........ ........",
    "........ ..PPPP.. ..PPPP.. ..PPPP.. ..ssss.. ........ ........ ........",
    "........ ...PP... ..PPPP.. ..PPPP.. ..PPPP.. ........ ........ ........",
)
"""Windows of one cell, for storeys of 8 lines. P pane, s sill."""

TALL = (
    "........ ........ ..fffff. ..fPPPd. ..fPfPd. ..fPPPd. ..fPPPd. ..fPfPd. "
    "..fPPPd. ..fPPPd. .sssssss ..ddddd. ........ ........ ........ ........",
    "........ ....f... ...fPf.. ..fPPPd. ..fPPPd. ..fffff. ..fPPPd. ..fPPPd. "
    "..fPPPd. ..fPPPd. .sssssss ..ddddd. ........ ........ ........ ........",
    "........ ........ ........ ..ffffff ..fPPfPd ..fPPfPd ..fPPfPd ..ffffff "
    "..fPPfPd ..fPPfPd .sssssss ..dddddd ........ ........ ........ ........",
)
"""Windows of one cell by two, for storeys of 16 lines. f frame, d its shadow."""

TILES = np.array(
    [
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, -1],
        [-1, -1, -1, -1, -1, -1, -1, -1],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, -1, 0, 0, 0, 0],
        [-1, -1, -1, -1, -1, -1, -1, -1],
        [0, 0, 0, 0, 0, 0, 0, 0],
    ]
)
"""Tone changes of courses of roof tiles, one cell."""

FINIAL = "...40... ...40... ..4330.. ..3320.. ...20... ...20... ...20... ...20..."
CHIMNEY = "44444220 33333110 .333210. .333210. .333210. .333210. .333210. .333210."
TANK = (
    ".....444444..... ...4433333322... ..433333332221.. ..000000000000.. "
    "..333333332221.. ..333333332221.. ..222222221110.. ..333333332221.. "
    "..333333332221.. ..222222221110.. ..000000000000.. ...2...22...1... "
    "...2...22...1... ...2..2..1..1... ...2.2....1.1... ...22......11..."
)


@dataclass(frozen=True)
class House:
    """What one house is like.

    columns, rows: of its front, in cells; side: cells of its side in shade
    roof: one of ROOFS; roof_rows: cells that the roof takes
    walls: ramp of its walls; storey: lines of a storey, 8 or 16
    windows, lit: shares, 0..1, of places with a window and of windows that shine
    lifted: tones by which far houses lose contrast, 0 or 1
    """

    columns: int
    rows: int
    side: int
    roof: str
    walls: str
    storey: int
    windows: float
    lit: float
    seed: int
    rank: int = 0

    @property
    def width(self) -> int:
        return self.columns + self.side

    @property
    def roof_rows(self) -> int:
        n = self.columns
        return {
            "gable": (n + 1) // 2,
            "hip": 2 if n < 6 else 3,
            "flat": 1,
            "dome": (n + 1) // 2 + 2,
            "spire": 2 * n + 1,
            "steps": (n + 1) // 2,
            "battlement": 1,
        }[self.roof]


def draw_house(tones: Tones, house: House) -> np.ndarray:
    """A house (8*(rows+roof), 8*width) as a piece."""
    top = house.roof_rows * CELL
    piece = np.zeros((top + house.rows * CELL, house.width * CELL), dtype=np.int64)
    _draw_walls(tones, piece[top:], house)
    _ROOFS[house.roof](tones, piece[: top + CELL], house)
    return piece


def _draw_walls(tones: Tones, wall: np.ndarray, house: House) -> None:
    """Front and side with their windows, in place."""
    row = tones.row(house.walls)
    front = house.columns * CELL
    wall[:, :front] = row[LIT]
    wall[:, front:] = row[SHADE]
    wall[:, 0] = row[RIM]
    if house.side:
        wall[:, front - 1] = row[RIM]
    else:
        wall[:, front - 2 :] = row[SHADE]
    wall[-2:, :front] = row[BETWEEN]
    wall[-2:, front:] = row[DEEP]
    cells = house.storey // CELL
    floors = np.arange((house.rows - (cells - 1)) // cells)
    style = pick_one(house.seed, 3, "style")
    for side, first, count in ((0, 0, house.columns), (1, house.columns, house.side)):
        stations = _stations(house, count, side)
        if not len(stations) or not len(floors):
            continue
        there, lit = _choose_windows(house, floors, stations, side)
        for n, floor in enumerate(floors.tolist()):
            for m, station in enumerate(stations.tolist()):
                if there[n, m]:
                    stamp = _window(tones, house, style, side, bool(lit[n, m]))
                    lay(wall, stamp, (first + station) * CELL, floor * house.storey)


def _stations(house: House, count: int, side: int) -> np.ndarray:
    """Cell columns of a face that take windows: a rhythm of its own for each house."""
    if house.storey == CELL:
        return np.arange(count) if side == 0 or count > 1 else np.arange(0)
    step = 1 if count < 4 else 2 - pick_one(house.seed, 4, side, "rhythm") // 3
    first = 0 if count < 3 else (count - 1) % step // 2 if step > 1 else 0
    return np.arange(first, count, step) if count > 1 or side == 0 else np.arange(0)


def _choose_windows(
    house: House, floors: np.ndarray, stations: np.ndarray, side: int
) -> tuple[np.ndarray, np.ndarray]:
    """Which places have a window, and which of these shine: (F, S) bool each."""
    floor, station = floors[:, None], stations[None, :]
    there = pick(house.seed, 1000, floor, station, side, 1) < house.windows * 1000
    # A whole storey is more awake or more asleep: lights gather.
    awake = pick(house.seed, 1000, floor, 2) - 500
    lit = pick(house.seed, 1000, floor, station, side, 3) + awake // 2 < house.lit * 1000
    return there, lit & there


def _window(tones: Tones, house: House, style: int, side: int, lit: bool) -> np.ndarray:
    base = LIT if side == 0 else SHADE
    pane = tones("window", (LIT if side == 0 else BETWEEN)) if lit else tones(house.walls, DEEP)
    if lit and house.rank:
        pane = tones("window", DEEP)
    inks = {
        "P": pane,
        "f": tones("window", DEEP) if lit else tones(house.walls, max(base - 1, 0)),
        "d": tones(house.walls, max(base - 1, DEEP)),
        "s": tones(house.walls, min(base + 1, RIM)),
    }
    return art((SMALL if house.storey == CELL else TALL)[style], inks)


def _gable(tones: Tones, area: np.ndarray, house: House) -> None:
    """A gable over the front; the roof runs back over the side."""
    wall, roof = tones.row(house.walls), tones.row("roof")
    front = house.columns * CELL
    lines = len(area) - CELL
    half = (front + 1) // 2
    rise = min(lines, half)
    x = np.arange(area.shape[1])[None, :]
    y = np.arange(rise)[:, None]
    part = area[lines - rise : lines]
    left, right = half - 1 - y, half + y + front % 2
    tile = np.tile(TILES, (-(-rise // CELL), area.shape[1] // CELL))[:rise]
    back = (x > right) & (x <= right + house.side * CELL)
    part[back] = roof[np.clip(SHADE + tile, DEEP, RIM)][back]
    inside = (x >= left) & (x <= right)
    part[inside] = wall[LIT]
    part[inside & (x < left + 4)] = roof[RIM]
    part[inside & (x >= left + 2) & (x < left + 4)] = roof[LIT]
    part[inside & (x > right - 4)] = roof[BETWEEN]
    part[inside & (x > right - 2)] = roof[SHADE]
    part[inside & (x >= left + 4) & (x < left + 6)] = wall[SHADE]
    if rise >= 2 * CELL:
        hole = (
            tones("window", LIT)
            if pick_one(house.seed, 100, "loft") < house.lit * 100
            else wall[DEEP]
        )
        area[lines - 8 : lines - 3, half - 2 : half + 2] = hole
    area[lines : lines + 2, :front] = wall[SHADE]


def _hip(tones: Tones, area: np.ndarray, house: House) -> None:
    """A tiled roof with its eaves to the front, cut at 45 degrees at both ends."""
    roof, wall = tones.row("roof"), tones.row(house.walls)
    lines = len(area) - CELL
    x, y = np.arange(area.shape[1])[None, :], np.arange(lines)[:, None]
    front = house.columns * CELL
    tile = np.tile(TILES, (lines // CELL, area.shape[1] // CELL))
    body = (x >= (lines - 1 - y) // 2) & (x < area.shape[1] - (lines - 1 - y))
    split = front - (lines - 1 - y) // 2 if house.side else front - (lines - 1 - y)
    tone = np.where(x < split, LIT, SHADE) + tile
    tone = np.where(y < 2, RIM, tone)
    area[:lines][body] = roof[np.clip(tone, DEEP, RIM)][body]
    area[lines - 1] = roof[SHADE]
    area[lines : lines + 2] = wall[DEEP]
    if house.columns > 3 and pick_one(house.seed, 2, "chimney"):
        stack = art(CHIMNEY, dict(zip("01234", wall.tolist(), strict=True)))
        place = 1 + pick_one(house.seed, house.columns - 2, "stack")
        area[: CELL - 2, place * CELL : (place + 1) * CELL] = 0
        lay(area, stack, place * CELL, 0)


def _flat(tones: Tones, area: np.ndarray, house: House) -> None:
    """A parapet, and on it a water tank, a hut or a pole."""
    wall = tones.row(house.walls)
    front = house.columns * CELL
    lines = len(area) - CELL
    area[lines - 3 : lines] = wall[LIT]
    area[lines - 3] = wall[RIM]
    area[lines - 3 : lines, front:] = wall[SHADE]
    area[lines : lines + 2] = wall[SHADE]


def _steps(tones: Tones, area: np.ndarray, house: House) -> None:
    """A gable in steps of a cell."""
    wall = tones.row(house.walls)
    front = house.columns * CELL
    lines = len(area) - CELL
    for n in range(lines // CELL):
        y = lines - (n + 1) * CELL
        left, right = n * CELL, front - n * CELL
        if right - left < CELL:
            break
        area[y : y + CELL, left:right] = wall[LIT]
        area[y, left:right] = wall[RIM]
        area[y : y + CELL, left] = wall[RIM]
        area[y : y + CELL, right - 2 : right] = wall[SHADE]
        if right - left > 2 * CELL:
            area[y + 3 : y + 7, (left + right) // 2 - 2 : (left + right) // 2 + 2] = wall[DEEP]
    if house.side:
        area[lines - 2 * CELL + 4 : lines, front:] = tones("roof", SHADE)
        area[lines - 2 * CELL + 4, front:] = tones("roof", LIT)


def _battlement(tones: Tones, area: np.ndarray, house: House) -> None:
    """Merlons on a corbel."""
    wall = tones.row(house.walls)
    lines = len(area) - CELL
    front = house.columns * CELL
    x = np.arange(area.shape[1])
    tone = np.where(x < front, LIT, SHADE)
    area[lines - CELL + 4 : lines] = wall[tone]
    merlon = x % CELL < 5
    area[lines - CELL + 1 : lines - CELL + 4, merlon] = wall[tone][merlon]
    area[lines - CELL, merlon] = wall[np.minimum(tone + 1, RIM)][merlon]
    area[lines : lines + 2] = wall[np.maximum(tone - 2, DEEP)]


def _dome(tones: Tones, area: np.ndarray, house: House) -> None:
    """A dome on a drum, with a finial."""
    roof, wall = tones.row("roof"), tones.row(house.walls)
    lines = len(area) - CELL
    front = area.shape[1]
    high = lines - 2 * CELL
    mask = dome_mask(front // CELL, high)
    x = np.arange(front)[None, :]
    half = front // 2
    reach = mask.sum(axis=1, keepdims=True) // 2
    across = (x - half) * 8 // np.maximum(reach, 1)
    tone = np.where(
        across < -5, LIT, np.where(across < -2, RIM, np.where(across < 2, LIT, BETWEEN))
    )
    tone = np.where(across >= 5, SHADE, tone)
    part = area[2 * CELL - 4 : 2 * CELL - 4 + high]
    part[mask] = roof[tone][mask]
    drum = area[lines - 4 : lines]
    drum[:] = wall[LIT]
    drum[:, front * 2 // 3 :] = wall[SHADE]
    drum[0] = wall[RIM]
    key = dict(zip("01234", roof.tolist(), strict=True))
    lay(area, art(FINIAL, key), half - 4, CELL - 4)
    area[lines : lines + 2] = wall[SHADE]


def _spire(tones: Tones, area: np.ndarray, house: House) -> None:
    """A steep cone, lit at its left, with a finial."""
    roof, wall = tones.row("roof"), tones.row(house.walls)
    lines = len(area) - CELL
    width = area.shape[1]
    half = width // 2
    high = lines - CELL
    y = np.arange(high)[:, None]
    x = np.arange(width)[None, :]
    reach = np.minimum((y + 1) // 4 + 1, half)
    body = np.abs(2 * x + 1 - 2 * half) < 2 * reach
    side = (x - half) * 4 // reach
    tone = np.where(side < -2, RIM, np.where(side < 0, LIT, np.where(side < 2, BETWEEN, SHADE)))
    part = area[CELL:lines]
    part[body] = roof[tone][body]
    lay(area, art(FINIAL, dict(zip("01234", roof.tolist(), strict=True))), half - 4, 0)
    area[lines - 1, :] = roof[SHADE]
    area[lines : lines + 2] = wall[DEEP]


_ROOFS = {
    "gable": _gable,
    "hip": _hip,
    "flat": _flat,
    "dome": _dome,
    "spire": _spire,
    "steps": _steps,
    "battlement": _battlement,
}
