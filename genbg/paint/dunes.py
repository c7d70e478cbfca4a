"""The dunes painter: ranks of dunes with sharp crests, a lit slope and a slope in shade.

Wind and light come from the same side. A dune climbs gently from there to its crest, and beyond the
crest it falls off steeply, in shade. From its summit the crest comes down toward the viewer in a
bow that parts light and shade; the long slope of the next dune covers the foot of the shade. All
edges lie on the cell grid (`paths.py`), and the wind's ripples are few patterns (`ripples.py`).
"""

from __future__ import annotations

import numpy as np

from genbg.keys import key
from genbg.measure import present
from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft import CELL
from genbg.paint.dither import gradient
from genbg.paint.fields import fractal, profile
from genbg.paint.paths import draw_paths, snap
from genbg.paint.ripples import comb_phases, comb_tones, phase_lines
from genbg.paint.scatter import hash_words, jittered, pick_one, unit
from genbg.records import record

NOTHING, DEEP, SHADE, GLOW, FOOT, LOW, SLOPE, BRIGHT, RIM = range(9)
"""Tones of a dune, from what is not there to the rim of light along its crest."""
LEE = 0.75
"""Lines by which the slope in shade falls a pixel, before `steep` changes it."""

BANDS = (8, 24, 48)
"""Lines below its outline at which a slope without ripples takes its further tones."""


@record(frozen=True)
class Params:
    """What a preset says about dunes."""

    height: float = key(
        0.9, "float", "How high the highest crest is, a share of the lines.", low=0.1, high=1.0
    )
    spacing: int = key(
        160,
        "int",
        "How far crests of the nearest rank stand apart.",
        low=48,
        high=512,
        unit="pixels",
    )
    ranks: int = key(2, "int", "Rows of dunes, one before the other.", low=1, high=4)
    closed: bool = key(
        False,
        "bool",
        "Plain sand in place of see-through above the crests: for dunes below other ones.",
    )
    steep: float = key(0.5, "float", "How steep they fall off on the shaded side.", low=0, high=1)
    ripples: float = key(
        0.6, "float", "How far down the lit slopes the wind's ripples reach.", low=0, high=1
    )
    ripple: int = key(
        4,
        "int",
        "From one ripple to the next: 4 or, for near dunes, 8.",
        low=4,
        high=8,
        unit="lines",
    )


@record(frozen=True)
class Dune:
    """One dune. x: column of its summit; left: where its slope begins; height: lines above the
    sheet's last one, a multiple of 8; steep: see LEE; seed: its own."""

    x: int
    left: int
    height: int
    steep: float
    seed: int


@record(frozen=True, eq=False)
class Sheet:
    """The layer on the cells of the screen, filled in place, dune by dune.

    tone: (H, W) int8; comb: (H, W) int8 tone with ripples, where it is SLOPE; face: (H, W) number
    of the slope that a pixel is on
    """

    tone: np.ndarray
    comb: np.ndarray
    face: np.ndarray
    quantum: int


