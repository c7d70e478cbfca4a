"""Roofs as pieces: gables, hips, steps, parapets, battlements, domes, spires.

A roof is drawn in place on the area above a house's walls and on the first cell row of the walls,
where it throws its shadow. Slopes are whole (45 degrees, or 4 lines a pixel), so that roofs of all
widths share their tiles. Light comes from the left.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Tones, art, lay
from genbg.paint.painters.bridge.masonry import dome_mask

TILE_MARKS = np.array(
    [
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [1, 1, 1, 1, 0, 0, 0, 1],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 0, 0, 0],
        [0, 0, 1, 1, 1, 0, 0, 0],
    ],
    dtype=bool,
)
"""Where courses of tiles show, one cell."""

BALL = "...4.... ...4.... ..4L3... .4LLL2.. .LLLL2.. ..LL2... ...2.... ..332..."
"""A lamp on a roof's point; L shines."""
VANE = "...4.... ..442... 44444422 ..442... ...4.... ...4.... ...3.... ..332..."
CHIMNEY = "44444220 33333110 .333210. .333210. .333210. .333210. .333210. .333210."
DORMER = (
    "........4....... .......444...... ......44332..... .....44w3322.... ....44www3222... "
    "...44wwwww3222.. ..4.wPPPw..22... ....wPPPw....... ....wPPPw....... ....wPPPw....... "
    "....wwwww......."
)
TANK = (
    ".....444444..... ...4433333322... ..433333332221.. ..000000000000.. "
    "..333333332221.. ..333333332221.. ..222222221110.. ..333333332221.. "
    "..333333332221.. ..222222221110.. ..000000000000.. ...2...22...1... "
    "...2...22...1... ...2..2..1..1... ...2.2....1.1... ...22......11..."
)
HUT = (
    "44444444444444.. 22222222222222.. .3333333333321.. .3333333333321.. .33PPP33PPP321.. "
    ".33PPP33PPP321.. .3333333333321.. .3333333333321.."
)
POLE = "...4.... ...4rr.. ...4rrrr ...4rr.. ...2.... ...2.... ...2.... ...2...."
LAUNDRY = (
    "0......................0 0......................0 0rr44.rrr..444.44.rrr..0 "
    "0.rrr4.rrr..444444.rrr.0 0.rrr..rrr..444.44.rrr.0 0.rrr..rrr..4......rrr.0 "
    "0......rrr.............0 0......................0"
)
CRATES = (
    "........44..44.. .......4433.432. ...444.43333322. ..4333233333222. .444444444444442. "
    ".33333333333332. .33333333333332. .33333333333332."
)
ROOFTOPS = (TANK, HUT, POLE, LAUNDRY, CRATES)


@dataclass(frozen=True)
class Roof:
    """What a roof needs to know.

    columns, side: cells of the front and of the side in shade
    walls, tiles: ramps; lit: share of lofts and dormers that shine; seed: the house's own
    """

    columns: int
    side: int
    walls: str
    tiles: str
    lit: float
    seed: int

    @property
    def front(self) -> int:
        return self.columns * CELL

    def pane(self, tones: Tones, place: str) -> int:
        """Ink of a pane under the roof, lit or not."""
        lit = pick_one(self.seed, 1000, place) < self.lit * 1000
        return tones("window", LIT) if lit else tones(self.walls, DEEP)


def roof_rows(kind: str, columns: int) -> int:
    """Cells that a roof takes above the walls."""
    return {
        "gable": (columns + 1) // 2,
        "hip": 2 if columns < 6 else 3,
        "flat": 3,
        "dome": (columns + 1) // 2 + 2,
        "spire": min(2 * columns + 1, 7),
        "steps": (columns + 1) // 2,
        "battlement": 1,
    }[kind]


def draw_roof(tones: Tones, area: np.ndarray, kind: str, roof: Roof) -> None:
    """Draw a roof in place; the last cell row of the area is the first of the walls."""
    ROOFS[kind](tones, area, roof)


