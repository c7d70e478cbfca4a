"""Houses and towers as pieces: walls on whole cells, with windows and doors as stamps.

A house shows its front, and at its right a narrower side in shade; the light comes from the left.
Rows of a piece are cell rows counted from the ground, so walls of all houses share their tiles.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Tones, art, lay
from genbg.paint.painters.bridge.masonry import FEW_BRICKS
from genbg.paint.painters.bridge.roofs import Roof, draw_roof, roof_rows

SMALL = (
    "........ .PP..PP. .PP..PP. .PP..PP. ........ ........ ........ ........",
    "........ ..PPPP.. ..PPPP.. ..PPPP.. ..ssss.. ........ ........ ........",
    "........ ...PP... ..PPPP.. ..PPPP.. ..PPPP.. ........ ........ ........",
)
"""Windows of one cell, for storeys of 8 lines. P pane, s sill."""

TALL = (
    "........ ........ ..fffff. ..fPPPd. ..fPPPd. ..ffffd. ..fPPPd. ..fPPPd. "
    "..fPPPd. ..fPPPd. .sssssss ..ddddd. ........ ........ ........ ........",
    "........ ....f... ...fPf.. ..fPPPd. ..fPPPd. ..fffff. ..fPPPd. ..fPPPd. "
    "..fPPPd. ..fPPPd. .sssssss ..ddddd. ........ ........ ........ ........",
    "........ ........ ........ ..ffffff ..fPPfPd ..fPPfPd ..fPPfPd ..ffffff "
    "..fPPfPd ..fPPfPd .sssssss ..dddddd ........ ........ ........ ........",
    "........ ........ ........ hhPPPhh. hdPPPdh. hdPPPdh. hhfffhh. hhPPPhh. "
    "hdPPPdh. hdPPPdh. .sssss.. ........ ........ ........ ........ ........",
)
"""Windows of one cell by two, for storeys of 16 lines. f frame, d its shadow, h shutter."""

DOORS = (
    "........ ........ ...ff... ..fPPf.. .fPPPPf. .fffffd. .fhhhhd. .fhhhhd. "
    ".fhhhhd. .fhhsdd. .fhhsdd. .fhhhhd. .fhhhhd. .fhhhhd. .fhhhhd. ssssssss",
    "........ ........ ........ ffffffff hrhrhrhr hrhrhrhr .dddddd. .PPPPPPd "
    ".PPPPPPd .PPPPPPd .ffffffd .fhhhhhd .fhhhhhd .fhhhhhd .fhhhhhd ssssssss",
)
"""A door and a shop under its awning, one cell by two."""


@dataclass(frozen=True)
class House:
    """What one house is like.

    columns, rows: of its front, in cells; side: cells of its side in shade; roof: a key of `ROOFS`
    walls: ramp of its walls; tiles: ramp of its roof; storey: lines of a storey, 8 or 16
    windows, lit: shares, 0..1, of places with a window and of windows that shine
    timber: framed in wood; round: a round tower; far: of a farther rank, without door or marks
    """

    columns: int
    rows: int
    side: int
    roof: str
    walls: str
    tiles: str
    storey: int
    windows: float
    lit: float
    seed: int
    timber: bool = False
    round: bool = False
    far: bool = False

    @property
    def width(self) -> int:
        return self.columns + self.side


def draw_house(tones: Tones, house: House) -> np.ndarray:
    """A house (8*(rows+roof), 8*width) as a piece."""
    top = roof_rows(house.roof, house.columns) * CELL
    piece = np.zeros((top + house.rows * CELL, house.width * CELL), dtype=np.int64)
    wall = piece[top:]
    _raise_walls(tones, wall, house)
    if not house.far and house.storey > CELL:
        _mark_walls(tones, wall, house)
    _set_windows(tones, wall, house)
    roof = Roof(house.columns, house.side, house.walls, house.tiles, house.lit, house.seed)
    draw_roof(tones, piece[: top + CELL], house.roof, roof)
    return piece


def _raise_walls(tones: Tones, wall: np.ndarray, house: House) -> None:
    """Front and side in their tones, in place."""
    row = tones.row(house.walls)
    front = house.columns * CELL
    if house.round:
        x = np.arange(front) * 8 // front
        wall[:] = row[np.array([RIM, LIT, LIT, LIT, BETWEEN, SHADE, SHADE, DEEP])[x]]
        return
    wall[:, :front] = row[LIT]
    wall[:, front:] = row[SHADE]
    wall[:, 0] = row[RIM]
    if house.side:
        wall[:, front - 1] = row[RIM]
    else:
        wall[:, front - 2 :] = row[SHADE]
    wall[-2:, :front] = row[SHADE]
    wall[-2:, front:] = row[DEEP]


def _mark_walls(tones: Tones, wall: np.ndarray, house: House) -> None:
    """A timber frame, or a few bricks that show, in place; front only."""
    row = tones.row(house.walls)
    rows, front = house.rows, house.columns * CELL
    if house.timber:
        beam = tones(house.tiles, DEEP)
        for top in range(0, rows * CELL - 2 * CELL, 2 * CELL):
            wall[top + 2 * CELL - 2 : top + 2 * CELL, :front] = beam
        wall[: -2 * CELL, 0:2] = beam
        wall[: -2 * CELL, front - 2 : front] = beam
        return
    marked = pick(house.seed, 7, np.arange(rows)[:, None], np.arange(house.columns), 9) == 0
    marks = np.kron(marked, np.ones((CELL, CELL), dtype=bool))
    marks &= np.tile(FEW_BRICKS != 0, (rows, house.columns))
    part = wall[:, :front]
    part[marks & (part == row[LIT])] = row[SHADE]


def _set_windows(tones: Tones, wall: np.ndarray, house: House) -> None:
    """Windows of the front and of the side, and a door, in place."""
    cells = house.storey // CELL
    storeys = house.rows // cells
    first = house.rows - storeys * cells
    door = -1
    if cells == 2 and storeys > 0 and not house.far:
        door = pick_one(house.seed, house.columns, "door")
    style = pick_one(house.seed, len(SMALL if cells == 1 else TALL), "style")
    for side, left, count in ((0, 0, house.columns), (1, house.columns, house.side)):
        stations = _stations(house, count, side)
        floors = np.arange(storeys)
        there, lit = _choose_windows(house, floors, stations, side)
        stamps = [_window(tones, house, style, side, on) for on in (False, True)]
        for floor, column in zip(*(a.tolist() for a in np.nonzero(there)), strict=True):
            station = int(stations[column])
            if floor == storeys - 1 and side == 0 and abs(station - door) < 2 and door >= 0:
                continue
            stamp = stamps[int(lit[floor, column])]
            lay(wall, stamp, (left + station) * CELL, (first + floor * cells) * CELL)
    if door >= 0:
        on = pick_one(house.seed, 1000, "door light") < house.lit * 1600
        text = DOORS[pick_one(house.seed, 2, "door kind")]
        stamp = art(text, _window_inks(tones, house, 0, on))
        lay(wall, stamp, door * CELL, house.rows * CELL - 2 * CELL)


def _stations(house: House, count: int, side: int) -> np.ndarray:
    """Cell columns of a face that take windows: a rhythm of its own for each house."""
    if count < 1 or (count < 2 and side == 1):
        return np.arange(0)
    if house.round:
        return np.array([count // 2 - (count % 2 == 0)])
    if house.storey == CELL:
        return np.arange(count)
    step = 1 if count < 4 else 2 - (pick_one(house.seed, 4, side, "rhythm") == 3)
    return np.arange((count - 1) % step, count, step)


def _choose_windows(
    house: House, floors: np.ndarray, stations: np.ndarray, side: int
) -> tuple[np.ndarray, np.ndarray]:
    """Which places have a window, and which of these shine: (F, S) bool each."""
    floor, station = np.meshgrid(floors, stations, indexing="ij")
    if not floor.size:
        none = np.zeros(floor.shape, dtype=bool)
        return none, none
    there = pick(house.seed, 1000, floor, station, side, 1) < house.windows * 1000
    # A whole storey is more awake or more asleep: lights gather.
    awake = pick(house.seed, 600, floor, 2) - 300
    lit = pick(house.seed, 1000, floor, station, side, 3) + awake < house.lit * 1000
    return there, lit & there & (house.lit > 0)


def _window(tones: Tones, house: House, style: int, side: int, lit: bool) -> np.ndarray:
    texts = SMALL if house.storey == CELL else TALL
    return art(texts[style], _window_inks(tones, house, side, lit))


def _window_inks(tones: Tones, house: House, side: int, lit: bool) -> dict[str, int]:
    base = LIT if side == 0 else SHADE
    glow = (BETWEEN if side or house.far else RIM) if lit else DEEP
    return {
        "P": tones("window", glow) if lit else tones(house.walls, DEEP),
        "f": tones("window", DEEP) if lit else tones(house.walls, base - 1),
        "d": tones(house.walls, max(base - 2, DEEP)),
        "s": tones(house.walls, base + 1),
        "h": tones(house.tiles, base - 1 if side else BETWEEN),
        "r": tones(house.walls, RIM),
    }