def paint(job: Job) -> Painting:
    """Return dunes lit from the left or the right, far ranks first."""
    phase = job.top % CELL
    rows = -(-(job.lines + phase) // CELL)
    shape = rows * CELL, job.width
    quantum = 4 if job.thrift > 0.6 else 2 if job.thrift > 0.2 else 1
    sheet = Sheet(np.zeros(shape, np.int8), np.zeros(shape, np.int8), np.zeros(shape, int), quantum)
    # Flat sand along the foot, so that no gap opens between two dunes.
    sheet.tone[-2 * CELL :] = sheet.comb[-2 * CELL :] = SLOPE
    for rank in range(job.params.ranks):
        dunes = place_dunes(job, rank)
        for dune in dunes:
            draw_lee(sheet, dune)
        for number, dune in enumerate([*dunes, dunes[0]]):
            draw_slope(job, sheet, dune, rank * 64 + number, number == len(dunes))
    tone = comb_slopes(job, sheet)
    if job.params.closed:
        plain = gradient(len(tone), job.width, 4, 0, 4, 0.4, bend=-0.6)
        tone = np.where(tone == NOTHING, BRIGHT - plain, tone)
    if job.light[0] > 0:
        tone = tone[:, ::-1]
    return ink_dunes(job, tone[phase : phase + job.lines])


def place_dunes(job: Job, rank: int) -> list[Dune]:
    """The dunes of a rank in order; the nearer the rank, the lower, wider and farther apart."""
    params, width = job.params, job.width
    seed = hash_words(job.seed, "dunes", rank)
    behind = params.ranks - 1 - rank
    apart = min(width // 2, int(params.spacing * (1.0 - 0.2 * behind)))
    turn = pick_one(job.seed, width, "turn") + rank * apart // 2
    places = present((jittered(width, apart, seed, 0.4) + turn) % width // CELL * CELL)
    tall = params.height * job.lines * (1.0 - 0.62 * rank / max(1, params.ranks))
    dunes = []
    for n, x in enumerate(places.tolist()):
        before = int(places[n - 1]) - (width if n == 0 else 0)
        gap = x - before
        share = 0.62 + 0.38 * float(unit(seed, n, 1)[0])
        height = int(snap(np.array(min(tall * share, gap * 0.62)), CELL))
        left = before - int(snap(np.array(gap * 0.25), CELL))
        steep = LEE * (0.7 + 0.6 * params.steep) * (0.9 + 0.2 * float(unit(seed, n, 2)[0]))
        dunes.append(Dune(x, left, max(CELL, height), steep, hash_words(seed, n)))
    return dunes


def crest_line(dune: Dune, rows: int, top: int) -> np.ndarray:
    """Places (rows+1,) at the cell borders of the crest, counted from the summit, from row `top`.

    It bows outward to the shaded side and comes back.
    """
    places = np.zeros(rows + 1, dtype=np.int64)
    out = 2 + pick_one(dune.seed, 2, "out")
    for row in range(top, rows):
        down = row - top
        step = 8 if down < out - 1 else 4 if down < out + 1 else 0 if down < out + 2 else -4
        places[row + 1] = places[row] + step
    return places


def draw_lee(sheet: Sheet, dune: Dune) -> None:
    """The slope in shade, from the summit to where it meets the last line."""
    height = len(sheet.tone)
    reach = int(dune.height / dune.steep) // CELL + 3
    away = np.arange(reach + 1) * CELL
    share = np.minimum(away * dune.steep / dune.height, 1.4)
    falls = dune.height * share * (1.18 - 0.18 * share)
    top = height - dune.height
    outline = draw_paths((top + snap(falls, sheet.quantum))[None], dune.seed, 1, 0)[0]
    y = np.arange(height)[:, None]
    where = (dune.x + np.arange(reach * CELL)) % sheet.tone.shape[1]
    inside = y >= outline
    crest = draw_paths(crest_line(dune, height // CELL, top // CELL)[None], dune.seed, 1, 0)[0]
    down = np.maximum(y - top, 0)
    x = np.arange(reach * CELL)[None, :]
    deep = x < crest[:, None] + down // 2
    glow = y - outline < 2
    tone = np.where(deep, SHADE, np.where(glow, GLOW, DEEP))
    sheet.tone[:, where] = np.where(inside, tone, sheet.tone[:, where])
    sheet.face[:, where] = np.where(inside, 0, sheet.face[:, where])


def draw_slope(job: Job, sheet: Sheet, dune: Dune, number: int, again: bool) -> None:
    """The lit slope, from its foot before the dune to the left up to the crest.

    again: only its left half, which covers the dune that was drawn last
    """
    height, width = sheet.tone.shape
    top = height - dune.height
    half = dune.left + (dune.x - dune.left) // (2 * CELL) * CELL
    right = half if again else dune.x + 48
    borders = np.arange((right - dune.left) // CELL + 1) * CELL
    t = borders / (dune.x - dune.left)
    bumps = profile(512, dune.seed, 8, 2)[: len(t)] * 0.9 * np.minimum(t, 1.0 - t)
    rises = dune.height * np.where(t < 1.0, t * (0.35 + 0.65 * t) + bumps, 1.0)
    ends = snap(height - rises, sheet.quantum)
    outline = draw_paths(ends[None], dune.seed, 1, 0)[0]
    y, x = np.arange(height)[:, None], np.arange(dune.left, right)[None, :]
    crest = draw_paths(crest_line(dune, height // CELL, top // CELL)[None], dune.seed, 1, 0)[0]
    edge = dune.x + crest[:, None]
    inside = (y >= outline) & (x < edge)
    rim = inside & ((y == outline) | (x >= edge - 1))
    where = np.arange(dune.left, right) % width
    sheet.tone[:, where] = np.where(inside, np.where(rim, RIM, SLOPE), sheet.tone[:, where])
    sheet.face[:, where] = np.where(inside, number + 1, sheet.face[:, where])
    if job.params.ripples > 0:
        period = 4 if job.params.ripple < 6 else 8
        phases = comb_phases(rises, period, 2 if job.thrift > 0.5 else 1, dune.seed)
        level = slope_levels(job, dune, ends, height)
        tones = comb_tones(level, BRIGHT, phase_lines(phases), period)
    else:
        below = np.stack([y >= outline + down for down in BANDS])
        tones = (BRIGHT - below.sum(axis=0)).astype(np.int8)
    sheet.comb[:, where] = np.where(inside, tones, sheet.comb[:, where])


def slope_levels(job: Job, dune: Dune, ends: np.ndarray, height: int) -> np.ndarray:
    """Light (R, B-1) of every cell of a slope, from BRIGHT at the crest down to FOOT."""
    rows, columns = height // CELL, len(ends) - 1
    middle = np.arange(rows)[:, None] * CELL + CELL // 2
    down = middle - (ends[:-1] + ends[1:])[None, :] / 2
    away = np.abs(dune.x - 24 - (dune.left + np.arange(columns)[None, :] * CELL))
    patches = fractal(columns, rows, dune.seed, max(1, columns // 6), octaves=2)
    reach = 110.0 - 80.0 * job.params.ripples
    fall = np.maximum(down - 8.0, 0.0) * 2.0 / reach + away / 200.0 + patches * 1.3
    return np.clip(BRIGHT - fall, FOOT, BRIGHT)


def comb_slopes(job: Job, sheet: Sheet) -> np.ndarray:
    """Tones (H, W) with ripples; a thrifty layer has them in cells of one slope only."""
    height, width = sheet.tone.shape
    slope = sheet.tone == SLOPE
    combed = np.where(slope, sheet.comb, sheet.tone)
    if job.thrift < 0.5 or not job.params.ripples:
        return combed
    shape = height // CELL, CELL, width // CELL, CELL
    face = sheet.face.reshape(shape)
    whole = (face == face[:, :1, :, :1]).all(axis=(1, 3))
    whole &= slope.reshape(shape).all(axis=(1, 3))
    whole = np.repeat(np.repeat(whole, CELL, axis=0), CELL, axis=1)
    return np.where(whole | ~slope, combed, BRIGHT)


def ink_dunes(job: Job, tone: np.ndarray) -> Painting:
    """The painting: tones to the inks of sand."""
    steps = job.steps["sand"]
    tone = tone.astype(np.int64)
    shade = ((tone - 1) * (steps - 1) * 2 + RIM - 1) // (2 * (RIM - 1))
    ink = np.where(tone > NOTHING, 1 + shade, 0)
    return Painting(ink.astype(np.uint16), (RampUse("sand", steps),))


PAINTER = Painter(
    name="dunes",
    about="Dunes with sharp crests, lit and shaded slopes and the wind's ripples.",
    params=Params,
    ramps=(
        Ramp(
            "sand",
            "Sand, from deep shade to the rim of light.",
            ("#6d4924", "#926d49", "#dbb66d", "#ffdb92", "#ffffdb"),
            8,
        ),
    ),
    paint=paint,
    thrift=0.4,
)
