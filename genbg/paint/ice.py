"""Painter of ice: bergs cut in facets, a glacier's wall, low floes, with their shine in the water.

Ice breaks along planes, so bergs are made of few flat faces with straight edges between places on
the cells (`paths.py` without any raggedness): a face of snow above, faces in light and in shade
below, and a line where the water has eaten into them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.cover import add_marks
from genbg.paint.craft import CELL
from genbg.paint.fields import profile
from genbg.paint.paths import draw_paths, snap
from genbg.paint.pieces import Sheet, Tones
from genbg.paint.scatter import hash_words, jittered, pick, pick_one

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)
SHINE = ((0, 0), (1, 3), (3, 1), (5, 4), (8, 7), (11, 10))
"""Lines of a reflection below the water line: (line, pixels drawn in at both ends)."""
WAVE = np.array([0, 0, 1, 1, 2, 2, 1, 1])
"""Lines by which the water has eaten into the foot, along a cell."""


def _marks(text: str) -> np.ndarray:
    return np.array([[{".": 0, "+": 1, "-": -1}[sign] for sign in row] for row in text.split()])


CLEFTS = (
    _marks("......-. .....--. ....--.. ....-... ...--... ..--.... ..-..... ........"),
    _marks("........ ....++.. ...++... ..++.... ........ ........ ........ ........"),
)
"""Tone changes (8, 8) of clefts in a face, and of light that ice throws back."""


@dataclass(frozen=True)
class IceKeys:
    """Keys of the ice painter."""

    kind: str = key(
        "bergs",
        "choice",
        "bergs: islands of ice; cliff: a glacier's front along the whole width; floes: flat "
        "plates, in water whose lines all move alike.",
        choices=("bergs", "cliff", "floes"),
    )
    height: float = key(
        0.8, "float", "How high the highest ice stands, a share of the lines.", low=0.1, high=1
    )
    spacing: int = key(120, "int", "From berg to berg.", low=32, high=512, unit="pixels")
    peaks: float = key(
        0.5, "float", "Share of bergs with a point; the others are tables.", low=0, high=1
    )
    facets: float = key(0.6, "float", "How far faces are cut.", low=0, high=1)
    snow: float = key(0.5, "float", "How thick snow lies on it.", low=0, high=1)
    shine: int = key(
        12, "int", "Lines at the foot that show its reflection.", low=0, high=48, unit="lines"
    )


RAMPS = (
    Ramp("ice", "Ice, from its blue depth up.", ("#003366", "#246db6", "#6db6db", "#dbffff"), 5),
    Ramp("snow", "Snow, shaded and lit.", ("#92b6db", "#ffffff"), 3),
    Ramp("shine", "Its reflection in the water.", ("#2480b6", "#92c8db"), 2),
)


def paint_ice(job: Job) -> Painting:
    """Ice over water: its foot `shine` lines above the layer's last line; see-through elsewhere."""
    keys: IceKeys = job.params
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    _KINDS[keys.kind](job, keys, sheet)
    return sheet.painting()


@dataclass(frozen=True)
class Berg:
    """One berg.

    x: its first column, a multiple of 8; tops: (n+1,) heights in pixels at the cell borders
    seed: its own
    """

    x: int
    tops: np.ndarray
    seed: int