def _tiled(shape: tuple[int, int]) -> np.ndarray:
    return np.tile(TILE_MARKS, (-(-shape[0] // CELL), -(-shape[1] // CELL)))[: shape[0], : shape[1]]


def _numbered(row: np.ndarray, **others: int) -> dict[str, int]:
    return {str(n): int(ink) for n, ink in enumerate(row)} | others


def _gable(tones: Tones, area: np.ndarray, roof: Roof) -> None:
    """A gable over the front; the roof runs back over the side."""
    wall, tile = tones.row(roof.walls), tones.row(roof.tiles)
    front, lines = roof.front, len(area) - CELL
    half = front // 2
    rise = min(lines, half)
    x, y = np.arange(area.shape[1])[None, :], np.arange(rise)[:, None]
    part = area[lines - rise : lines]
    left, right = half - 1 - y, half + y
    back = (x > right) & (x <= right + roof.side * CELL)
    part[back] = tile[SHADE]
    part[back & _tiled(part.shape)] = tile[DEEP]
    inside = (x >= left) & (x <= right)
    part[inside] = wall[LIT]
    part[inside & (x < left + 6)] = wall[SHADE]
    part[inside & (x < left + 4)] = tile[LIT]
    part[inside & (x < left + 2)] = tile[RIM]
    part[inside & (x > right - 4)] = tile[LIT]
    part[inside & (x > right - 2)] = tile[SHADE]
    if rise >= 2 * CELL:
        area[lines - 8 : lines - 3, half - 2 : half + 2] = roof.pane(tones, "loft")
        area[lines - 3, half - 3 : half + 3] = wall[RIM]
    area[lines, :front] = wall[SHADE]


def _hip(tones: Tones, area: np.ndarray, roof: Roof) -> None:
    """A tiled roof with its eaves to the front, cut steep at the left and at 45 degrees right."""
    wall, tile = tones.row(roof.walls), tones.row(roof.tiles)
    front, lines, width = roof.front, len(area) - CELL, area.shape[1]
    x, y = np.arange(width)[None, :], np.arange(lines)[:, None]
    up = lines - 1 - y
    body = (x >= up // 2) & (x < width - up)
    split = front - up // 2 if roof.side else front - up
    marks = _tiled((lines, width))
    tone = np.where(x < split, np.where(marks, SHADE, LIT), np.where(marks, DEEP, SHADE))
    tone = np.where(y < 2, RIM, tone)
    tone = np.where(up == 0, DEEP, tone)
    area[:lines][body] = tile[tone][body]
    area[lines : lines + 2] = wall[DEEP]
    if roof.columns < 4:
        return
    if pick_one(roof.seed, 2, "stack"):
        place = 1 + pick_one(roof.seed, roof.columns - 3, "place")
        area[: CELL - 2, place * CELL : (place + 1) * CELL] = 0
        lay(area, art(CHIMNEY, _numbered(wall)), place * CELL, 0)
    elif lines > CELL:
        inks = _numbered(tile, w=int(wall[LIT]), P=roof.pane(tones, "dormer"))
        lay(area, art(DORMER, inks), (roof.columns // 2 - 1) * CELL, lines - 13)


def _flat(tones: Tones, area: np.ndarray, roof: Roof) -> None:
    """A parapet, and on it a water tank, a hut, a pole, washing, plants."""
    wall = tones.row(roof.walls)
    front, lines = roof.front, len(area) - CELL
    area[lines - 3 : lines] = wall[LIT]
    area[lines - 3] = wall[RIM]
    area[lines - 3 : lines, front:] = wall[SHADE]
    area[lines : lines + 2] = wall[SHADE]
    tile = tones.row(roof.tiles)
    inks = _numbered(wall, r=int(tile[LIT]), P=roof.pane(tones, "hut"))
    fit = [text for text in ROOFTOPS if len(text.split()[0]) <= front]
    first = pick_one(roof.seed, len(fit) + 1, "top")
    if first < len(fit):
        thing = art(fit[first], inks)
        room = (front - thing.shape[1]) // CELL
        lay(area, thing, CELL * pick_one(roof.seed, room + 1, "room"), lines - 3 - len(thing))


def _steps(tones: Tones, area: np.ndarray, roof: Roof) -> None:
    """A gable in steps of a cell; behind it the roof runs back."""
    wall, tile = tones.row(roof.walls), tones.row(roof.tiles)
    front, lines = roof.front, len(area) - CELL
    if roof.side:
        area[lines - 2 * CELL + 4 : lines, front:] = tile[SHADE]
        area[lines - 2 * CELL + 4, front:] = tile[LIT]
    for n in range(lines // CELL):
        top = lines - (n + 1) * CELL
        left, right = n * CELL, front - n * CELL
        if right - left < CELL:
            break
        area[top : top + CELL, left:right] = wall[LIT]
        area[top : top + CELL, left] = wall[RIM]
        area[top : top + CELL, right - 2 : right] = wall[SHADE]
        area[top, left:right] = wall[RIM]
        if n == 1:
            middle = front // 2
            area[top + 2 : top + 7, middle - 2 : middle + 2] = roof.pane(tones, "loft")


def _battlement(tones: Tones, area: np.ndarray, roof: Roof) -> None:
    """Merlons over a corbel."""
    wall = tones.row(roof.walls)
    lines, front = len(area) - CELL, roof.front
    x = np.arange(area.shape[1])
    tone = np.where(x < front, LIT, SHADE)
    merlon = x % CELL < 5
    area[lines - CELL + 4 : lines] = wall[tone]
    area[lines - CELL + 1 : lines - CELL + 4, merlon] = wall[tone][merlon]
    area[lines - CELL, merlon] = wall[np.where(x < front, RIM, LIT)][merlon]
    area[lines : lines + 2] = wall[np.maximum(tone - 2, DEEP)]
    corbel = x % 4 < 2
    area[lines + 2, corbel] = wall[np.maximum(tone - 2, DEEP)][corbel]


def _dome(tones: Tones, area: np.ndarray, roof: Roof) -> None:
    """A dome on a drum, with a lamp."""
    wall, tile = tones.row(roof.walls), tones.row(roof.tiles)
    lines, width = len(area) - CELL, area.shape[1]
    high = lines - 2 * CELL
    half = width // 2
    mask = dome_mask(width // CELL, high)
    reach = np.maximum(mask.sum(axis=1, keepdims=True) // 2, 1)
    across = (2 * np.arange(width)[None, :] + 1 - 2 * half) * 5 // reach
    tone = np.where(
        across < -7, LIT, np.where(across < -3, RIM, np.where(across < 2, LIT, BETWEEN))
    )
    tone = np.where(across >= 4, SHADE, tone)
    part = area[2 * CELL - 4 : 2 * CELL - 4 + high]
    part[mask] = tile[tone][mask]
    drum = area[lines - 4 : lines]
    drum[:] = wall[LIT]
    drum[:, width * 2 // 3 :] = wall[SHADE]
    drum[0] = wall[RIM]
    lay(area, art(BALL, _numbered(tile, L=tones("window", LIT))), half - 4, CELL - 4)
    area[lines : lines + 2] = wall[SHADE]


def _spire(tones: Tones, area: np.ndarray, roof: Roof) -> None:
    """A steep cone, lit at its left, with a lamp or a vane."""
    wall, tile = tones.row(roof.walls), tones.row(roof.tiles)
    lines, width = len(area) - CELL, area.shape[1]
    half, high = width // 2, lines - CELL
    y, x = np.arange(high)[:, None], np.arange(width)[None, :]
    reach = np.minimum((y + 1) * half // high + 1, half)
    body = np.abs(2 * x + 1 - 2 * half) < 2 * reach
    side = (x - half) * 4 // reach
    tone = np.where(side < -2, RIM, np.where(side < 0, LIT, SHADE))
    tone = np.where((y % 16 == 15) & (side >= -2), np.maximum(tone - 2, DEEP), tone)
    area[CELL:lines][body] = tile[tone][body]
    text = (BALL, VANE)[pick_one(roof.seed, 2, "point")]
    lay(area, art(text, _numbered(tile, L=tones("window", LIT))), half - 4, 1)
    area[lines - 1, :] = tile[SHADE]
    area[lines : lines + 2] = wall[DEEP]


ROOFS: dict[str, Callable[[Tones, np.ndarray, Roof], None]] = {
    "gable": _gable,
    "hip": _hip,
    "flat": _flat,
    "dome": _dome,
    "spire": _spire,
    "steps": _steps,
    "battlement": _battlement,
}
