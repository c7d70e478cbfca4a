"""What stands on a bridge: its rail, piers that rise to caps and statues, lamps, a gatehouse."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, Sheet, Tones, art, digits
from genbg.paint.painters.bridge.houses import House, draw_house
from genbg.paint.painters.bridge.keys import Keys
from genbg.paint.painters.bridge.roofs import roof_rows
from genbg.paint.parts.lamps import LANTERNS, draw_halo, draw_lamp_post, draw_lantern

BALUSTERS = "44444444 33333333 11111111 .33..33. .33..33. .22..22. .22..22. 33333333"
MERLONS = "44444... 33332... 33332... 33332... 44444444 33333333 33333333 22222222"
RAIL_ART = {"balusters": BALUSTERS, "battlement": MERLONS}

CAP = (
    ".......43....... ......4332...... .....433221..... ....43332211.... ...4333322211... "
    "..433333222111.. .44444444443332. .33333333332211. ..111111111111.. ..433333333221.. "
    "..433333333221.. ..433333333221.. ..433333333221.. ..433333333221.. ..433333333221.. "
    "..433333333221.. .44444444443332. 4333333333322210"
)
"""A pier's head above the deck, two cells wide, ended by a low pyramid."""
PLINTH = (
    ".44444444443332. .33333333332211. ..111111111111.. ..433333333221.. ..433333333221.. "
    "..433333333221.. .44444444443332. 4333333333322210"
)
COURIER = (
    "......4433...... .....443322..... .....432112..... .....431112.LL.. .....433221LMML. "
    "....44332221MM.. ...4433322222LL. ...433332212222. ..44333322112222 ..43333322112.2. "
    "..43332322111.2. ..43323322111.2. .443323332211.2. .433233332211.2. .433233322211.2. "
    ".432333322211.2. 4432333222111.2. 4332332222111.2. 4322332222111.2. 4323322222111.2. "
    "4333322222111.2. .332222221111.1."
)
"""A hooded courier who holds a lamp on a staff."""
BIRD = (
    "....443......... ...44332........ ..4M4332........ .344332......... ....43321....... "
    "....433321...... ....4333221..... ....43333221.... .....43333221... .....433332221.. "
    "......4333222211 .......43322211. ......2.21..11.. .....33.31......"
)
"""A heron of stone."""


GATE = ((-2, 5, 3, "hip"), (-4, 2, 6, "spire"), (2, 3, 5, "battlement"))
"""The gatehouse's parts: column from the pier's middle, columns, rows of its walls, roof."""


SLIT = (
    "........ ...44... ..4MM4.. .4MMMM4. .4LMML4. .4LMML4. .4LMML4. .4LMML4. "
    ".4LMML4. .4LMML4. .444444. ..1111.. ........ ........ ........ ........"
)
"""A lit window in a pier that is broad enough to hold rooms."""
BROAD = 5
"""Cells from which a pier is that broad."""


def crown_bridge(
    job: Job,
    keys: Keys,
    sheet: Sheet,
    arches: list[tuple[int, int]],
    top: int,
    whole: np.ndarray,
) -> None:
    """All that stands on the deck at line `top`, in place. whole: (C,) bool, where it still is."""
    _lay_rail(keys, sheet, top, whole)
    gate = -1
    if keys.gate:
        ends = [(column + width, 0) for column, width in arches]
        gate = nearest_place(ends, round(keys.gate * sheet.columns) - 1, sheet.columns)
    crowned = 0
    for n, (column, width) in enumerate(arches):
        after = arches[(n + 1) % len(arches)][0]
        left = column + width
        cells = (after - left) % sheet.columns
        middle = left + cells // 2
        if not whole[(middle + np.arange(-2, 3)) % sheet.columns].all():
            continue
        seed = hash_words(job.seed, "pier", n)
        if n == gate:
            _stand_gate(sheet, middle, top, seed)
            if cells >= BROAD:
                _light_pier(sheet, middle, top)
        elif pick_one(seed, 1000, "crown") < keys.crowns * 1000:
            piece = _draw_crown(sheet.tones, crowned % 3)
            crowned += 1
            if len(piece) <= top - sheet.phase:
                sheet.put(piece, middle - 1, top + 2, by_light=False)
        elif pick_one(seed, 1000, "lamp") < keys.lamps * 1000 and top >= 4 * CELL:
            _stand_lamp(keys, sheet, middle, top)