def _bergs(job: Job, keys: IceKeys, sheet: Sheet) -> None:
    """Bergs from high to low, the low ones before the high ones."""
    seed = hash_words(job.seed, "bergs")
    room = keys.height * (job.lines - keys.shine)
    bergs = []
    for n, place in enumerate(jittered(sheet.width, keys.spacing, seed, 0.6).tolist()):
        own = hash_words(seed, n)
        share = (100, 46, 72, 30)[(n + pick_one(seed, 4, "first")) % 4] - pick_one(own, 16, "low")
        tall = room * share / 100
        pointed = pick_one(own, 1000, "kind") < keys.peaks * 1000
        make = pointed_tops if pointed else table_tops
        tops = make(own, tall, 4 if job.thrift > 0.3 else 2)
        bergs.append(Berg(place // CELL * CELL, tops, own))
    for berg in sorted(bergs, key=lambda berg: (-int(berg.tops.max()), berg.x)):
        _draw_berg(job, keys, sheet, berg)


def pointed_tops(seed: int, tall: float, quantum: int) -> np.ndarray:
    """Heights at the borders of a berg with one main point and a lower one beside it."""
    up = max(2, round(tall / CELL / (1.2 + 0.3 * pick_one(seed, 3, "steep"))))
    down = max(2, round(tall / CELL / (0.7 + 0.2 * pick_one(seed, 3, "slow"))))
    if pick_one(seed, 2, "side"):
        up, down = down, up
    rise = np.concatenate([np.arange(up) / up, 1 - np.arange(down + 1) / down])
    rough = (pick(seed, 5, np.arange(len(rise)) // 2, 7) - 2) * 0.05
    second = np.maximum(0, 0.5 - np.abs(np.arange(len(rise)) - up - down * 0.55) * 0.16)
    tops = tall * np.maximum(rise + rough * (rise > 0) * (rise < 1), second)
    tops[0], tops[-1] = 0, 0
    return snap(tops, quantum)


def table_tops(seed: int, tall: float, quantum: int) -> np.ndarray:
    """Heights at the borders of a berg with a flat top that leans a little."""
    wide = max(4, round(tall / CELL * (2.0 + 0.4 * pick_one(seed, 4, "wide"))))
    at = np.arange(wide + 1)
    step = pick_one(seed, wide, "step")
    lean = (pick_one(seed, 5, "lean") - 2) * 0.02
    tops = tall * (0.8 + lean * (at - wide / 2) + 0.2 * ((at > step) ^ bool(seed & 1)))
    tops = np.where((at == 1) | (at == wide - 1), tops * 0.9, tops)
    tops = np.where((at == 0) | (at == wide), 0, tops)
    return snap(tops, quantum)


def _draw_berg(job: Job, keys: IceKeys, sheet: Sheet, berg: Berg) -> None:
    """One berg and its shine on the sheet."""
    foot = sheet.foot - keys.shine
    wide = (len(berg.tops) - 1) * CELL
    ends = (foot - berg.tops)[None]
    top = draw_paths(ends, hash_words(job.seed, "edges"), 1, 0)[0]
    y = np.arange(len(sheet.ink))[:, None]
    body = (y >= top) & (y < foot)
    tones = face_tones(job, keys, berg, top, foot, y)
    snow = _snow_depth(keys, berg, top)
    deep = y - top
    ink = sheet.tones.row("ice")[np.clip(tones, DEEP, RIM)]
    cover = sheet.tones.row("snow")
    ink = np.where(deep < snow, cover[np.where(tones >= LIT, RIM, DEEP)], ink)
    ink = np.where((deep < snow) & (deep < 2), cover[RIM], ink)
    x = np.arange(wide)
    eaten = y >= foot - 2 - WAVE[x % CELL]
    ink = np.where(eaten, sheet.tones("ice", DEEP), ink)
    columns = (berg.x + x) % sheet.width
    place = sheet.ink[:, columns]
    sheet.ink[:, columns] = np.where(body, ink, place)
    _shine(keys, sheet, columns, foot, top < foot - CELL)


def face_tones(
    job: Job, keys: IceKeys, berg: Berg, top: np.ndarray, foot: int, y: np.ndarray
) -> np.ndarray:
    """Tones (H, w) of the faces of a berg: wedges between edges that run down from its top."""
    wide = len(top)
    sheet_width = job.width
    x = np.arange(wide)[None, :]
    borders = np.arange(len(berg.tops))
    summit = int(np.argmax(berg.tops))
    left_lit = job.light[0] <= 0
    rows = (len(y) + CELL - 1) // CELL
    row = np.arange(rows + 1)
    tones = np.full((len(y), wide), LIT if left_lit else SHADE)
    count = 1 + round(keys.facets * len(borders) / 2)
    starts = sorted({summit, *(1 + pick(berg.seed, max(1, wide // CELL - 1), np.arange(count), 3))})
    first = max(0, int(foot - berg.tops.max())) // CELL
    if wide == sheet_width:
        # Ice all round the plane has no left end: there its last face goes on.
        starts = [start for start in starts if 4 <= start <= len(borders) - 6]
    for n, start in enumerate(starts):
        lean = (-4, 0, 4, 4)[pick_one(berg.seed, 4, int(start), "lean")]
        kink = first + 1 + pick_one(berg.seed, 4, int(start), "kink")
        run = np.where(row < kink, 0, row - kink) * lean + (row - first) * 4 * (1 if n % 2 else -1)
        places = int(start) * CELL + np.clip(run, -3 * CELL, 3 * CELL)
        edge = draw_paths(places[None], 0, 1, 0)[0][: len(y)]
        if int(start) == summit:
            tone = SHADE if left_lit else LIT
        else:
            tone = (BETWEEN, LIT, SHADE, BETWEEN)[pick_one(berg.seed, 4, int(start), "tone")]
            side = int(start) > summit
            tone = min(tone, BETWEEN) if side == left_lit else max(tone, BETWEEN)
        if wide == sheet_width and n + 1 == len(starts):
            tone = int(tones[0, 0])
        tones = np.where(x >= edge[:, None], tone, tones)
    edge_of = np.roll(tones, 1, axis=1)
    tones = np.where((tones != edge_of) & (x > 0), RIM, tones)
    below = (foot - y) < (foot - top) // 4
    tones = np.where(below & (tones < RIM), tones - 1, tones)
    share = round(3 * keys.facets)
    return add_marks(tones, CLEFTS, share, not left_lit, 0, hash_words(berg.seed, "clefts"))


def _snow_depth(keys: IceKeys, berg: Berg, top: np.ndarray) -> np.ndarray:
    """Lines (w,) of snow under the outline: thick where it is level, none where it is steep."""
    steep = np.abs(np.diff(berg.tops))
    level = np.where(steep <= 4, 7, np.where(steep <= 8, 4, 2))
    drip = np.array([0, 1, 2, 2, 1, 0, -1, -1])
    return np.repeat(level, CELL) * keys.snow * 1.6 + np.tile(drip, len(steep)) * (keys.snow > 0)


def _shine(keys: IceKeys, sheet: Sheet, columns: np.ndarray, foot: int, over: np.ndarray) -> None:
    """Lines of reflection under a berg in place, shorter from line to line."""
    there = np.flatnonzero(over)
    if not len(there):
        return
    first, last = int(there[0]) // CELL * CELL, int(there[-1]) // CELL * CELL + CELL
    for line, inward in SHINE:
        if line >= keys.shine:
            break
        reach = inward * (last - first) // 24 // 4 * 4
        if last - first > 2 * reach:
            part = columns[first + reach : last - reach]
            place = sheet.ink[foot + line, part]
            ink = sheet.tones("shine", RIM if line % 2 == 0 else DEEP)
            sheet.ink[foot + line, part] = np.where(place > 0, place, ink)


def _cliff(job: Job, keys: IceKeys, sheet: Sheet) -> None:
    """A glacier's front: upright faces side by side under a field of snow."""
    seed = hash_words(job.seed, "cliff")
    columns = sheet.columns
    room = keys.height * (job.lines - keys.shine)
    rise = profile(columns, seed, 4, 3, 0.4).astype(np.float64)
    block = np.cumsum(pick(seed, 3, np.arange(columns), 1) == 0)
    block %= max(1, int(block[-1]))
    drop = (pick(seed, 4, block, 2)) * 0.04
    tall = snap(room * np.clip(0.82 + 0.4 * rise - drop, 0.2, 1.0), 4)
    tops = np.concatenate([tall, tall[:1]])
    _draw_berg(job, keys, sheet, Berg(0, tops, seed))


def _floes(job: Job, keys: IceKeys, sheet: Sheet) -> None:
    """Flat plates in rows down the layer, small and far above, large and near below."""
    seed = hash_words(job.seed, "floes")
    rows = max(1, sheet.rows - 1)
    for row in range(rows):
        near = (row + 1) / rows
        wide = max(2, round((1.5 + 5 * near) * (0.5 + keys.height)))
        apart = max(wide + 1, round(keys.spacing / CELL * (0.35 + 0.65 * near)))
        for n, column in enumerate(jittered(sheet.columns, apart, seed + row, 0.7).tolist()):
            own = hash_words(seed, row, n)
            size = max(2, wide - pick_one(own, max(1, wide // 2), "size"))
            piece = draw_floe(sheet.tones, size, own, keys)
            sheet.put(piece, column, (row + 1) * CELL, pick_one(own, 2, "turn") == 1)


def draw_floe(tones: Tones, columns: int, seed: int, keys: IceKeys) -> np.ndarray:
    """A plate (8, 8 * columns): snow above, an edge of ice, and its shine."""
    width = columns * CELL
    piece = np.zeros((CELL, width), dtype=np.int64)
    cut = 2 + 2 * pick_one(seed, 3, "cut")
    spans = ((cut + 4, cut + 1), (cut, cut - 1), (0, 1), (1, 0), (2, 3))
    snow, ice = tones.row("snow"), tones.row("ice")
    inks = (snow[RIM], snow[RIM], snow[BETWEEN], ice[BETWEEN], ice[SHADE])
    for line, ((left, right), ink) in enumerate(zip(spans, inks, strict=True)):
        piece[line, left : width - max(right, 0)] = ink
    if keys.shine:
        piece[5, 6 : width - 5] = tones("shine", DEEP)
        piece[6, 12 : width - 9] = tones("shine", RIM)
    return piece


_KINDS: dict[str, Callable[[Job, IceKeys, Sheet], None]] = {
    "bergs": _bergs,
    "cliff": _cliff,
    "floes": _floes,
}

PAINTER = Painter(
    name="ice",
    about="Bergs and glaciers of faceted ice, or floes, with their shine in the water.",
    params=IceKeys,
    ramps=RAMPS,
    paint=paint_ice,
    thrift=0.6,
)
