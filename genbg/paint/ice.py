"""Painter of ice: bergs cut in facets, a glacier's wall, low floes, with their shine in the water.

Ice is drawn in flat faces (`parts/bergs.py`): snow above, faces in light and in shade below, and a
line where the water has eaten into them.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import profile
from genbg.paint.craft.paths import draw_paths
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet, Tones
from genbg.paint.parts.bergs import (
    Berg,
    cliff_tops,
    face_tones,
    pointed_tops,
    snow_depth,
    table_tops,
)
from genbg.records import record

SHINE = ((0, 0), (1, 3), (3, 1), (5, 4), (8, 7), (11, 10))
"""Lines of a reflection below the water line: (line, pixels drawn in at both ends)."""
WAVE = np.array([0, 0, 1, 1, 2, 2, 1, 1])
"""Lines by which the water has eaten into the foot, along a cell."""

WATER_EDGE = 1
"""Lines above it that light from the water reaches."""


@record(frozen=True)
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


def paint(keys: IceKeys, job: Job) -> Painting:
    """Ice over water: its foot `shine` lines above the layer's last line; see-through elsewhere."""
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    _KINDS[keys.kind](job, keys, sheet)
    return sheet.painting()


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
        tops = make(own, tall, 4 if job.thrift > 0.3 else 2, sheet.columns // 2)
        bergs.append(Berg(place // CELL * CELL, tops, own))
    for berg in sorted(bergs, key=lambda berg: (-int(berg.tops.max()), berg.x)):
        _draw_berg(job, keys, sheet, berg)


def _draw_berg(job: Job, keys: IceKeys, sheet: Sheet, berg: Berg) -> None:
    """One berg and its shine on the sheet."""
    foot, left_lit = sheet.foot - keys.shine, job.light[0] <= 0
    ends = (foot - berg.tops)[None]
    top = draw_paths(ends, hash_words(job.seed, "edges"), 1, 0)[0]
    y, x = np.arange(len(sheet.ink))[:, None], np.arange(len(top))
    tones = face_tones(berg, top, foot, len(y), keys.facets, left_lit)
    snowy = y - top < snow_depth(berg, keys.snow)
    cover = sheet.tones.row("snow")
    ink = sheet.tones.row("ice")[np.clip(tones, DEEP, RIM)]
    ink = np.where(snowy, cover[np.where(tones >= LIT, RIM, DEEP)], ink)
    ink = np.where(snowy & (y - top < 2), cover[np.where(tones >= LIT, RIM, BETWEEN)], ink)
    eaten = foot - 2 - WAVE[x % CELL]
    edge = sheet.tones.row("ice")[np.where(tones >= LIT, RIM, LIT)]
    ink = np.where((y >= eaten - WATER_EDGE) & ~berg.ring, edge, ink)
    ink = np.where(y >= eaten, sheet.tones("ice", DEEP), ink)
    columns = (berg.x + x) % sheet.width
    body = (y >= top) & (y < foot)
    sheet.ink[:, columns] = np.where(body, ink, sheet.ink[:, columns])
    _shine(keys, sheet, columns, foot, top < foot - CELL)


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
    room = keys.height * (job.lines - keys.shine)
    rise = profile(sheet.columns, seed, 4, 3, 0.4).astype(np.float64)
    tops = cliff_tops(seed, room, sheet.columns, rise)
    _draw_berg(job, keys, sheet, Berg(0, tops, seed, ring=True))


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
    paint=paint,
    thrift=0.6,
)
