"""Painter of terraces on a hillside: a wall that holds them, and flights of stairs to their edge.

Steps rise at 45 degrees, half a cell each, so that a flight is one tile over and over; walls are
one patch of stone, with niches and ivy here and there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet
from genbg.paint.parts.creepers import hang_creepers
from genbg.paint.parts.lamps import draw_lamp_post
from genbg.paint.parts.masonry import arch_mask, blocks

STEP = CELL // 2
"""Pixels of a step, both ways."""
STRING = 6
"""Pixels of the lit edge below the steps."""
NICHE = 2
"""Cells across of a niche."""
FRAME = 2
"""Pixels of its frame."""


@dataclass(frozen=True)
class Keys:
    """Keys of the stairs painter."""

    height: float = key(0.9, "float", "Height of the wall, a share of the lines.", low=0.2, high=1)
    wall: bool = key(True, "bool", "The wall behind the flights; without it they stand alone.")
    flights: int = key(4, "int", "Flights of stairs across the plane.", low=0, high=16)
    niches: float = key(0.4, "float", "How many niches the wall has.", low=0, high=1)
    lamps: float = key(0.5, "float", "Share of flights with a lamp at their top.", low=0, high=1)
    lit: float = key(0.5, "float", "Share of niches in which a light burns.", low=0, high=1)
    growth: float = key(0.3, "float", "Ivy over the edge.", low=0, high=1)
    wear: float = key(0.8, "float", "Share of blocks that are worn smooth.", low=0, high=1)


RAMPS = (
    Ramp("stone", "Stone.", ("#332b49", "#6d5b6d", "#a8928a", "#dbc8a8", "#fff4db"), 5),
    Ramp("ivy", "Ivy.", ("#0f3333", "#2b6d33", "#82b649"), 5),
    Ramp("iron", "Lamp posts.", ("#18182b", "#494961"), 2),
    Ramp("lamp", "Lamps.", ("#ff9224", "#ffdb6d", "#fffff0"), 3, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """A terrace wall along the whole width, its top level; air above it is see-through."""
    sheet = Sheet(job, RAMPS)
    foot = sheet.foot
    top = max(sheet.phase, foot - int(keys.height * job.lines))
    top = min(-(-top // CELL), max(0, foot // CELL - 1)) * CELL
    tone = lay_wall(keys, sheet, top, job.seed)
    rise = (foot - top) // CELL
    flights = place_flights(keys, sheet.columns, rise, job.seed)
    lights = [] if rise < 4 else _cut_niches(keys, tone, flights, foot, rise, job.seed)
    if not keys.wall:
        tone[:], lights = -1, []
    courses = blocks(sheet.rows, sheet.columns, hash_words(job.seed, "flank"), worn_of(keys), False)
    for column, up in flights:
        _build_flight(tone, courses, column, up, top, rise)
    sheet.ink = np.concatenate([[0], sheet.tones.row("stone")])[tone + 1]
    for column in lights:
        _light(sheet, column, foot)
    if keys.growth and keys.wall:
        tops = np.full(sheet.columns, top)
        for column, _ in flights:
            tops[(column + np.arange(rise)) % sheet.columns] = -1
        seed = hash_words(job.seed, "ivy")
        row = sheet.tones.row("ivy")
        hang_creepers(sheet, row, tops, keys.growth, seed, job.thrift > 0.6)
    for n, (column, up) in enumerate(flights):
        if pick_one(job.seed, 1000, "lamp", n) < keys.lamps * 1000 and top >= 4 * CELL:
            post = draw_lamp_post(sheet.tones, "iron", "lamp", 4)
            sheet.put(post, column + (rise if up else -1), top, by_light=False)
    if sheet.turned:
        sheet.ink = sheet.ink[:, ::-1]
    return sheet.painting(("lamp",))


def worn_of(keys: Keys) -> int:
    """Of 8 blocks, how many are worn smooth."""
    return round(keys.wear * 8)


def lay_wall(keys: Keys, sheet: Sheet, top: int, seed: int) -> np.ndarray:
    """Tones (H, W) int64 of the wall in shade under its lit coping, -1 above it."""
    lines = np.arange(len(sheet.ink))[:, None]
    wall = blocks(sheet.rows, sheet.columns, hash_words(seed, "blocks"), worn_of(keys), dark=False)
    tone = np.clip(BETWEEN + np.minimum(wall, 0), SHADE, BETWEEN) - (lines < top + 2 * CELL)
    coping = np.array([RIM, LIT, LIT, SHADE, DEEP, SHADE, SHADE, SHADE])
    tone = np.where(lines < top + CELL, coping[np.clip(lines - top, 0, CELL - 1)], tone)
    return np.where((lines < top) | (lines >= sheet.foot), -1, tone)


def place_flights(keys: Keys, columns: int, rise: int, seed: int) -> list[tuple[int, bool]]:
    """Flights: first cell column, and whether they rise to the right; none touches another."""
    if not keys.flights or rise < 2:
        return []
    count = min(keys.flights, columns // (rise + 2))
    places = jittered(columns, columns // max(1, count), hash_words(seed, "flights"), 0.4)
    flights: list[tuple[int, bool]] = []
    for n, column in enumerate(places.tolist()):
        if all(
            (column - at) % columns > rise and (at - column) % columns > rise for at, _ in flights
        ):
            flights.append((column, (n + pick_one(seed, 2, "first")) % 2 == 0))
    return flights


def _build_flight(
    tone: np.ndarray, courses: np.ndarray, column: int, up: bool, top: int, rise: int
) -> None:
    """One flight before the wall, in place: steps, their lit edge, and the stone that bears them.

    courses: tone changes (H, W) of the blocks in its flank
    up: it rises to the right, so its risers face the light
    """
    long = rise * CELL
    x = np.arange(long)
    climb = x if up else long - 1 - x
    surface = top + long - STEP - climb // STEP * STEP
    down = np.arange(len(tone))[:, None] - surface
    # Treads catch the light from above; a flight that rises to the right turns its risers to it.
    tread = (down == 0) | (up & (climb % STEP == 0) & (down < STEP))
    columns = (column * CELL + x) % tone.shape[1]
    # Blocks begin a cell below the edge, so that cells which it crosses stay alike.
    flank = (BETWEEN if up else LIT) + np.where(down < STRING + CELL, 0, courses[:, columns])
    face = np.where(down < STRING, LIT, np.minimum(flank, LIT))
    face = np.where(tread, RIM, np.where((down >= STRING) & (down < STRING + 2), SHADE, face))
    tall_end = (x >= long - 2) if up else (x < 2)
    face = np.where(tall_end & (down >= STRING), DEEP if up else RIM, face)
    there = (down >= 0) & (np.arange(len(tone))[:, None] < top + long)
    tone[:, columns] = np.where(there, face, tone[:, columns])


def _cut_niches(
    keys: Keys,
    tone: np.ndarray,
    flights: list[tuple[int, bool]],
    foot: int,
    rise: int,
    seed: int,
) -> list[int]:
    """Cut niches in place where no flight stands; returns the columns of those with a light."""
    columns = tone.shape[1] // CELL
    taken = np.zeros(columns, dtype=bool)
    for column, _ in flights:
        taken[(column + np.arange(-1, rise + 1)) % columns] = True
    lines, wide = 3 * CELL, NICHE * CELL
    frame = arch_mask(wide, lines)
    opening = np.zeros_like(frame)
    opening[FRAME:, FRAME:-FRAME] = arch_mask(wide - 2 * FRAME, lines - FRAME)
    lights = []
    for n, column in enumerate(range(1, columns - NICHE, 4)):
        if taken[column : column + NICHE].any():
            continue
        if pick_one(seed, 1000, "niche", n) >= keys.niches * 1000:
            continue
        place = tone[foot - lines : foot, column * CELL : column * CELL + wide]
        place[frame] = LIT
        place[opening] = DEEP
        if pick_one(seed, 1000, "light", n) < keys.lit * 1000:
            lights.append(column)
    return lights


def _light(sheet: Sheet, column: int, foot: int) -> None:
    """A lamp that burns in a niche, in place."""
    middle = (column + NICHE // 2) * CELL
    sheet.ink[foot - 12 : foot - 6, middle - 2 : middle + 2] = sheet.tones("lamp", BETWEEN)
    sheet.ink[foot - 13, middle - 2 : middle + 2] = sheet.tones("lamp", DEEP)
    sheet.ink[foot - 10 : foot - 8, middle - 1 : middle + 1] = sheet.tones("lamp", RIM)


PAINTER = Painter(
    name="stairs",
    about="Terrace walls with flights of stairs, niches and lamps.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.8,
)
