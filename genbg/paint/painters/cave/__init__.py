"""The cave painter: rock with openings that show what lies behind, stone that hangs or stands.

The rock breaks in flat stones, lighter where an opening lets light in and nearly black deep inside.
Openings and stones keep to the cell grid: their edges are paths of a lattice (`paths.py`), their
left and right halves flips of each other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.measure import present
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL, remove_strays, rim
from genbg.paint.craft.fields import profile
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, jittered, unit
from genbg.paint.painters.cave.dripstone import (
    BETWEEN,
    DARK,
    DEEP,
    LIT,
    NOTHING,
    RIM,
    SHADE,
    place_stones,
    shape_stone,
)
from genbg.paint.painters.cave.facets import cell_rows, lay_stones, lay_strata, upper_edges

DEPTH = 8
"""Cells from an opening at which rock is dark whatever the glow."""


@dataclass(frozen=True)
class Keys:
    """What a preset says about a cave."""

    open: float = key(
        0.7,
        "float",
        "Share of the width that is open; 1 is a hall without a pillar.",
        low=0.0,
        high=1.0,
    )
    spacing: int = key(
        192, "int", "How far openings stand apart.", low=48, high=1024, unit="pixels"
    )
    ceiling: float = key(
        0.25, "float", "How deep the ceiling hangs, a share of the lines.", low=0.0, high=1.0
    )
    floor: float = key(
        0.15, "float", "How high the floor stands, a share of the lines.", low=0.0, high=1.0
    )
    rough: float = key(0.5, "float", "How uneven ceiling and floor are.", low=0.0, high=1.0)
    hanging: float = key(0.5, "float", "How many stones hang down.", low=0.0, high=1.0)
    standing: float = key(0.3, "float", "How many stones stand.", low=0.0, high=1.0)
    glow: float = key(
        0.6, "float", "How deep the light of openings reaches into the rock.", low=0.0, high=1.0
    )
    strata: float = key(
        0.4, "float", "Share of the dark rock with level streaks.", low=0.0, high=1.0
    )
    seams: float = key(1.0, "float", "Share of stones whose edges show.", low=0.0, high=1.0)
    stone: int = key(56, "int", "Length of the longest stone.", low=8, high=160, unit="pixels")


@dataclass(frozen=True, eq=False)
class Hole:
    """The open part of every column: lines `top` to `bottom` (W,), none where top >= bottom.

    tops, bottoms: (C,) the same at the cell borders
    """

    top: np.ndarray
    bottom: np.ndarray
    tops: np.ndarray
    bottoms: np.ndarray


RAMPS = (
    Ramp(
        "rock",
        "Rock, from the dark inside to the rim of light.",
        ("#000024", "#24244a", "#494992", "#9292b6", "#dbdbdb"),
        6,
    ),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Return a cave's rock; openings are see-through."""
    rows = cell_rows(job.top, job.lines)
    hole = cut_hole(job, rows)
    y = np.arange(rows * CELL)[:, None]
    rock = (y < hole.top) | (y >= hole.bottom)
    tone = shade_rock(job, rock, rows)
    for stone in place_stones(job, hole.tops, hole.bottoms):
        shape, where = shape_stone(job, stone, rows)
        tone[:, where] = np.where(shape > NOTHING, shape, tone[:, where])
    tone = remove_strays(tone)
    if job.light[0] > 0:
        tone = tone[:, ::-1]
    phase = job.top % CELL
    return ink_rock(job, tone[phase : phase + job.lines])