def nearest_place(arches: list[tuple[int, int]], wish: int, columns: int) -> int:
    """Number of the arch whose middle is nearest to cell column `wish`, the first of equals."""
    away = [(column + width // 2 - wish) % columns for column, width in arches]
    return min(range(len(arches)), key=lambda n: min(away[n], columns - away[n]))


def hang_lanterns(
    keys: Keys, sheet: Sheet, tone: np.ndarray, arches: list[tuple[int, int]], foot: int
) -> None:
    """Lanterns with their glow that hang from the crowns of arches, in place, where these stand.

    They hang at even steps from the stretch that has fallen, each unlike the two beside it.
    """
    crowns = [_find_crown(tone, column + width // 2, foot) for column, width in arches]
    first = crowns.index(0) if 0 in crowns else 0
    step = max(1, round(1 / keys.hung))
    for n in range(0, len(arches) - 2, step):
        place = (first + step // 2 + n) % len(arches)
        column, width = arches[place]
        crown, middle = crowns[place], column + width // 2
        if foot - crown < 3 * CELL or not crown:
            continue
        top = -(-crown // CELL) * CELL
        _glow(keys, sheet, middle, top + CELL)
        cord = np.arange(middle * CELL - 1, middle * CELL + 1) % sheet.width
        sheet.ink[crown:top, cord] = sheet.tones("iron", RIM)
        lantern = draw_lantern(sheet.tones, "lamp", n // step % len(LANTERNS))
        sheet.put(lantern, middle - 1, top + len(lantern), by_light=False)


def _find_crown(tone: np.ndarray, middle: int, foot: int) -> int:
    """Line of the crown over cell border `middle`, or 0 where the arch has fallen."""
    stone = tone[:foot, (middle * CELL - 1) % tone.shape[1]] >= 0
    crown = foot - int(stone[::-1].argmax())
    return crown if stone[max(0, crown - 4) : crown].sum() == 4 else 0


def _glow(keys: Keys, sheet: Sheet, middle: int, line: int) -> None:
    """The glow around a lamp at `line` in the air, in place; stone before it stays as it is."""
    if not keys.halo:
        return
    glow = draw_halo(keys.halo, sheet.tones("glow", DEEP), sheet.tones("glow", RIM))
    reach = len(glow) // 2
    x = (middle * CELL - reach + np.arange(len(glow))) % sheet.width
    first, last = max(0, line - reach), min(len(sheet.ink), line + reach)
    place = sheet.ink[first:last]
    cut = glow[first - line + reach : last - line + reach]
    place[:, x] = np.where((place[:, x] == 0) & (cut > 0), cut, place[:, x])


def _lay_rail(keys: Keys, sheet: Sheet, top: int, whole: np.ndarray) -> None:
    """A rail of one cell above the deck, where that is whole."""
    if keys.rail not in RAIL_ART or top < CELL:
        return
    stone = art(RAIL_ART[keys.rail], digits(sheet.tones, "stone"))
    rail = np.tile(stone, (1, sheet.columns))
    sheet.ink[top - CELL : top] = np.where(np.repeat(whole, CELL), rail, 0)


def _draw_crown(tones: Tones, kind: int) -> np.ndarray:
    """A pier's head: a cap, a courier or a heron."""
    inks = digits(tones, "stone", L=tones("lamp", LIT), M=tones("lamp", RIM))
    if kind == 0:
        return art(CAP, inks)
    figure, plinth = art(COURIER if kind == 1 else BIRD, inks), art(PLINTH, inks)
    return np.concatenate([figure, plinth])


def _stand_lamp(keys: Keys, sheet: Sheet, middle: int, top: int) -> None:
    post = np.pad(draw_lamp_post(sheet.tones, "iron", "lamp", 4), ((0, 0), (4, 4)))
    _glow(keys, sheet, middle + 1, top - len(post) + CELL // 2)
    sheet.put(post, middle, top, by_light=False)


def _stand_gate(sheet: Sheet, middle: int, top: int, seed: int) -> None:
    """Two towers of unlike height with a hall between them, as high as there is room for."""
    room = (top - sheet.phase) // CELL
    for left, columns, rows, roof in GATE:
        above = roof_rows(roof, columns)
        house = House(
            columns, max(1, min(rows, room - above)), 0, roof, "stone", "roof", 2 * CELL, 1.0, 0.8,
            hash_words(seed, left), round=columns < 4, far=columns < 4,
        )  # fmt: skip
        sheet.put(draw_house(sheet.tones, house), middle + left, top, by_light=False)


def _light_pier(sheet: Sheet, middle: int, top: int) -> None:
    """Windows below a gatehouse, where there is room, in place."""
    lamp = {"L": sheet.tones("lamp", DEEP), "M": sheet.tones("lamp", BETWEEN)}
    slit = art(SLIT, digits(sheet.tones, "stone", **lamp))
    foot = top + 5 * CELL
    if foot + 2 * CELL < sheet.foot:
        for column in (middle - 2, middle):
            sheet.put(slit, column, foot, by_light=False)