def cut_hole(job: Job, rows: int) -> Hole:
    """Ceiling and floor, and the pillars between openings."""
    params, columns = job.params, job.width // CELL
    seed = hash_words(job.seed, "hole")
    phase, lines = job.top % CELL, job.lines
    uneven = [profile(columns, seed + n, max(2, columns // 10), 3, 0.6) for n in (0, 1)]
    ceiling = phase + lines * params.ceiling * (1.0 + 1.2 * params.rough * uneven[0])
    floor = phase + lines - lines * params.floor * (1.0 + 1.2 * params.rough * uneven[1])
    tops, bottoms = ceiling.astype(np.float64), floor.astype(np.float64)
    if params.open < 1.0:
        arch, middle = arch_share(job, columns, seed), (tops + bottoms) * 0.5
        tops = middle - (middle - tops) * arch
        bottoms = middle + (bottoms - middle) * arch
    quantum = 8 if job.thrift > 0.8 else 4 if job.thrift > 0.3 else 2
    ends = snap(np.stack([tops, bottoms]), quantum)
    shut = ends[0] >= ends[1]
    ends[0] = np.where(shut, ends[1], ends[0])
    closed = np.concatenate([ends, ends[:, :1]], axis=1)
    top, bottom = draw_paths(closed, seed, 2, 1 if job.thrift < 0.8 else 0)
    whole = np.repeat(shut & np.roll(shut, -1), CELL)
    return Hole(np.where(whole, bottom, top), bottom, ends[0], ends[1])


def arch_share(job: Job, columns: int, seed: int) -> np.ndarray:
    """How far (C,) every cell border is open, 0 in a pillar, 1 where nothing narrows the hall."""
    apart = max(6, job.params.spacing // CELL)
    places = present(jittered(columns, apart, seed, 0.5))
    at = np.arange(columns)
    share = np.zeros(columns)
    for n, place in enumerate(places.tolist()):
        half = apart * job.params.open * 0.5 * (0.8 + 0.4 * float(unit(seed, n, 3)[0]))
        away = np.abs((at - place + columns // 2) % columns - columns // 2) / max(half, 1.0)
        wide = np.sqrt(np.maximum(1.0 - away * away * away * away, 0.0))
        share = np.maximum(share, np.where(half >= 1.0, wide, 0.0))
    return share


def shade_rock(job: Job, rock: np.ndarray, rows: int) -> np.ndarray:
    """Tones (H, W) of the rock: slabs that darken away from the opening, and a rim of light."""
    cells: np.ndarray = np.asarray(rock.reshape(rows, CELL, -1, CELL).all(axis=(1, 3)))
    depth = np.zeros(cells.shape, dtype=np.int64)
    inner = cells
    for _ in range(DEPTH):
        depth += inner
        grown: np.ndarray = inner & np.roll(inner, 1, axis=1) & np.roll(inner, -1, axis=1)
        grown[1:] &= inner[:-1]
        grown[:-1] &= inner[1:]
        inner = grown
    reach = 1.0 + job.params.glow * (DEPTH - 2)
    level = np.clip(np.floor(LIT + 0.8 - 3.0 * depth / reach), DEEP, LIT).astype(np.int64)
    edge = LIT if LIT + 0.8 - 3.0 / reach >= LIT else BETWEEN
    if job.thrift > 0.7:
        level = np.where(level == BETWEEN, SHADE, np.where(level == DARK, DEEP, level))
    seed = hash_words(job.seed, "stones")
    # Patches are 8 cells wide, which every plane's width is a multiple of, so they wrap.
    columns, courses = (8, 2) if job.thrift > 0.7 else (8, 3) if job.thrift > 0.3 else (8, 4)
    stones = lay_stones(level, seed, columns, courses, seams=job.params.seams)
    streaks = lay_strata(rows, cells.shape[1], seed, job.params.strata)
    stones = np.where((stones == DEEP) & streaks, DARK, stones)
    if job.thrift > 0.7:
        # Where an edge crosses a cell, rock is plain and as light as the first whole cell behind
        # it, so that edges share their tiles.
        whole = np.repeat(np.repeat(cells, CELL, axis=0), CELL, axis=1)
        stones = np.where(whole, stones, edge)
    light = job.light if job.light[0] <= 0 else (-job.light[0], job.light[1])
    tone = np.where(rim(rock, light, 2), LIT, np.minimum(stones, LIT))
    tone = np.where(upper_edges(rock), RIM, tone)
    return np.where(rock, tone, NOTHING)


def ink_rock(job: Job, tone: np.ndarray) -> Painting:
    """The painting: tones to the inks of rock."""
    steps = job.steps["rock"]
    shade = ((tone - 1) * (steps - 1) * 2 + RIM - 1) // (2 * (RIM - 1))
    ink = np.where(tone > NOTHING, 1 + shade, 0)
    return Painting(ink.astype(np.uint16), job.uses(["rock"]))


PAINTER = Painter(
    name="cave",
    about="A cave of slabs with openings, and stones that hang from it or stand in it.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.6,
)
